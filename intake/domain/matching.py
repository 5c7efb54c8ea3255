"""What was promised and what arrives: whether an arrival may be what a case waits for, and the case once it is joined.

A match is only ever offered; a person joins it. A patient's reference that differs rules a match out.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from intake.domain.arches import BOTH, OneArch
from intake.domain.case import Case, Condition, Item, ItemKind, SeenCondition
from intake.domain.wording import ITEM_WORDS, listed

_NO_SHEET: frozenset[Condition] = frozenset({"prescription-missing", "prescription-unreadable"})
NOTHING_CAME = "Enter first what came, such as b for a bite record."


@dataclass(frozen=True)
class Expected:
    """Something that was promised for a case."""

    query_id: int
    case_id: int
    requirement: str
    items: tuple[ItemKind, ...]
    """Any one of these; empty where that could not be told."""
    way: Literal["post", "scan"]
    patient_label: str
    patient_reference: str
    practice_key: str


def fits(expected: Expected, arriving: Case, practice_key: str) -> str:
    """Why an arrival may be what was promised: `reference 20418, brings a bite record`; empty where it is not.

    Practice and patient have to be the same, by the reference where both have one, else by the label; and something
    that was promised has to be among what came, as far as that is entered.
    """
    if practice_key != expected.practice_key:
        return ""
    who = _same_patient(expected, arriving)
    brings = _brings(expected, arriving.items)
    if not who or (arriving.items and not brings):
        return ""
    return f"{who}, brings {brings}" if brings else who


def joined(case: Case, arriving: Case) -> Case:
    """The case with what came for it added, and what has to be known before it is touched.

    A new allergy and “not disinfected” are taken over, since they can hurt somebody; see `left_out` for the rest.
    """
    sheets = _sheet_wanted(case)
    added = tuple(item for item in arriving.items if item.item != "prescription-sheet" or sheets)
    known = {allergy.casefold() for allergy in case.patient.allergies}
    new = tuple(allergy for allergy in arriving.patient.allergies if allergy.casefold() not in known)
    hygiene = arriving.hygiene if arriving.hygiene == "not-disinfected" else case.hygiene
    found = dict.fromkeys(filter(None, (case.patient.found, arriving.patient.found)))
    told = {"allergies": (*case.patient.allergies, *new), "found": "; ".join(found) or None}
    taken = {
        "items": (*case.items, *added),
        "hygiene": hygiene,
        "patient": case.patient.model_copy(update=told),
        "condition": both_conditions(case.condition, arriving.condition),
    }
    return case.model_copy(update=taken)


def _sheet_wanted(case: Case) -> bool:
    """Whether the prescription itself is what a case waits for."""
    return case.condition is not None and not _NO_SHEET.isdisjoint(case.condition.seen)


def both_conditions(one: SeenCondition | None, other: SeenCondition | None) -> SeenCondition | None:
    """What was seen of two parcels of one case; it is accepted only where each that has a flaw is."""
    if one is None or other is None or one == other:
        return one or other
    flawed = [each for each in (one, other) if any(seen != "dry" for seen in each.seen)]
    taken_on = dict.fromkeys(each.accepted_by for each in flawed)
    notes = dict.fromkeys(filter(None, (one.note, other.note)))
    return SeenCondition(
        seen=tuple(dict.fromkeys((*one.seen, *other.seen))),
        note="; ".join(notes),
        accepted_by=", ".join(taken_on) if all(taken_on) else "",
    )


def with_said_scans(case: Case, before: Case) -> Case:
    """A case that got its first scans, with those of other jaws that were only said to be there before."""
    shown = {item.arch for item in case.items if item.item == "scan"}
    arches = [(item, arch) for item in before.items if item.item == "scan" for arch in _each(item) if arch not in shown]
    scans = [item.model_copy(update={"arch": arch}) for item, arch in arches]
    has_bite = any(item.item == "bite-record" for item in case.items)
    bites = [item for item in before.items if item.item == "bite-record" and item.source == "scan" and not has_bite]
    return case.model_copy(update={"items": (*case.items, *scans, *bites)})


def left_out(case: Case, arriving: Case) -> tuple[str, ...]:
    """What an arrival says otherwise than the case that it is joined to, and what is not taken over: `the notes`."""
    said = (
        ("the appliances", arriving.appliances, case.appliances),
        ("the appointment", arriving.appointment, case.appointment),
        ("the prescriber", arriving.prescriber, case.prescriber),
        ("the notes", arriving.notes.strip(), case.notes.strip()),
    )
    return tuple(words for words, new, before in said if new and new != before)


def _each(item: Item) -> tuple[OneArch, ...]:
    return BOTH if item.arch == "both" else (item.arch,) if item.arch else ()


def _same_patient(expected: Expected, arriving: Case) -> str:
    reference, label = arriving.patient.reference or "", arriving.patient.label or ""
    if reference.strip() and expected.patient_reference.strip():
        same = _plain(reference) == _plain(expected.patient_reference)
        return f"reference {expected.patient_reference}" if same else ""
    if label.strip() and _plain(label) == _plain(expected.patient_label):
        return f"patient {expected.patient_label}"
    return ""


def _brings(expected: Expected, items: Sequence[Item]) -> str:
    kinds = [item.item for item in items if not expected.items or item.item in expected.items]
    return (
        listed([f"a{'n' if kind[0] in 'aeiou' else ''} {ITEM_WORDS[kind]}" for kind in dict.fromkeys(kinds)])
        if kinds
        else ""
    )


def _plain(text: str) -> str:
    """Letters and digits alone, in any case: how a label is written differs from paper to paper."""
    return "".join(sign for sign in text.casefold() if sign.isalnum())
