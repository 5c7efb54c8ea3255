"""How teeth, measures, shades and colours look in a phrase that the desk types."""

import re

_COLOURS = (
    "black blue bronze brown clear cream gold gray green grey lilac maroon navy orange pink purple red rose silver tan "
    "transparent turquoise violet white yellow"
)
COLOURS = tuple(_COLOURS.split())

_SEPARATOR = r"(?:\s*(?:[,;+&/–—-]|\band\b|\bto\b)\s*|\s+)"
_QUADRANT = (
    r"(?<![^\W_])(?:UR|UL|LL|LR)(?:[.-]?(?:[1-8]{1,8}|[A-E]{1,5})|\s+(?:[1-8]{1,8}|(?-i:[A-Eb-e])))(?![^\W_]|\.\d)"
)
_TOOTH = rf"(?:{_QUADRANT}|(?<![^\W_])[1-8A-E]+\s?[┘┐⏌⏋]|[└┌⎿⎾]\s?[1-8A-E]+)"
_MORE = rf"(?:{_SEPARATOR}(?:{_TOOTH}|\#?\d{{1,8}}(?![^\W_]|\.\d)|(?-i:[A-E])(?![^\W_])))*"
_TEETH = rf"{_TOOTH}{_MORE}"
_UNIT = r"(?<![\w.,])\#?\d{1,2}(?:\s*(?:[-–—]|\bto\b)\s*\#?\d{1,2})?(?![^\W_]|[.,]\d)"
_TWO_DIGITS = _UNIT.replace("{1,2}", "{2}")
_MM = r"\d{1,2}(?:[.,]\d{1,3})?"


def _pattern(text: str) -> re.Pattern[str]:
    return re.compile(text, re.IGNORECASE)


TEETH_LIST = _pattern(_TEETH)
NUMBERS = _pattern(_UNIT)
TEETH_OPTION = _pattern(
    rf"\b(?P<option>clasp|spring|pontic)s?\b\s*:?\s*(?:(?:on|at|for)\s+)?"
    rf"(?P<teeth>{_TEETH}|{_TWO_DIGITS}(?:{_SEPARATOR}{_TWO_DIGITS})*)"
)
QUOTED = _pattern(r"\b(?P<what>shade|colou?r|material)\s*[“\"](?P<value>[^“”\"]+)[”\"]")
_OPEN = r"(?:bite\s+)?open(?:ing|ed)?"
OPENINGS = (
    _pattern(rf"\b{_OPEN}\s*(?:(?:by|of|to|at)\s+)?(?P<mm>{_MM})(?:\s*mm)?(?!\w)"),
    _pattern(rf"(?<![\w.,])(?P<mm>{_MM})\s*mm\s+{_OPEN}\b"),
)
THICKNESS = (
    _pattern(rf"\bthick(?:ness)?\s*(?P<mm>{_MM})(?:\s*mm)?(?!\w)"),
    _pattern(rf"(?<![\w.,])(?P<mm>{_MM})\s*(?:mm(?:\s*thick(?:ness)?)?|thick)\b"),
)
BARE_NUMBER = _pattern(rf"(?<![\w.,]){_MM}(?!\w|[.,]\d)")
SHADE = _pattern(
    r"(?:\bshade\s+)?(?<![\w.])(?P<shade>[a-z]{1,2}\d(?:[.,]\d)?|[0o]m\d|\d[lmr]\d(?:[.,]\d)?)(?!\w|[.,]\d)"
)
_COLOUR = rf"(?:(?:dark|light)\s+)?(?:{'|'.join(COLOURS)})\b"
_SEVERAL_COLOURS = rf"\b(?P<colours>{_COLOUR}(?:(?:\s*[/&+,]\s*|\s+and\s+|\s+){_COLOUR})*)"
COLOUR_LIST = _pattern(_SEVERAL_COLOURS)
NAMED_COLOURS = _pattern(rf"\bcolou?r\s*:?\s*{_SEVERAL_COLOURS}")
_WORD_QUADRANT = _pattern(r"\b(?P<arch>[ul])(?:pper|ower)\s+(?P<side>[rl])(?:ight|eft)\s*(?=[1-8A-E](?![^\W\d_]))")


def plain_spelling(text: str) -> str:
    """Halves as decimals, quadrants in words as letters, and lists of two-digit numbers apart."""
    plain = re.sub(r"(?<!\d)½", "0.5", text).replace("½", ".5")
    plain = _WORD_QUADRANT.sub(lambda m: f"{m['arch']}{m['side']}".upper(), plain)
    plain = re.sub(r"(?<!\w)\.(?=\d)", "0.", plain)
    return re.sub(r"(?<![\w.])(\d\d),(?=\d)", r"\1, ", plain)


def colours_of(text: str) -> str:
    """The colours of a text in one spelling: “red/dark blue” is “red and dark blue”."""
    colours = (" ".join(m.group().casefold().split()) for m in re.finditer(_COLOUR, text, re.IGNORECASE))
    return " and ".join(colours).replace("gray", "grey")
