"""Code 128 as vector bars whose widths are whole dots of the printer."""

from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from math import ceil, floor

from barcode.codex import Code128

from intake.documents.blocks import Block
from intake.documents.paper import MM, Pen

QUIET_MODULES = 10
"""Blank modules on each side (GS1 General Specifications, 5.4.4; ISO/IEC 15417)."""
LEAST_MODULE = 0.25 * MM
"""The narrowest bar for scanning by hand (ISO/IEC 15417; from memory)."""
LEAST_HEIGHT = 5 * MM
LEAST_HEIGHT_OF_LENGTH = 0.15


@dataclass(frozen=True)
class Symbol:
    """An encoded payload: its bars as (first module, modules wide), and its length in modules."""

    payload: str
    bars: tuple[tuple[int, int], ...]
    modules: int

    def least_height(self, module: float) -> float:
        """The lowest bars allowed: the larger of 5 mm and 15 % of the length (ISO/IEC 15417; from memory)."""
        return max(LEAST_HEIGHT, LEAST_HEIGHT_OF_LENGTH * self.modules * module)


def module_width(dpi: int, at_least: float = LEAST_MODULE) -> float:
    """The narrowest bar in points: the fewest whole dots of the printer that are at least as wide as asked."""
    dots = ceil(round(at_least * dpi / 72, 6))
    return dots * 72 / dpi


@lru_cache(maxsize=256)
def encode(payload: str) -> Symbol:
    """Encode printable ASCII; an even count of digits goes in code set C, two digits to a symbol character."""
    if not (payload and payload.isascii() and payload.isprintable()):
        raise ValueError(f"a barcode takes printable ASCII characters, not {payload!r}")
    pattern = Code128(payload).build()[0]
    bars, at = [], 0
    for colour, run in groupby(pattern):
        wide = len(list(run))
        if colour == "1":
            bars.append((at, wide))
        at += wide
    return Symbol(payload, tuple(bars), at)


def barcode(payload: str, module: float, height: float) -> Block:
    """The bars without their quiet zones, `height` points high or more where the standard asks for it.

    Whoever places them leaves `QUIET_MODULES` modules blank at both sides. They begin at a whole dot of the page.
    """
    symbol = encode(payload)
    high = max(height, symbol.least_height(module))

    def draw(pen: Pen, x: float, top: float) -> None:
        first = floor(round(x / module, 6))
        pen.boxes([((first + at) * module, top, wide * module, high) for at, wide in symbol.bars])

    return Block(high, draw, width=symbol.modules * module)
