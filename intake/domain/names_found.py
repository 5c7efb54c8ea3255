"""The name on the tray or the bag against the prescription's: the same, nearly the same, or another.

Neither is ever changed by the other: in one large hospital laboratory 121 of 1.01 million camera-read samples were of
another patient and 148 more had a name spelled otherwise (Hawker et al., Clin Chem 2014;60), and labels written anew by
the receiving laboratory are a danger of their own (Karcher & Lehman, Arch Pathol Lab Med 2014;138:1003-8).
"""

import re
from collections.abc import Iterable, Sequence
from itertools import combinations, permutations, product
from typing import Literal

from intake.domain.case import Patient
from intake.domain.patient_labels import SLIP, readings, word_fit
from intake.domain.practice_search import folded

NameFit = Literal["same", "near", "differs"]
_GRAVITY: tuple[NameFit, ...] = ("same", "near", "differs")
_DATE = re.compile(r"\b\d{1,4}\s*[./-]\s*\d{1,2}\s*[./-]\s*\d{1,4}\b")
_BESIDE_NAMES = frozenset("case id name no nr number patient pt ref reference".split())  # noqa: SIM905
_LEAST_DIGITS = 4
"""A shorter number on a bag is a size, a tooth or a count, and no reference."""
_LONG_NUMBER = re.compile(rf"\d{{{_LEAST_DIGITS},}}")


def name_found(patient: Patient) -> NameFit | None:
    """How what stands on the tray or bag fits the prescription; None where one of them says nothing to compare.

    Several names, parted by semicolons, are each compared, and the worst counts.
    """
    names = [part for part in (patient.found or "").split(";") if part.strip()]
    fits = [fit for part in names if (fit := _fit(part, patient.label or "", patient.reference or "")) is not None]
    return max(fits, key=_GRAVITY.index, default=None)


def _fit(found: str, label: str, reference: str) -> NameFit | None:
    name, numbers = _parted(found)
    known_name, known_numbers = _parted(label)
    known_numbers |= _numbers(reference)
    if numbers and known_numbers and not numbers & known_numbers:
        return "differs"  # another number is another patient, whatever the name
    if not name or not known_name:
        return "same" if numbers & known_numbers else _as_one(found, reference)
    return _names(name, known_name)


def _as_one(found: str, reference: str) -> NameFit | None:
    """A bag that has nothing but the reference in letters."""
    return "same" if reference.strip() and _plain(found) == _plain(reference) else None


def _parted(text: str) -> tuple[str, set[str]]:
    """The name in a label, and the numbers beside it that can be references; dates are left out."""
    plain = _DATE.sub(" ", text)
    words = plain.split()
    lettered = [word for word in words if not _digits(word)]
    named = [word for word in lettered if _plain(word) not in _BESIDE_NAMES]
    if lettered == words:  # a patient may be called No: such a word alone is a name
        named = named or lettered
    return " ".join(named).strip(" .,;:-–—·#/()"), _numbers(plain)


def _numbers(text: str) -> set[str]:
    words = [word for word in text.split() if _digits(word)]
    whole = {_plain(word) for word in words if _digits(word) >= _LEAST_DIGITS or word == text.strip()}
    return whole | set(_LONG_NUMBER.findall(text))


def _digits(text: str) -> int:
    return sum(sign.isdigit() for sign in text)


def _plain(text: str) -> str:
    return "".join(sign for sign in folded(text) if sign.isalnum())


def _names(found: str, label: str) -> NameFit:
    if _plain(found) == _plain(label):
        return "same"
    fits = [_words(*words) for words in product(readings(found), readings(label))]
    return min(fits, key=_GRAVITY.index, default="differs")


def _words(one: Sequence[str], other: Sequence[str]) -> NameFit:
    """How the words of two names fit, each its own: whole names in any order, initials in the order of the names."""
    shorter, longer = sorted((one, other), key=len)
    turned = _ways(shorter, permutations(longer, len(shorter)))
    if not turned:
        return "differs"
    if any(all(len(word) == 1 for word in words) for words in (one, other)):
        # One initial alone fits nearly anybody.
        return "same" if len(shorter) > 1 and _ways(shorter, combinations(longer, len(shorter))) else "near"
    return "same" if any(SLIP not in fits for fits in turned) else "near"


def _ways(words: Sequence[str], ways: Iterable[Sequence[str]]) -> list[list[float]]:
    """How well each word fits, for every way in which all of them do."""
    tried = ([_word(word, other) for word, other in zip(words, way, strict=True)] for way in ways)
    return [fits for fits in tried if all(fits)]


def _word(word: str, other: str) -> float:
    return word_fit(word, other) or (SLIP if _one_letter_more(word, other) else 0)


def _one_letter_more(word: str, other: str) -> bool:
    """Whether a short name has one letter more in the other spelling: Jon, John; but Tim and Tom are two people."""
    shorter, longer = sorted((word, other), key=len)
    if len(shorter) < 3 or len(longer) - len(shorter) != 1 or shorter[0] != longer[0]:
        return False
    return any(longer[:at] + longer[at + 1 :] == shorter for at in range(len(longer)))
