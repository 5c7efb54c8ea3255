"""The house font on paper: loaded once a process, measured, and never asked for a character that it lacks."""

import unicodedata
from functools import cache, lru_cache

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from intake.resources import resource

REGULAR = "IntakeSans-Regular"
BOLD = "IntakeSans-Bold"
SUBSTITUTE = "\ufffd"
"""Printed in place of a character that the font lacks, so that the reader sees that something stood there."""


@cache
def face(name: str) -> TTFont:
    """The font of that name, ready for drawing."""
    font = TTFont(name, str(resource("fonts", f"{name}.ttf")))
    pdfmetrics.registerFont(font)
    return font


@lru_cache(maxsize=20_000)
def printable(text: str) -> str:
    """The text in composed form on one line, with a visible substitute for what the font cannot draw."""
    known = face(REGULAR).face.charToGlyph
    shown = (_shown(c, known) for c in unicodedata.normalize("NFC", text))
    return "".join(shown)


def text_width(text: str, font: str, size: float) -> float:
    """The width of a printable text, in points."""
    return _width_of_one_point(text, font) * size


@lru_cache(maxsize=20_000)
def _width_of_one_point(text: str, font: str) -> float:
    """The same text is measured in many sizes until it fits: counted once, kept in proportion."""
    return float(face(font).stringWidth(text, 1))


def _shown(character: str, known: dict[int, int]) -> str:
    if character.isspace():
        return "\u00a0" if character in "\u00a0\u202f\u2007" else " "
    if unicodedata.category(character) == "Cf" or "\ufe00" <= character <= "\ufe0f":
        return ""  # invisible: soft hyphens, joiners, and controls of direction that would turn a line round
    return character if ord(character) in known else SUBSTITUTE
