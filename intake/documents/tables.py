"""Tables on paper: rows that are never parted, under headings that come again on the next page."""

from collections.abc import Sequence

from intake.documents.blocks import Block, rows, rule, stack
from intake.documents.day_sheet_content import Column, SheetTable
from intake.documents.flow import Group
from intake.documents.paper import MM, Pen, Style
from intake.documents.text import at_right, lines

CELL = Style(9, leading=1.3)
HEADING = Style(11).bold
SMALL = Style(7.5, leading=1.35)
GAP = 3 * MM
PATCH = 3.2 * MM
"""The side of the patch of a box's colour."""
BEHIND_PATCH = 5 * MM


def table(content: SheetTable, width: float) -> Group:
    """A table as a group for the pages; its headings stand again at the top of each page that it goes on to."""
    name = content.heading
    heading = tuple(lines(name, HEADING, width))
    if not content.rows:
        return Group(name, (*_apart(heading), *lines(content.empty, CELL, width)))
    patched = BEHIND_PATCH if content.colours else 0
    head = (*_row([column.heading for column in content.columns], content.columns, SMALL, width, patched), rule(width))
    body = [
        _with_patch(_row(row, content.columns, CELL, width, patched), _colour(content, at))
        for at, row in enumerate(content.rows)
    ]
    more = lines(content.more, SMALL, width)
    again = (*lines(f"{name} (continued)", HEADING, width), *head)
    return Group(name, (*_apart(heading), *head, *body, *more), again, together=len(heading) + len(head) + 1)


def _apart(blocks: Sequence[Block]) -> tuple[Block, ...]:
    """The blocks with room above the first."""
    return (blocks[0].after(5 * MM), *blocks[1:])


def _colour(content: SheetTable, at: int) -> str:
    return content.colours[at] if at < len(content.colours) else ""


def _row(
    cells: Sequence[str], columns: Sequence[Column], style: Style, width: float, patched: float
) -> tuple[Block, ...]:
    """One row as one block: its cells side by side, each wrapped to its column."""
    total, left = sum(column.share for column in columns), patched
    beside = []
    for cell, column in zip(cells, columns, strict=True):
        room = (width - patched) * column.share / total
        wide = room - (0 if column is columns[-1] else GAP)
        said = [at_right(cell, style, wide)] if column.numbers else lines(cell, style, wide)
        beside.append((left, said))
        left += room
    return (stack(rows(*beside)).after(1.2),)


def _with_patch(row: tuple[Block, ...], colour: str) -> Block:
    (block,) = row
    if not colour:
        return block

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.panel((x, top + (CELL.height - PATCH) / 2, PATCH, PATCH), colour)
        block.draw(pen, x, top)

    return Block(block.height, draw, block.space)
