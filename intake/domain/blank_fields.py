"""The fields of a blank prescription: their names, and the number that says for which practice it was drawn."""

import re
from typing import get_args

from intake.domain.case import Arch, BiteKind, ItemKind
from intake.domain.form_check import CHECK, FORM, check_digits_of, form_check, is_as_issued
from intake.domain.lab import OptionName
from intake.errors import IntakeError

__all__ = [
    "ALLERGIES",
    "APPLIANCES",
    "APPOINTMENT",
    "ARCHES",
    "BITE_KIND",
    "BITE_KINDS",
    "BITE_MM",
    "CHECK",
    "DATE",
    "FORM",
    "HYGIENE",
    "HYGIENES",
    "IMPRESSION_MATERIAL",
    "IMPRESSION_TAKEN",
    "ITEMS",
    "LABEL",
    "NOTES",
    "PRESCRIBER",
    "REFERENCE",
    "TICKED",
    "UNDER_18",
    "YES_NO",
    "BlankNumberRefused",
    "appliance_field",
    "arch_field",
    "blank_number",
    "form_check",
    "is_as_issued",
    "item_field",
    "notes_field",
    "option_field",
    "read_blank_number",
]

LETTER_OF_BLANKS = "B"
APPLIANCES = 3
"""So many appliances have room on one form."""
PRESCRIBER, LABEL, REFERENCE = "prescriber", "patient-label", "patient-reference"
UNDER_18, ALLERGIES, HYGIENE = "under-18", "allergies", "hygiene"
APPOINTMENT, NOTES, DATE = "appointment", "notes", "date"
BITE_KIND, BITE_MM = "bite-kind", "bite-mm"
IMPRESSION_MATERIAL, IMPRESSION_TAKEN = "impression-material", "impression-taken"
TICKED = "Yes"
"""What a ticked box keeps."""
ARCHES: tuple[Arch, ...] = get_args(Arch)
BITE_KINDS: tuple[BiteKind, ...] = get_args(BiteKind)
YES_NO = ("yes", "no")
HYGIENES = ("disinfected", "not-disinfected")
"""The choices of the radio buttons, in their order: `0` is the first."""
ITEMS: tuple[tuple[ItemKind, Arch | None], ...] = (
    ("impression", "upper"),
    ("impression", "lower"),
    ("model", "upper"),
    ("model", "lower"),
    ("scan", "upper"),
    ("scan", "lower"),
    ("bite-record", None),
    ("photo", None),
    ("shade-tab", None),
    ("appliance", None),
)
"""What can be ticked as sent."""


class BlankNumberRefused(IntakeError):
    """What stands in a form is no number of a blank prescription; the message says what is wrong with it."""


def blank_number(code: str) -> str:
    """The number of the blank prescription of a practice: B, its code, and two check digits over both.

    A code may have letters that ISO/IEC 7064 does not know: they count as their number in Unicode.
    """
    return f"{LETTER_OF_BLANKS}{code}{check_digits_of(LETTER_OF_BLANKS + _countable(code))}"


def read_blank_number(text: str) -> str:
    """The practice's code in the number of a blank prescription. Raises BlankNumberRefused."""
    typed = text.strip()
    code = typed[1:-2]
    if not code or blank_number(code) != typed:
        raise BlankNumberRefused(f"“{typed}” is no number of a blank prescription of this laboratory.")
    return code


def appliance_field(index: int) -> str:
    """The type of an appliance, counted from 0: the id of a type of the setup, or what was written."""
    return f"appliance{index + 1}-type"


def arch_field(index: int) -> str:
    """Its arch, one of `ARCHES`."""
    return f"appliance{index + 1}-arch"


def option_field(index: int, name: OptionName) -> str:
    """One of its options, by the name it has in the prescription file."""
    return f"appliance{index + 1}-{name}"


def notes_field(index: int) -> str:
    """What else is to be known of it."""
    return f"appliance{index + 1}-notes"


def item_field(item: ItemKind, arch: Arch | None) -> str:
    """Whether something was sent with it, one of `ITEMS`."""
    return f"sent-{item}-{arch}" if arch else f"sent-{item}"


def _countable(code: str) -> str:
    return re.sub(r"[^0-9A-Z]", lambda found: str(ord(found[0])), code)
