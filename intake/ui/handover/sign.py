"""The sign of an answer: its shape differs as much as its word and its colour."""

from typing import Literal

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from intake.ui.look import Look
from intake.ui.palette import Palette, ink_on

Answer = Literal["yes", "no", "back", "asks"]
HIGH, LOW = 5.4, 2.6
"""How high the head of an answer is, in heights of text: as a rule, and where there is little room."""
_INKS: dict[Answer, str] = {"yes": "ok", "no": "held", "back": "focus", "asks": "asks"}


def colour_of(answer: Answer, colours: Palette) -> str:
    """The colour of an answer in a palette."""
    return str(getattr(colours, _INKS[answer]))


def paint_sign(painter: QPainter, answer: Answer, area: QRectF, colours: Palette) -> None:
    """Paints a sign in a square: a disc with a tick, an octagon with a bar, an arrow back, a diamond with a dot."""
    colour = QColor(colour_of(answer, colours))
    ink = QColor(ink_on(colour.name()))
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    if answer == "yes":
        painter.drawEllipse(area)
    else:
        painter.drawPolygon(_corners(_OUTLINES[answer], area))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(ink, area.width() * 0.12, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
    if answer == "asks":
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(ink)
        painter.drawEllipse(area.center(), area.width() * 0.1, area.height() * 0.1)
    elif answer != "back":
        path = QPainterPath()
        path.addPolygon(_corners(_STROKES[answer], area))
        painter.drawPath(path)
    painter.restore()


class Sign(QWidget):
    """The sign of the newest answer, as large as it has room for.

    Args:
        look: For colours and lengths.
        parent: The owner.
    """

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._answer: Answer = "asks"
        self._low = False
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        look.changed.connect(self.updateGeometry)

    def show_answer(self, answer: Answer) -> None:
        """Shows the sign of an answer."""
        self._answer = answer
        self.update()

    def set_low(self, low: bool) -> None:
        """Takes little height, where there is little."""
        self._low = low
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        side = self._look.px(LOW if self._low else HIGH)
        return QSize(side, side)

    def paintEvent(self, event: QPaintEvent) -> None:
        side = min(self.width(), self.height()) - 2
        paint_sign(QPainter(self), self._answer, QRectF(1, 1, side, side), self._look.colours)


# Corners in a square of side 1, y downwards.
_OUTLINES: dict[str, tuple[tuple[float, float], ...]] = {
    "no": ((0.3, 0.0), (0.7, 0.0), (1.0, 0.3), (1.0, 0.7), (0.7, 1.0), (0.3, 1.0), (0.0, 0.7), (0.0, 0.3)),
    "back": ((0.0, 0.5), (0.5, 0.02), (0.5, 0.3), (1.0, 0.3), (1.0, 0.7), (0.5, 0.7), (0.5, 0.98)),
    "asks": ((0.5, 0.0), (1.0, 0.5), (0.5, 1.0), (0.0, 0.5)),
}
_STROKES = {"yes": ((0.24, 0.52), (0.43, 0.71), (0.77, 0.33)), "no": ((0.2, 0.5), (0.8, 0.5))}


def _corners(corners: tuple[tuple[float, float], ...], area: QRectF) -> QPolygonF:
    return QPolygonF([QPointF(area.x() + x * area.width(), area.y() + y * area.height()) for x, y in corners])
