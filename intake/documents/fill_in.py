"""Boxes to tick and lines to write on, for a pen and, over them, the fields of the form for a viewer."""

from intake.documents.blocks import Block, tick_box
from intake.documents.fonts import printable, text_width
from intake.documents.form_fields import Field
from intake.documents.paper import MM, Pen, Style
from intake.documents.text import written

LABEL = Style(8, leading=1.35)
"""The type of what stands in front of a line."""
TICK = 3.4 * MM
AFTER_TICK = 5.2 * MM
WRITING = 8 * MM
"""The height of a line to write on."""
FIELD = 4.8 * MM
"""The height of the field over a line."""
UNDER = 1.0
"""The line lies so many points under the baseline."""


def to_fill(label: str, width: float, what: Field | None = None, height: float = WRITING) -> Block:
    """A label and a line to write on, up to the right edge."""
    shown = printable(label)
    begin = text_width(shown, LABEL.font, LABEL.size) + 2 * MM

    def draw(pen: Pen, x: float, top: float) -> None:
        baseline = top + height - 2 * MM
        pen.text(x, baseline, shown, LABEL)
        draw_line(pen, x + begin, baseline, width - begin, what)

    return Block(height, draw, width=width)


def to_tick(label: str, style: Style, what: Field | None = None) -> Block:
    """A box to tick, and what it is for behind it."""
    shown = printable(label)
    said = written(shown, style)

    def draw(pen: Pen, x: float, top: float) -> None:
        draw_tick(pen, x, top + style.baseline, what)
        said.draw(pen, x + AFTER_TICK, top)

    return Block(style.height, draw, width=AFTER_TICK + text_width(shown, style.font, style.size))


def draw_line(pen: Pen, x: float, baseline: float, width: float, what: Field | None) -> None:
    """A line to write on under a baseline, and the field over it."""
    pen.line(x, baseline + UNDER, x + width, baseline + UNDER)
    pen.to_fill(what, (x, baseline + UNDER + 1 - FIELD, width, FIELD))


def draw_tick(pen: Pen, x: float, baseline: float, what: Field | None) -> None:
    """A box on a baseline, and the button over it."""
    top = baseline - TICK * 0.88
    tick_box(TICK).draw(pen, x, top)
    pen.to_fill(what, (x, top, TICK, TICK))
