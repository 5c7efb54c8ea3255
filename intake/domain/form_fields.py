"""Reads the small fields of the form: measures, shades, yes or no, hygiene."""

import re
from dataclasses import dataclass
from functools import lru_cache

from intake.domain.case import Hygiene
from intake.domain.lab import Lab
from intake.errors import IntakeError


class FormWrong(IntakeError):
    """A field's text cannot be read; the message says what would be right."""


@dataclass(frozen=True)
class Said:
    """What the form says back about a field: what it understood, or what is wrong."""

    text: str
    wrong: bool = False


_HYGIENE: dict[str, Hygiene] = {
    "d": "disinfected",
    "disinfected": "disinfected",
    "yes": "disinfected",
    "y": "disinfected",
    "n": "not-disinfected",
    "no": "not-disinfected",
    "not": "not-disinfected",
    "not disinfected": "not-disinfected",
    "not-disinfected": "not-disinfected",
    "u": "unknown",
    "?": "unknown",
    "unknown": "unknown",
    "not stated": "unknown",
    "na": "not-applicable",
    "n/a": "not-applicable",
    "not applicable": "not-applicable",
    "not-applicable": "not-applicable",
}
HYGIENE_WORDS: dict[Hygiene, str] = {
    "disinfected": "disinfected, says the practice",
    "not-disinfected": "not disinfected",
    "unknown": "not stated",
    "not-applicable": "not applicable",
}


def read_hygiene(text: str) -> tuple[Hygiene, str]:
    """`d`, `n`, `?` or the words. Raises FormWrong."""
    hygiene = _HYGIENE.get(text.casefold().strip("."))
    if hygiene is None:
        raise FormWrong("Type d (disinfected), n (not disinfected) or ? (not stated).")
    return hygiene, HYGIENE_WORDS[hygiene]


def read_yes_no(text: str) -> tuple[bool, str]:
    """`y` or `n`. Raises FormWrong."""
    answers = {"y": True, "yes": True, "n": False, "no": False}
    if text.casefold() not in answers:
        raise FormWrong("Type y (yes, under 18) or n (no).")
    answer = answers[text.casefold()]
    return answer, "under 18" if answer else "18 or over"


def read_measure(text: str) -> tuple[float, str]:
    """A measure in mm: `3`, `1,5 mm`. Raises FormWrong."""
    match = re.fullmatch(r"(\d{1,2}(?:[.,]\d{1,3})?)\s*(?:mm)?", text.casefold().strip())
    value = float(match[1].replace(",", ".")) if match else 0.0
    if value <= 0:
        raise FormWrong("Type the measure in mm, such as 1.5.")
    return value, f"{value:g} mm"


def read_shade(text: str, lab: Lab) -> tuple[str, str]:
    """A shade code with its usual spellings made one: `a3,5` is A3.5, `OM1` is 0M1."""
    shade = normal_shade(text)
    return (
        shade,
        shade if shade in lab.shades or not lab.shades else f"{shade}: not among the lab's shades; asked about",
    )


@lru_cache(maxsize=1024)
def normal_shade(text: str) -> str:
    """The one spelling of a shade code (trade usage: a comma or ½ for .5, letter O for zero before M)."""
    shade = text.upper().replace(" ", "").replace(",", ".").replace("½", ".5")
    return re.sub(r"^OM(?=\d)", "0M", shade)


def read_allergies(text: str) -> tuple[tuple[str, ...], str]:
    """What the patient must not get, parted by commas: `latex, nickel`; `none` is nothing."""
    if text.casefold().strip(".") in ("none", "no", "nil", "-", "none known", "nka"):
        return (), "none"
    return tuple(part.strip() for part in text.split(",") if part.strip()), ""


def unquoted(text: str) -> str | None:
    """What stands between quotation marks, when the whole text does: it is taken as written. None when it does not."""
    found = re.fullmatch(r"[“\"](.+?)[”\"]?", text.strip())
    return found[1].strip() if found else None
