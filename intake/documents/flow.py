"""Groups of blocks onto pages: a group is kept together wherever it can be."""

from collections.abc import Sequence
from dataclasses import dataclass

from intake.documents.blocks import Block
from intake.documents.paper import Pen

Placed = tuple[float, Block]


@dataclass(frozen=True)
class Group:
    """Blocks that belong together, and what they are in words; `again` heads the rest if they must be parted."""

    name: str
    blocks: tuple[Block, ...]
    again: tuple[Block, ...] = ()
    divider: tuple[Block, ...] = ()
    """What parts it from the group above, and is left out at the top of a page."""
    together: int = 2
    """So many of its first and last blocks are never parted from each other."""


@dataclass
class _Sheet:
    """The page being filled: what stands on it and how far down."""

    room: float
    blocks: list[Placed]
    used: float = 0

    def height_of(self, blocks: Sequence[Block]) -> float:
        spaces = sum(b.space for b in blocks) - (blocks[0].space if blocks and not self.blocks else 0)
        return sum(b.height for b in blocks) + spaces

    def takes(self, blocks: Sequence[Block]) -> bool:
        return self.used + self.height_of(blocks) <= self.room + 1e-6

    def put(self, blocks: Sequence[Block]) -> None:
        for block in blocks:
            at = self.used + (block.space if self.blocks else 0)
            self.blocks.append((at, block))
            self.used = at + block.height


class TooMuch(Exception):
    """There is no page for a group; `group` says which."""

    def __init__(self, group: str) -> None:
        super().__init__(group)
        self.group = group


def paginate(groups: Sequence[Group], first: float, later: float, most: int | None = None) -> list[list[Placed]]:
    """Place groups on pages with `first` and then `later` points of room.

    Raises TooMuch for a block that is higher than a page, and for what would need more than `most` pages.
    """
    sheets = [_Sheet(first, [])]
    for group in groups:
        divider = group.divider if sheets[-1].blocks else ()
        if sheets[-1].takes([*divider, *group.blocks]):
            sheets[-1].put([*divider, *group.blocks])
        elif _Sheet(later, []).takes(group.blocks):
            sheets.append(_Sheet(later, []))
            sheets[-1].put(group.blocks)
        else:
            _part(group, divider, sheets, later)
        if most and len(sheets) > most:
            raise TooMuch(group.name)
    return [sheet.blocks for sheet in sheets]


def _part(group: Group, divider: tuple[Block, ...], sheets: list[_Sheet], later: float) -> None:
    """Place a group that no page holds whole, line by line, from where it stands."""
    rest, here, fresh = [*divider, *group.blocks], 0, False
    while not sheets[-1].takes(rest):
        now = 1 if here else group.together + (0 if fresh else len(divider))
        if len(rest) - now >= group.together and sheets[-1].takes(rest[:now]):
            sheets[-1].put(rest[:now])
            del rest[:now]
            here += now
        elif fresh and not here:
            raise TooMuch(group.name)
        else:
            begun = len(rest) < len(divider) + len(group.blocks)
            sheets.append(_Sheet(later, []))
            sheets[-1].put(group.again if begun else ())
            rest, here, fresh = rest if begun else list(group.blocks), 0, True
    sheets[-1].put(rest)


def draw_all(blocks: Sequence[Placed], pen: Pen, x: float, top: float) -> None:
    """Draw placed blocks from a corner."""
    for at, block in blocks:
        block.draw(pen, x, top + at)
