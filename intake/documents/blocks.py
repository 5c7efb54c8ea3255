"""Blocks: what stands on a page, each knowing its height before it is drawn."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace

from intake.documents.paper import HAIRLINE, Pen


@dataclass(frozen=True)
class Block:
    """Something of known height that can be drawn at a place; `space` goes above it, but not at the top of a page."""

    height: float
    draw: Callable[[Pen, float, float], None]
    space: float = 0
    width: float = field(default=0, kw_only=True)

    def after(self, space: float) -> "Block":
        """The same with that much space above it."""
        return replace(self, space=self.space + space)


Column = tuple[float, Sequence[Block]]
"""The left edge of a column from the left edge of its row, and what stands in it."""


def row(columns: Sequence[tuple[float, Block]]) -> Block:
    """Blocks side by side, each at its distance from the left."""

    def draw(pen: Pen, x: float, top: float) -> None:
        for left, block in columns:
            block.draw(pen, x + left, top)

    return Block(max(block.height for _, block in columns), draw, max(block.space for _, block in columns))


def rows(*columns: Column) -> list[Block]:
    """Columns of lines, first beside first, second beside second; a shorter column ends early."""
    longest = max((len(blocks) for _, blocks in columns), default=0)
    return [row([(left, blocks[i]) for left, blocks in columns if i < len(blocks)]) for i in range(longest)]


def stack(blocks: Sequence[Block]) -> Block:
    """Blocks one under the other as a single block that is never parted."""

    def draw(pen: Pen, x: float, top: float) -> None:
        for at, block in placed(blocks):
            block.draw(pen, x, top + at)

    height = sum(b.height for b in blocks) + sum(b.space for b in blocks[1:])
    return Block(height, draw, blocks[0].space if blocks else 0)


def whole(blocks: Sequence[Block], most: float) -> tuple[Block, ...]:
    """The blocks as one that is never parted, unless it were higher than `most` points."""
    one = stack(blocks)
    return (one,) if blocks and one.height <= most else tuple(blocks)


def placed(blocks: Sequence[Block]) -> Iterable[tuple[float, Block]]:
    """Each block with its top, from the top of the first."""
    at = 0.0
    for i, block in enumerate(blocks):
        at += block.space if i else 0
        yield at, block
        at += block.height


def rule(width: float, weight: float = HAIRLINE, dash: str = "") -> Block:
    """A line across."""
    return Block(weight, lambda pen, x, top: pen.line(x, top + weight / 2, x + width, top + weight / 2, weight, dash))


def tick_box(size: float) -> Block:
    """An empty box to tick."""
    return Block(size, lambda pen, x, top: pen.panel((x, top, size, size), weight=0.6), width=size)
