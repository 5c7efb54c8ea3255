"""Drawing on paper with a pen that counts downward from the top."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import BinaryIO

from reportlab import rl_config
from reportlab.lib.colors import HexColor, black, white
from reportlab.pdfgen.canvas import Canvas

from intake.documents.fonts import BOLD, REGULAR, face
from intake.documents.form_fields import BoxOf, Field, FormWriter

rl_config.useA85 = 0
"""Streams stay binary, as every queue takes them: written as text they take a fifth longer and a quarter more room."""

MM = 72 / 25.4
"""One millimetre in points."""
HAIRLINE = 0.4
Point = tuple[float, float]


@dataclass(frozen=True)
class Style:
    """How a text is set: its font, size in points, and the distance from line to line in sizes."""

    size: float
    font: str = REGULAR
    leading: float = 1.28

    @property
    def height(self) -> float:
        """The height of one line, in points."""
        return self.size * self.leading

    @property
    def baseline(self) -> float:
        """From the top of a line to its baseline: capitals stand in the middle of the line (cap height 0.698)."""
        return (self.height + 0.698 * self.size) / 2

    @property
    def bold(self) -> "Style":
        """The same in bold."""
        return replace(self, font=BOLD)


def new_canvas(out: BinaryIO, width: float, height: float) -> Canvas:
    """A document that is the same, byte for byte, whenever it is drawn, and asks for no font but the house font."""
    face(REGULAR)
    return Canvas(out, (width, height), invariant=1, pageCompression=1, initialFontName=REGULAR)


class Pen:
    """Draws on one page of a canvas in points, x from the left and y downward from the top.

    With a form, what is drawn to be filled in can be filled in by a viewer too.
    """

    def __init__(self, canvas: Canvas, page_height: float, form: FormWriter | None = None) -> None:
        self._canvas = canvas
        self._height = page_height
        self._form = form
        self._style: tuple[str, float] | None = None

    def text(self, x: float, baseline: float, text: str, style: Style) -> None:
        """Draw one line of printable text."""
        if self._style != (style.font, style.size):
            face(style.font)
            self._canvas.setFont(style.font, style.size)
            self._style = (style.font, style.size)
        self._canvas.drawString(x, self._height - baseline, text)

    def line(self, x: float, y: float, to_x: float, to_y: float, weight: float = HAIRLINE, dash: str = "") -> None:
        """Draw a line; `dash` is drawn as in "3 2", points on and off."""
        self._canvas.setLineWidth(weight)
        self._canvas.setDash([float(n) for n in dash.split()] if dash else [])
        self._canvas.line(x, self._height - y, to_x, self._height - to_y)

    def boxes(self, boxes: Iterable[BoxOf]) -> None:
        """Fill boxes of (left, top, width, height) in black, as one path."""
        path = self._canvas.beginPath()
        for x, top, width, height in boxes:
            path.rect(x, self._height - top - height, width, height)
        self._canvas.drawPath(path, stroke=0, fill=1)

    def panel(self, box: BoxOf, fill: str = "#ffffff", weight: float = HAIRLINE) -> None:
        """Draw a box filled with a colour in an outline that a black-and-white printer shows too."""
        x, top, width, height = box
        self._canvas.setFillColor(HexColor(fill))
        self._canvas.setLineWidth(weight)
        self._canvas.setDash([])
        self._canvas.rect(x, self._height - top - height, width, height, stroke=int(weight > 0), fill=1)
        self._canvas.setFillColor(black)

    def white_text(self, x: float, baseline: float, text: str, style: Style) -> None:
        """Draw one line of printable text in white, for a black ground."""
        self._canvas.setFillColor(white)
        self.text(x, baseline, text, style)
        self._canvas.setFillColor(black)

    def hatch(self, box: BoxOf, step: float, weight: float) -> None:
        """Fill a box with slanting strokes."""
        x, top, width, height = box
        self._canvas.saveState()
        clip = self._canvas.beginPath()
        clip.rect(x, self._height - top - height, width, height)
        self._canvas.clipPath(clip, stroke=0, fill=0)
        path, at = self._canvas.beginPath(), x - height
        while at < x + width:
            path.moveTo(at, self._height - top - height)
            path.lineTo(at + height, self._height - top)
            at += step
        self._canvas.setLineWidth(weight)
        self._canvas.drawPath(path)
        self._canvas.restoreState()

    def polygon(self, points: Sequence[Point], weight: float) -> None:
        """Draw the outline of a closed figure."""
        path = self._canvas.beginPath()
        path.moveTo(points[0][0], self._height - points[0][1])
        for x, y in points[1:]:
            path.lineTo(x, self._height - y)
        path.close()
        self._canvas.setLineWidth(weight)
        self._canvas.setDash([])
        self._canvas.drawPath(path, stroke=1, fill=0)

    def to_fill(self, what: Field | None, box: BoxOf) -> None:
        """Put a field over a box, where there is one and the document has a form."""
        if self._form is not None and what is not None:
            self._form.put(what, box)

    def keep(self, name: str, value: str) -> None:
        """Keep a value that no viewer shows, where the document has a form."""
        if self._form is not None:
            self._form.keep(name, value)

    def image(self, image: object, box: BoxOf) -> None:
        """Draw a picture into a box, in its own proportions, from the box's upper left."""
        x, top, width, height = box
        self._canvas.drawImage(
            image, x, self._height - top - height, width, height, mask="auto", preserveAspectRatio=True, anchor="nw"
        )
