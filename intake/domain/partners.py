"""What came apart and belongs together: how likely two arrivals, or an arrival and a held case, are of one patient.

Likeness is only ever offered, likeliest first; a person puts them together. A patient's reference that differs, another
practice, a label that plainly is another's, or two orders for different appliances rule it out.
"""

from dataclasses import dataclass
from datetime import date
from itertools import combinations

from intake.domain.case import Case
from intake.domain.lab import Lab
from intake.domain.patient_labels import alike
from intake.domain.practice_search import folded
from intake.domain.rulebook import ArchesSeen, Received, ScanFaulty
from intake.domain.wording import appliance_name, counted

_TELLS = 0.5
"""From here on a label alone says that it may be the same patient."""
_LEAST_IN_NAME = 4
"""A reference that is looked for in the names of files has so many signs at least, and a digit."""


@dataclass(frozen=True)
class Known:
    """What is known of an arrival, or of a case, to tell what belongs to it."""

    practice: str
    """Its code, or its name where the directory has none; empty where it is not named."""
    label: str
    reference: str
    appliances: tuple[str, ...]
    """The names of what is to be made."""
    arrived: date
    """When it came; of a held case, when it was last asked for."""
    has_scans: bool
    has_prescription: bool
    names: tuple[str, ...] = ()
    """What its files are called."""


@dataclass(frozen=True)
class Likeness:
    """How likely two are of one patient, and why."""

    score: float
    """From 0 to 1, to be sorted by; from 0.5 on both have the same reference."""
    same: str
    """What is the same: `same practice, reference 20418`."""
    days: int
    """How many days apart they came."""

    @property
    def why(self) -> str:
        """In words: `same practice, reference 20418, 1 day apart`."""
        apart = f"{counted(self.days, 'day')} apart" if self.days else "on the same day"
        return f"{self.same}, {apart}"


def likeness(one: Known, other: Known, within: int) -> Likeness | None:
    """How likely two belong together; None where they cannot, or nothing says that they are of one patient.

    Args:
        one: The one.
        other: The other; it makes no difference which is which.
        within: How many days apart they may have come.
    """
    days = abs((one.arrived - other.arrived).days)
    practices = {folded(each.practice) for each in (one, other)}
    named = "" not in practices
    if days > within or len(practices - {""}) > 1 or _two_orders(one, other):
        return None
    label = alike(one.label, other.label)
    same, in_name = _same_reference(one, other), _reference_in_name(one, other)
    tells = same or in_name or (named and label is not None and label >= _TELLS)
    if label == 0 or same is False or not tells:
        return None
    # What names the patient goes before all else; the rest only sorts what is alike in that, and adds up to 0.12.
    rank = 0.5 * bool(same) + 0.25 * (bool(same) or in_name) + 0.125 * named
    near = 1 - days / (within + 1)
    score = rank + 0.08 * (label or 0) + 0.03 * near + 0.01 * _completes(one, other)
    practice = "same practice" if named else "its practice is not named"
    return Likeness(score, f"{practice}, {_patient(one, other, bool(same), in_name)}", days)


def scans_settle(requirement: str, lab: Lab) -> bool:
    """Whether a scan can settle a question: it is about a scan, or a scan or the way the arches bite is enough."""
    rules = [rule for rule in lab.rules if rule.id == requirement]
    about = any(isinstance(each, ScanFaulty) for rule in rules for each in rule.when)
    return about or any(_by_scan(each) for rule in rules for each in rule.satisfied_by)


def appliance_names(case: Case, lab: Lab) -> tuple[str, ...]:
    """The names of what a case asks for, as two orders are compared by."""
    return tuple(sorted({appliance_name(appliance, lab) for appliance in case.appliances}))


def _by_scan(satisfier: object) -> bool:
    if isinstance(satisfier, Received):  # no scan says how many mm a bite was opened
        return not satisfier.with_mm and any(kind in satisfier.received for kind in ("scan", "bite-record"))
    return isinstance(satisfier, ArchesSeen)


def _two_orders(one: Known, other: Known) -> bool:
    """Whether both say what is to be made, and it is not the same."""
    return bool(one.appliances and other.appliances) and set(one.appliances) != set(other.appliances)


def _completes(one: Known, other: Known) -> bool:
    """Whether one has the scans and the other the prescription that it lacks."""
    return any(
        this.has_scans and not this.has_prescription and that.has_prescription and not that.has_scans
        for this, that in ((one, other), (other, one))
    )


def _same_reference(one: Known, other: Known) -> bool | None:
    """Whether both have the same reference; None where one has none."""
    mine, theirs = _squashed(one.reference), _squashed(other.reference)
    return mine == theirs if mine and theirs else None


def _reference_in_name(one: Known, other: Known) -> bool:
    """Whether the reference that only one has stands in the name of a file of the other."""
    return any(
        bool(reference) and not _squashed(that.reference) and any(reference in _runs(name) for name in that.names)
        for this, that in ((one, other), (other, one))
        for reference in [_to_look_for(this.reference)]
    )


def _to_look_for(reference: str) -> str:
    wanted = _squashed(reference)
    return wanted if len(wanted) >= _LEAST_IN_NAME and any(sign.isdigit() for sign in wanted) else ""


def _runs(name: str) -> set[str]:
    """Every run of words of a file's name, drawn together: “AB-204 upper.stl” has ab204."""
    words = "".join(sign if sign.isalnum() else " " for sign in folded(name)).split()
    return {"".join(words[first:last]) for first, last in combinations(range(len(words) + 1), 2)}


def _squashed(text: str) -> str:
    return "".join(sign for sign in folded(text) if sign.isalnum())


def _patient(one: Known, other: Known, same: bool, in_name: bool) -> str:
    """Why it is the same patient: `reference 20418`, `patient J.T. and J. Thornley`."""
    reference = min(filter(None, (one.reference.strip(), other.reference.strip())), default="")
    if same:
        return f"reference {reference}"
    if in_name:
        return f"{reference} in the name of a file"
    labels = sorted({one.label.strip(), other.label.strip()}, key=lambda label: (len(label), label))
    return f"patient {' and '.join(labels)}"
