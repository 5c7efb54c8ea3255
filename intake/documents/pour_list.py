"""The pour list as a PDF on A4: what the casting bench pours, in order, with a box to tick."""

from dataclasses import dataclass
from io import BytesIO

from intake.documents.blocks import Block, row, rule, stack, tick_box
from intake.documents.flow import Group, draw_all, paginate
from intake.documents.paper import MM, Pen, Style, new_canvas
from intake.documents.text import at_right, fitted, lines

PAGE_WIDTH, PAGE_HEIGHT = 210 * MM, 297 * MM
LEFT, TOP = 16 * MM, 14 * MM
WIDTH = PAGE_WIDTH - 2 * LEFT
BOTTOM = PAGE_HEIGHT - 18 * MM
TITLE = Style(17, leading=1.2).bold
CELL = Style(9.5, leading=1.3)
NUMBER = Style(11, leading=1.2).bold
SMALL = Style(8, leading=1.35)
GAP = 3 * MM
TICK = 5 * MM
"""The box to tick, and the column that it stands in at the left edge of a line."""
COLUMNS = (0.0, 14 * MM, 49 * MM, 116 * MM)
"""Where tick, number with its box, impression, and time stand, from the left."""
PATCH = 3.4 * MM


@dataclass(frozen=True)
class PourBox:
    """A job with the colour of its box by name."""

    number: str
    colour: str
    hex: str


@dataclass(frozen=True)
class PourRow:
    """One case to pour."""

    boxes: tuple[PourBox, ...]
    patient: str
    practice: str
    impressions: tuple[tuple[str, str], ...]
    """What each is, and when to pour it."""
    mark: str
    """A word that stands out: `Past its limit`, `Not yet`, `Estimated`; empty for the usual."""


@dataclass(frozen=True)
class PourSheet:
    """A pour list."""

    lab: str
    number: str
    counted: str
    """When it was made, and how many cases are on it."""
    rows: tuple[PourRow, ...]
    unopened: str
    """What still waits to be opened; empty where nothing does."""
    caution: str


def draw_pour_list(sheet: PourSheet) -> bytes:
    """The pour list as a PDF; the head of its columns and the caution stand on every page."""
    foot = stack(lines(sheet.caution, SMALL, WIDTH))
    room = BOTTOM - TOP - foot.height - 4 * MM
    head = _columns_head()
    title = Group("the head", tuple(_title(sheet)))
    rows = [
        Group(f"line {at}", (_line(each).after(1.4 * MM), rule(WIDTH).after(1.4 * MM)))
        for at, each in enumerate(sheet.rows, 1)
    ]
    begun = stack(title.blocks)
    pages = paginate(rows, room - begun.height - head.height - 4 * MM, room - head.height - 2 * MM) or [[]]
    out = BytesIO()
    canvas = new_canvas(out, PAGE_WIDTH, PAGE_HEIGHT)
    canvas.setTitle(f"Pour list {sheet.number}")
    for number, page in enumerate(pages, start=1):
        pen, top = Pen(canvas, PAGE_HEIGHT), TOP
        if number == 1:
            begun.draw(pen, LEFT, top)
            top += begun.height + 2 * MM
        head.draw(pen, LEFT, top)
        draw_all(page, pen, LEFT, top + head.height + 1.6 * MM)
        foot.draw(pen, LEFT, BOTTOM - foot.height)
        at_right(f"Pour list {sheet.number}, page {number} of {len(pages)}", SMALL, WIDTH).draw(
            pen, LEFT, PAGE_HEIGHT - 13 * MM
        )
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _title(sheet: PourSheet) -> list[Block]:
    return [
        *fitted("Pour list", TITLE, WIDTH, 12),
        *fitted(sheet.lab, CELL, WIDTH, 7),
        *lines(sheet.counted, CELL, WIDTH),
        *lines(sheet.unopened, CELL.bold, WIDTH),
    ]


def _columns_head() -> Block:
    names = ("Poured", "Number, box", "Impression, patient", "Pour")
    columns = [(left, stack(lines(name, SMALL.bold, 40 * MM))) for left, name in zip(COLUMNS, names, strict=True)]
    return stack([row(columns), rule(WIDTH, 0.8).after(0.8 * MM)])


def _line(said: PourRow) -> Block:
    """A case: its numbers and boxes, its impressions over whose they are, and until when to pour each."""
    _, number, what, when = COLUMNS
    boxes = [block for box in said.boxes for block in _box(box, what - number - GAP)]
    told, times = [], [*lines(said.mark, CELL.bold, WIDTH - when)]
    for words, time in said.impressions:
        told += lines(words, CELL, when - what - GAP)
        times += lines(time, CELL, WIDTH - when)
    told += lines(said.patient, SMALL, when - what - GAP)
    told += fitted(said.practice, SMALL, when - what - GAP, 6.5)
    columns = [(0.0, tick_box(TICK)), (number, stack(boxes)), (what, stack(told)), (when, stack(times))]
    return row([(left, block) for left, block in columns if block.height])


def _box(box: PourBox, width: float) -> list[Block]:
    """A number, and under it the colour of its box with its name."""
    patch = Block(
        SMALL.height,
        lambda pen, x, top: pen.panel((x, top + (SMALL.height - PATCH) / 2 + 0.4, PATCH, PATCH), box.hex, 0.6),
    )
    beside = PATCH + 1.5 * MM
    name = stack(fitted(f"{box.colour} box", SMALL, width - beside, 6))
    return [*fitted(box.number, NUMBER, width, 8), row([(0.0, patch), (beside, name)])]
