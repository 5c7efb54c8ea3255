"""Text as blocks of one line each, wrapped to a width that was measured."""

import re
from collections.abc import Sequence
from dataclasses import replace

from intake.documents.blocks import Block
from intake.documents.fonts import printable, text_width
from intake.documents.paper import Style

_BREAKS = re.compile(r"(?<!\d) | (?!\d|mm\b)")
"""A space at which a line may end: not inside a number in groups, nor between a number and its unit."""
_TOLERANCE = 1e-3
"""Points by which a sum of widths may differ from the same width counted another way."""


def wrap(text: str, style: Style, width: float) -> list[str]:
    """Break a text into printable lines of at most `width` points; a word that is too long is broken too."""
    lines = []
    for paragraph in text.splitlines() or [""]:
        lines += _wrapped(printable(paragraph).strip(" "), style, width)
    return lines


def _wrapped(text: str, style: Style, width: float) -> list[str]:
    lines: list[str] = []
    line, used, space = "", 0.0, text_width(" ", style.font, style.size)
    for word in _BREAKS.split(text):
        wide = text_width(word, style.font, style.size)
        if line and used + space + wide <= width + _TOLERANCE:
            line, used = f"{line} {word}", used + space + wide
            continue
        *full, last = _broken(word, style, width)
        lines += [line] * bool(line) + full
        line, used = last, text_width(last, style.font, style.size)
    return [*lines, line]


def _broken(word: str, style: Style, width: float) -> list[str]:
    """A word cut into pieces that fit: after a hyphen, stroke or at-sign where there is one, else anywhere."""
    pieces = []
    while text_width(word, style.font, style.size) > width + _TOLERANCE and len(word) > 1:
        fits = 1
        while fits < len(word) and text_width(word[: fits + 1], style.font, style.size) <= width:
            fits += 1
        seam = max((word.rfind(c, 0, fits) + 1 for c in "-/@_"), default=0)
        cut = seam if seam > fits / 2 else fits
        pieces.append(word[:cut].rstrip(" "))
        word = word[cut:].lstrip(" ")
    return [*pieces, word]


def written(line: str, style: Style, indent: float = 0, beside: Style | None = None) -> Block:
    """One printable line as a block, on the baseline of the style that it stands beside, if it does."""
    whole = beside or style
    return Block(whole.height, lambda pen, x, top: pen.text(x + indent, top + whole.baseline, line, style))


def lines(text: str, style: Style, width: float, indent: float = 0, beside: Style | None = None) -> list[Block]:
    """A text as blocks of one line each, wrapped to `width` points; no text makes no blocks."""
    if not text.strip():
        return []
    return [written(line, style, indent, beside) for line in wrap(text, style, width - indent)]


def at_right(text: str, style: Style, width: float, beside: Style | None = None) -> Block:
    """One line that ends at the right edge."""
    shown = printable(text)
    return written(shown, style, width - text_width(shown, style.font, style.size), beside)


def packed(parts: Sequence[str], between: str, style: Style, width: float) -> list[Block]:
    """Short texts one after another, as many on a line as have room; none is broken unless too long."""
    packs: list[str] = []
    for part in parts:
        longer = f"{packs[-1]}{between}{part}" if packs else part
        if packs and len(wrap(longer, style, width)) == 1:
            packs[-1] = longer
        else:
            packs.append(part)
    return [block for pack in packs for block in lines(pack, style, width)]


def fitted(text: str, style: Style, width: float, least: float) -> list[Block]:
    """A text on one line, set smaller down to `least` points until it fits; on several where that is not enough."""
    shown = printable(text)
    needed = text_width(shown, style.font, style.size)
    size = max(least, min(style.size, style.size * width / needed)) if needed else style.size
    return lines(text, replace(style, size=size), width)
