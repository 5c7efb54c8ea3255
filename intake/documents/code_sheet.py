"""A4 sheets of labels with barcodes: a practice's stickers, the codes of the benches, the numbers of the boxes.

The sheets fit plain paper that is cut along the marks, and self-adhesive sheets of 24 labels of 70 x 37 mm (common
practice, no source).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from io import BytesIO

from intake.documents.blocks import Block, stack
from intake.documents.code_128 import barcode, encode, module_width
from intake.documents.fonts import printable, text_width
from intake.documents.paper import MM, Pen, Style, new_canvas
from intake.documents.text import fitted, lines
from intake.errors import IntakeError

PAGE_WIDTH, PAGE_HEIGHT = 210 * MM, 297 * MM
INSET, ABOVE = 5 * MM, 4.5 * MM
"""From a label's sides, and from its top and bottom, to its ink: more than printers leave blank, and a quiet zone."""
MODULES = (0.5 * MM, 0.33 * MM, 0.25 * MM)
"""The widest of these that the label has room for is the narrowest bar, in whole dots of the printer."""
WORDS = 11.5 * MM
"""What the words on a label need of its height, at least."""
MARK = 2 * MM
"""Half the length of a mark to cut along."""
SMALL, LEAST = Style(7.5, leading=1.2), 6.0


class CodeTooLong(IntakeError):
    """A code has more bars than a whole sheet is wide."""


@dataclass(frozen=True)
class Label:
    """What stands on one label: the bars' payload, a title, and the words under the bars."""

    payload: str
    title: str
    words: str
    small: str = ""


@dataclass(frozen=True)
class Grid:
    """How labels lie on the sheet, and how they are set.

    Attributes:
        columns: Labels beside one another; fewer where the bars need it.
        rows: Labels under one another; half as many where one is as wide as the sheet.
        title: The style of the title, which is set smaller where it has to be.
        bars: The height of the bars, in points, at least.
    """

    columns: int
    rows: int
    title: Style
    bars: float


STICKERS = Grid(3, 8, Style(10.5, leading=1.2).bold, 10 * MM)
BOXES = Grid(3, 8, Style(40, leading=1.05).bold, 9 * MM)
BENCHES = Grid(2, 6, Style(22, leading=1.15).bold, 14 * MM)


def draw_labels(labels: Sequence[Label], grid: Grid, title: str, dpi: int = 300) -> bytes:
    """Sheets of labels as a PDF, filled row by row.

    Args:
        labels: What stands on each.
        grid: How they lie and how they are set.
        title: The document's title in a viewer.
        dpi: The printer's, for the bars.

    Raises:
        CodeTooLong: the bars of a label are wider than the sheet.
    """
    different = dict.fromkeys(labels)
    columns = min(_columns(label, grid, dpi) for label in different)
    rows, wide, high = _rows(grid, columns), PAGE_WIDTH / columns, _row_height(grid, columns)
    top = (PAGE_HEIGHT - rows * high) / 2
    out = BytesIO()
    canvas = new_canvas(out, PAGE_WIDTH, PAGE_HEIGHT)
    canvas.setTitle(title)
    on_a_sheet = columns * rows
    blocks = {label: _drawn(label, grid, columns, dpi) for label in different}
    for first in range(0, len(labels), on_a_sheet):
        pen = Pen(canvas, PAGE_HEIGHT)
        _marks(pen, columns, rows, top)
        for at, label in enumerate(labels[first : first + on_a_sheet]):
            row, column = divmod(at, columns)
            block = blocks[label]
            block.draw(pen, column * wide + INSET, top + row * high + (high - block.height) / 2)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def sheet_of(label: Label, grid: Grid, dpi: int = 300) -> int:
    """How many of a label stand on one sheet. Raises CodeTooLong."""
    columns = _columns(label, grid, dpi)
    return columns * _rows(grid, columns)


def _rows(grid: Grid, columns: int) -> int:
    return grid.rows if columns > 1 else grid.rows // 2


def _row_height(grid: Grid, columns: int) -> float:
    """Whole millimetres, as sheets of labels are made: 37 for eight rows, 49 for six."""
    return PAGE_HEIGHT // _rows(grid, columns) // MM * MM


def _module(label: Label, grid: Grid, columns: int, dpi: int) -> float | None:
    """The narrowest bar of a label in points; None where its bars have no room."""
    symbol, room = encode(label.payload), PAGE_WIDTH / columns - 2 * INSET
    widths = (module_width(dpi, least) for least in MODULES)
    high = _row_height(grid, columns) - 2 * ABOVE - WORDS
    fits = (wide for wide in widths if symbol.modules * wide <= room and symbol.least_height(wide) <= high)
    return next(fits, None)


def _columns(label: Label, grid: Grid, dpi: int) -> int:
    for columns in range(grid.columns, 0, -1):
        if _module(label, grid, columns, dpi) is not None:
            return columns
    raise CodeTooLong(f"The code of {label.title} is too long for a barcode on a sheet. A shorter one would fit.")


def _drawn(label: Label, grid: Grid, columns: int, dpi: int) -> Block:
    """One label, as large as its place has room for; a title that is too long loses its last lines."""
    room, module = PAGE_WIDTH / columns - 2 * INSET, _module(label, grid, columns, dpi)
    assert module is not None, "the columns were chosen by the widest bars"
    bars = barcode(label.payload, module, grid.bars).after(1 * MM)
    words = fitted(label.words, Style(9, leading=1.25).bold, room, LEAST)[:1]
    under = [*(line.after(0.8 * MM) for line in words), *lines(label.small, SMALL, room)[:1]]
    left = _row_height(grid, columns) - 2 * ABOVE - sum(block.height + block.space for block in (bars, *under))
    return stack([*_title(label.title, grid.title, room, left), bars, *under])


def _title(text: str, style: Style, room: float, most: float) -> list[Block]:
    """The title, as large as fits without a word being parted."""
    longest = max((text_width(word, style.font, style.size) for word in printable(text).split()), default=0)
    size = max(LEAST, min(style.size, style.size * room / longest)) if longest else style.size
    blocks = lines(text, replace(style, size=size), room)
    while sum(block.height for block in blocks) > most and size > LEAST:
        size = max(LEAST, size - 0.5)
        blocks = lines(text, replace(style, size=size), room)
    while len(blocks) > 1 and sum(block.height for block in blocks) > most:
        blocks.pop()
    return blocks


def _marks(pen: Pen, columns: int, rows: int, top: float) -> None:
    """A small cross wherever four labels meet, and half of one at the edges of the sheet."""
    wide, high = PAGE_WIDTH / columns, (PAGE_HEIGHT - 2 * top) / rows
    for row in range(rows + 1):
        for column in range(columns + 1):
            x, y = column * wide, top + row * high
            if 0 < column < columns:
                pen.line(x, max(0, y - MARK), x, min(PAGE_HEIGHT, y + MARK))
            if 0 < row < rows:
                pen.line(max(0, x - MARK), y, min(PAGE_WIDTH, x + MARK), y)
