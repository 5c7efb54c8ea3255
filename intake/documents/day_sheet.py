"""The day sheet as a PDF on A4: the day's numbers, its hours as bars, what has to leave, and what is not finished."""

from collections.abc import Sequence
from io import BytesIO

from intake.documents.blocks import Block, stack
from intake.documents.day_sheet_content import HourBar, SheetOfDay
from intake.documents.flow import Group, draw_all, paginate
from intake.documents.fonts import printable, text_width
from intake.documents.paper import MM, Pen, Style, new_canvas
from intake.documents.tables import CELL, SMALL, table
from intake.documents.text import at_right, fitted, lines, written

PAGE_WIDTH, PAGE_HEIGHT = 210 * MM, 297 * MM
LEFT, TOP = 18 * MM, 16 * MM
WIDTH = PAGE_WIDTH - 2 * LEFT
BOTTOM = PAGE_HEIGHT - 30 * MM
FOOT = PAGE_HEIGHT - 26 * MM
TITLE = Style(17, leading=1.2).bold
FIGURE = Style(22, leading=1.1).bold
BAR_HEIGHT = 18 * MM
FILLS = ("#ffffff", "#000000")
"""Arrived is the outline of a bar, booked its black middle: a printer without colours shows both."""


def draw_day_sheet(sheet: SheetOfDay) -> bytes:
    """The day sheet as a PDF."""
    groups = [
        Group("the head", (*_head(sheet), _figures(sheet.figures).after(5 * MM), *_open(sheet))),
        *([Group("the hours", (*_legend(), _hours(sheet.hours)))] if sheet.hours else []),
        *(table(each, WIDTH) for each in sheet.tables),
    ]
    pages = paginate(groups, BOTTOM - TOP, BOTTOM - TOP)
    out = BytesIO()
    canvas = new_canvas(out, PAGE_WIDTH, PAGE_HEIGHT)
    canvas.setTitle(sheet.title)
    for number, page in enumerate(pages, start=1):
        pen = Pen(canvas, PAGE_HEIGHT)
        draw_all(page, pen, LEFT, TOP)
        _draw_foot(pen, sheet, f"Page {number} of {len(pages)}")
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _head(sheet: SheetOfDay) -> list[Block]:
    return [
        *fitted(sheet.title, TITLE, WIDTH, 12),
        *lines(sheet.lab, CELL, WIDTH),
        *lines(sheet.counted, CELL, WIDTH),
        *lines(sheet.closed, CELL.bold, WIDTH),
    ]


def _open(sheet: SheetOfDay) -> list[Block]:
    return [block.after(2 * MM) for block in lines(sheet.open, CELL, WIDTH)]


def _figures(figures: Sequence[tuple[str, str]]) -> Block:
    """The day's numbers side by side, each with its word under it."""
    each = WIDTH / max(1, len(figures))
    columns = [stack([*fitted(n, FIGURE, each - 4, 10), *lines(words, SMALL, each - 4)]) for n, words in figures]

    def draw(pen: Pen, x: float, top: float) -> None:
        for at, column in enumerate(columns):
            column.draw(pen, x + at * each, top)

    return Block(max((column.height for column in columns), default=0), draw)


def _legend() -> list[Block]:
    """What the bars are."""
    said = written(printable("By hour: arrived (outline), booked (black), handed over (the number above)."), SMALL)
    return [said.after(5 * MM)]


def _hours(hours: Sequence[HourBar]) -> Block:
    """A bar for each hour: what arrived, in it what was booked, the hour under it."""
    each = min(WIDTH / len(hours), 16 * MM)
    most = max(max(hour.arrived, hour.booked) for hour in hours) or 1
    above, below = SMALL.height, 2 * SMALL.height
    widest = max(text_width(f"{hour.arrived}/{hour.booked}", SMALL.font, SMALL.size) for hour in hours)
    numbered = widest <= each  # the bars are narrow only on a day of many hours and many cases

    def draw(pen: Pen, x: float, top: float) -> None:
        ground = top + above + BAR_HEIGHT
        for at, hour in enumerate(hours):
            left, wide = x + at * each + 1, each - 3
            for count, inset, fill in zip((hour.arrived, hour.booked), (0.0, wide / 4), FILLS, strict=True):
                high = BAR_HEIGHT * count / most
                if count:
                    pen.panel((left + inset, ground - high, wide - 2 * inset, high), fill)
            if hour.handed_over:
                _centred(pen, str(hour.handed_over), left, wide, top)
            _centred(pen, f"{hour.hour:02}", left, wide, ground)
            if numbered:
                _centred(pen, f"{hour.arrived}/{hour.booked}", left, wide, ground + SMALL.height * 0.95)
        pen.line(x, ground, x + each * len(hours), ground)

    return Block(above + BAR_HEIGHT + below, draw, 2)


def _centred(pen: Pen, text: str, left: float, wide: float, top: float) -> None:
    shown = printable(text)
    at = left + (wide - text_width(shown, SMALL.font, SMALL.size)) / 2
    pen.text(at, top + SMALL.baseline, shown, SMALL)


def _draw_foot(pen: Pen, sheet: SheetOfDay, page: str) -> None:
    """Where the history ends, what that is for, and which page it is."""
    pen.line(LEFT, FOOT, LEFT + WIDTH, FOOT)
    said = stack([*lines(sheet.head, SMALL, WIDTH), *lines(sheet.purpose, SMALL, WIDTH)])
    said.draw(pen, LEFT, FOOT + 1 * MM)
    at_right(page, SMALL, WIDTH).draw(pen, LEFT, FOOT + 1 * MM + said.height)
