"""The number on a parcel's label: what kind it is, whether its check digit is right, and whose service it is.

UPU S10 is the postal item identifier of the Universal Postal Union: two letters for the service, eight digits, a check
digit and the ISO 3166 code of the country that gave it. GS1's SSCC is the serial shipping container code: 18 digits,
the last a check digit. A right check digit is no proof: about one in sixty single wrong digits of an S10 number passes.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Literal

from intake.domain.months import months_later
from intake.domain.parcel_rules import Carrier
from intake.errors import IntakeError

LabelKind = Literal["s10", "sscc", "other"]

_S10 = re.compile(r"([A-Z]{2})([0-9]{8})([0-9])([A-Z]{2})")
_SSCC = re.compile(r"(?:\(00\)|00)([0-9]{18})")
_S10_WEIGHTS = (8, 6, 4, 2, 3, 5, 9, 7)
_SYMBOLOGY = re.compile(r"\][A-Z][0-9A-Z]")
"""What a scanner puts before a code to say what barcode it was (ISO/IEC 15424): `]C1` for GS1-128."""
_NOT_OF_A_NUMBER = re.compile(r"[\s\x00-\x1f\x7f\-–—]+")

S10_SERVICES = {
    "B": "an item within one country",
    "C": "a parcel",
    "D": "an item within one country",
    "E": "express",
    "H": "an e-commerce parcel",
    "L": "a tracked letter",
    "N": "an item within one country",
    "P": "an item within one country",
    "R": "registered",
    "U": "untracked, with a customs form",
    "V": "insured",
    "Z": "an item within one country",
}
"""What the first letter of an S10 number says (UPU S10, as reference pages list it). Any other is taken too."""


class NoLabel(IntakeError):
    """There is nothing on the label that could be a number."""


@dataclass(frozen=True)
class ParcelLabel:
    """A parcel's label that was read.

    Attributes:
        text: The number in capitals, without spaces and dashes; an SSCC without its (00). A parcel is known by it.
        kind: What its shape says.
        sound: Whether its check digit is right; True where it has none.
        service: The carrier's service, by the lab's patterns; empty where none fits.
        meaning: What the number itself says of the service, such as `registered`; empty where it says nothing.
        country: The country that gave an S10 number, by its ISO 3166 code; else empty.
        said: What the desk has to be told of it; empty where all is well.
    """

    text: str
    kind: LabelKind
    sound: bool = True
    service: str = ""
    meaning: str = ""
    country: str = ""
    said: str = ""


def read_label(text: str, carriers: Iterable[Carrier] = ()) -> ParcelLabel:
    """Reads a label as it was scanned or typed: UPU S10, GS1 SSCC, or anything else as it is.

    Raises NoLabel where there is no letter and no digit in it.
    """
    number = label_text(text)
    if not any(sign.isalnum() for sign in number):
        raise NoLabel("There is no number here. Scan the label, or type what stands under its bars.")
    service = next((carrier.service for carrier in carriers if re.fullmatch(carrier.pattern, number)), "")
    if parts := _S10.fullmatch(number):
        letters, digits, check, country = parts.groups()
        right, meaning = s10_check_digit(digits), S10_SERVICES.get(letters[0], "")
        return _checked(ParcelLabel(number, "s10", service=service, meaning=meaning, country=country), check, right)
    if re.fullmatch(r"[0-9]{18}", number):
        return _checked(ParcelLabel(number, "sscc", service=service), number[-1], sscc_check_digit(number[:-1]))
    return ParcelLabel(number, "other", service=service)


def label_text(text: str) -> str:
    """A label's number as it is kept and compared: capitals, no spaces, no dashes, an SSCC without its (00)."""
    number = _NOT_OF_A_NUMBER.sub("", without_symbology(text)).upper()
    # In the bars of GS1-128 more about the parcel can follow.
    sscc = _SSCC.match(number) if _is_gs1(text) else _SSCC.fullmatch(number)
    return sscc[1] if sscc else number


def without_symbology(text: str) -> str:
    """A code without the three signs that a scanner may put before it to name the kind of barcode."""
    found = _SYMBOLOGY.match(text.strip().upper())
    return text.strip()[found.end() :] if found else text.strip()


def s10_check_digit(digits: str) -> str:
    """The check digit behind the eight digits of an S10 number: 11 − (sum of weighted digits mod 11), 10→0, 11→5."""
    total = sum(weight * int(digit) for weight, digit in zip(_S10_WEIGHTS, digits, strict=True))
    return {10: "0", 11: "5"}.get(11 - total % 11, str(11 - total % 11))


def sscc_check_digit(digits: str) -> str:
    """The check digit behind the first 17 digits of an SSCC: weights 3, 1, 3 … from the right, to the next ten.

    GS1 General Specifications, 7.9: check digit calculation for GS1 data structures.
    """
    total = sum(int(digit) * (3 if at % 2 == 0 else 1) for at, digit in enumerate(reversed(digits)))
    return str(-total % 10)


def seen_before(earlier: date, today: date, months: int) -> bool:
    """Whether a label of an earlier day is the same parcel come up again, and not its number given anew.

    Up to and with the same day `months` later it is; a number may be given anew after that (UPU S10: 12 months).
    """
    return earlier <= today <= months_later(earlier, months)


def _is_gs1(text: str) -> bool:
    return text.strip().upper().startswith("]C1")


def _checked(label: ParcelLabel, check: str, right: str) -> ParcelLabel:
    if check == right:
        return label
    kind, last = ("postal number (S10)", "check digit") if label.kind == "s10" else ("SSCC", "last digit")
    said = (
        f"{label.text} has the shape of a {kind}, but its {last} is {check} where {right} belongs: a digit is wrong or "
        f"two are swapped. Look at the label once more."
    )
    return ParcelLabel(label.text, label.kind, False, label.service, label.meaning, label.country, said)
