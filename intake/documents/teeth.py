"""The tooth diagram: two rows of teeth as the dentist faces them, with some of them marked."""

from collections.abc import Collection

from intake.documents.blocks import Block
from intake.documents.fonts import text_width
from intake.documents.paper import HAIRLINE, Pen, Style

PERMANENT = (
    ("18", "17", "16", "15", "14", "13", "12", "11", "21", "22", "23", "24", "25", "26", "27", "28"),
    ("48", "47", "46", "45", "44", "43", "42", "41", "31", "32", "33", "34", "35", "36", "37", "38"),
)
"""Upper and lower permanent teeth, the patient's right at the left (ISO 3950)."""
DECIDUOUS = (
    ("55", "54", "53", "52", "51", "61", "62", "63", "64", "65"),
    ("85", "84", "83", "82", "81", "71", "72", "73", "74", "75"),
)


def tooth_diagram(marked: Collection[str], width: float, size: float) -> Block:
    """The permanent teeth and, where one is marked, the deciduous between them; marked teeth are white on black."""
    style = Style(size)
    cell, high = width / len(PERMANENT[0]), style.height * 1.25
    (upper, lower), (young_upper, young_lower) = PERMANENT, DECIDUOUS
    young = [young_upper, young_lower] if any(t in marked for row in DECIDUOUS for t in row) else []
    shown = [upper, *young, lower]
    middle = high * len(shown) / 2

    def draw(pen: Pen, x: float, top: float) -> None:
        for line, row in enumerate(shown):
            left = x + (width - cell * len(row)) / 2
            for i, tooth in enumerate(row):
                _draw_tooth(pen, tooth, (left + i * cell, top + line * high, cell, high), style, tooth in marked)
        pen.line(x + width / 2, top, x + width / 2, top + 2 * middle, 2 * HAIRLINE)
        pen.line(x, top + middle, x + width, top + middle, 2 * HAIRLINE)

    return Block(2 * middle, draw, width=width)


def _draw_tooth(pen: Pen, tooth: str, box: tuple[float, float, float, float], style: Style, marked: bool) -> None:
    x, top, wide, high = box
    face = style.bold if marked else style
    centred = x + (wide - text_width(tooth, face.font, face.size)) / 2
    baseline = top + (high - style.height) / 2 + style.baseline
    if not marked:
        pen.text(centred, baseline, tooth, style)
        return
    pen.panel((x + 0.8, top + 0.8, wide - 1.6, high - 1.6), fill="#000000", weight=0)
    pen.white_text(centred, baseline, tooth, face)
