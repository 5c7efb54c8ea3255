"""Names that others chose, cleaned: what is shown of them is what stands there, in one line."""

import unicodedata
from pathlib import PurePosixPath

MOST_CHARACTERS = 200
_LONGEST_SUFFIX = 12


def clean_name(text: str) -> str:
    """A name in one line of at most 200 characters; a longer one is cut before its suffix. Empty if nothing is left."""
    shown = one_line(text)
    if len(shown) <= MOST_CHARACTERS:
        return shown
    suffix = PurePosixPath(shown).suffix
    kept = suffix if len(suffix) <= _LONGEST_SUFFIX else ""
    return f"{shown[: MOST_CHARACTERS - len(kept) - 1].rstrip()}…{kept}"


def one_line(text: str) -> str:
    """Words in one line, without what is not seen but changes what is seen.

    Line breaks and control characters become a space. Marks that turn the direction of writing, joiners and soft
    hyphens (general category Cf: Unicode Standard Annex 44; Unicode Technical Report 36, 2.5 says what they are
    misused for), half characters and private ones go.
    """
    return " ".join(visible(text).split())


def visible(text: str, kept: str = "") -> str:
    """Text without control, format, half and private characters, but for those in `kept`; NFC."""
    return "".join(c if c in kept else _shown(c) for c in unicodedata.normalize("NFC", text))


def _shown(character: str) -> str:
    category = unicodedata.category(character)
    if category in ("Cc", "Zl", "Zp", "Zs"):
        return " "
    return "" if category[0] == "C" else character
