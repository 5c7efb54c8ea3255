"""A case in two: some of its appliances become a case of their own, each with what belongs to it.

Two prescriptions on one sheet, or two patients in one bag: common practice, no source. What came is kept with both
parts, since nobody can tell by the paper; only what shows an arch that one part alone needs goes with that part.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import TypeVar

from intake.domain.arches import BOTH, OneArch, working_arches
from intake.domain.case import Appliance, Arch, Case, Patient, SeenScan, Spoken, Waiver
from intake.domain.lab import Lab
from intake.domain.patient_labels import alike
from intake.domain.rulebook import Received
from intake.errors import IntakeError

Said = TypeVar("Said", Waiver, Spoken)
_SAME_PATIENT = 0.5
"""From here on the name that was found on the tray is taken for the new case's patient."""


class CannotSplit(IntakeError):
    """A case that cannot be split so."""


@dataclass(frozen=True)
class Split:
    """A case in two."""

    stays: Case
    leaves: Case
    places_stay: Mapping[int, int]
    """Where each appliance that stays was, to where it is now."""
    places_leave: Mapping[int, int]


def split(case: Case, chosen: Collection[int], lab: Lab, patient: Patient | None = None) -> Split:
    """Splits a case.

    Args:
        case: The case.
        chosen: The places of the appliances that become a case of their own.
        lab: The lab setup.
        patient: Label and reference of the new case's patient, where that is another one. Allergies and age stay
            with both: whose they are has to be asked, and both are treated as if they were theirs until then.

    Raises:
        CannotSplit: no appliance is chosen, or all of them are.
    """
    leaving = sorted(set(chosen) & set(range(len(case.appliances))))
    staying = [index for index in range(len(case.appliances)) if index not in leaving]
    if not leaving:
        raise CannotSplit("Choose the appliances that become a case of their own.")
    if not staying:
        raise CannotSplit("Leave at least one appliance where it is: a case has something to make.")
    needs = tuple(frozenset(_needed(case, part, lab)) for part in (staying, leaving))
    stays, leaves = (
        _part(case, part, own, other)
        for part, own, other in zip((staying, leaving), needs, reversed(needs), strict=True)
    )
    if patient is not None:
        stays, leaves = _two_patients(stays, leaves, patient)
    return Split(stays, leaves, _places(staying), _places(leaving))


def needed_arches(appliance: Appliance, lab: Lab) -> tuple[OneArch, ...]:
    """The arches that something to make has to be shown of: its own, and the opposing one where the lab asks for it.

    Both, where nobody says on which it is made.
    """
    own = working_arches(appliance, lab)
    return own if len(own) == 1 and not _opposing_is_asked(appliance.type, lab) else BOTH


def _opposing_is_asked(kind: str, lab: Lab) -> bool:
    rules = (rule for rule in lab.rules if rule.types in ("case", "every") or kind in rule.types)
    return any(
        isinstance(each, Received) and each.arch in ("opposing", "each") for rule in rules for each in rule.satisfied_by
    )


def _needed(case: Case, part: Collection[int], lab: Lab) -> set[OneArch]:
    return {arch for index in part for arch in needed_arches(case.appliances[index], lab)}


def _part(case: Case, part: Collection[int], own: Collection[OneArch], other: Collection[OneArch]) -> Case:
    """The appliances of one part with what belongs to them."""
    places = _places(part)
    scans = tuple(scan for scan in case.scans if _belongs(_shown_by(scan), own, other))
    has_both = set(BOTH) <= {scan.shows for scan in scans}
    return case.model_copy(
        update={
            "appliances": tuple(case.appliances[index] for index in part),
            "items": tuple(item for item in case.items if _belongs(item.arch, own, other)),
            "scans": scans,
            "arches": case.arches if has_both or not case.scans else None,
            "waived": _moved(case.waived, places),
            "spoken": _moved(case.spoken, places),
        }
    )


def _belongs(arch: Arch | None, own: Collection[OneArch], other: Collection[OneArch]) -> bool:
    """Whether what shows an arch belongs to a part; not where it is the other part alone that needs it."""
    if arch is None or arch == "both":
        return True
    return arch in own or arch not in other


def _shown_by(scan: SeenScan) -> Arch | None:
    return scan.shows if scan.shows in ("upper", "lower") else None


def _moved(said: Collection[Said], places: Mapping[int, int]) -> tuple[Said, ...]:
    """What is said of the case, and of the appliances of a part, by their new places."""
    return tuple(
        each if each.appliance is None else each.model_copy(update={"appliance": places[each.appliance]})
        for each in said
        if each.appliance is None or each.appliance in places
    )


def _places(part: Collection[int]) -> dict[int, int]:
    return {before: now for now, before in enumerate(part)}


def _two_patients(stays: Case, leaves: Case, patient: Patient) -> tuple[Case, Case]:
    """Both with their patients; the name that was found goes to the one that it is of, where that can be told."""
    found = stays.patient.found
    is_theirs = found is not None and (alike(found, patient.label or "") or 0) >= _SAME_PATIENT
    is_ours = found is not None and (alike(found, stays.patient.label or "") or 0) >= _SAME_PATIENT
    goes = is_theirs and not is_ours
    theirs = leaves.patient.model_copy(
        update={"label": patient.label, "reference": patient.reference, "found": found if goes else None}
    )
    ours = stays.patient.model_copy(update={"found": None}) if goes else stays.patient
    return stays.model_copy(update={"patient": ours}), leaves.model_copy(update={"patient": theirs})
