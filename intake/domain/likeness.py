"""Whether a case that is about to be saved may be here already: by post and by scan, sent again, typed twice.

It is only ever shown, with its reasons, and never keeps anybody from saving. Initials say little: they count at the
same practice alone, and with the same kind of work. Common practice, no source for the weights.
"""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from itertools import product
from typing import Literal

from intake.domain.case import Appliance, Case
from intake.domain.lab import Lab
from intake.domain.patient_labels import alike
from intake.domain.practice_search import folded
from intake.domain.wording import counted

WITHIN = 28
"""Days apart within which two are looked at: later, the same patient comes for something else."""
_SAME_NAME, _MAY_BE = 0.95, 0.5
"""From here on two labels are one name; from here on they may be one patient's."""
_SAME_WORK = 0.2
"""What the very same appliance adds; the same kind of work adds half of it."""
_SLIP = 0.75
"""From this share of the signs on a reference may be another one with a slip: `20418` and `20481`."""
Stream = Literal["post", "scan"]


@dataclass(frozen=True)
class Seen:
    """What is known of a case, to tell whether another one is the same."""

    practice: str
    """Its key; empty where none is named."""
    names: tuple[str, ...]
    """The patient's label, and the name that was found on the tray or the bag."""
    reference: str
    appliances: tuple[Appliance, ...]
    stream: Stream
    arrived: date
    returned: bool = False
    """Whether it was sent back to the practice."""


@dataclass(frozen=True)
class Alike:
    """How likely two are the same case, and why."""

    score: float
    """From 0 to 1."""
    why: tuple[str, ...]
    """Each reason in a few words: `same practice`, `reference 20418`."""


def seen(case: Case, practice: str, arrived: date, returned: bool = False) -> Seen:
    """What is known of a case."""
    names = tuple(name.strip() for name in (case.patient.label, case.patient.found) if name and name.strip())
    reference = (case.patient.reference or "").strip()
    return Seen(practice, names, reference, case.appliances, case.stream, arrived, returned)


def same_case(one: Seen, other: Seen, lab: Lab, within: int = WITHIN) -> Alike | None:
    """How likely a case is the same as an earlier one; None where it is not, or only chance says so.

    Args:
        one: The case that is about to be saved.
        other: The one that is here.
        lab: The lab setup.
        within: How many days apart they may have come.
    """
    days = abs((one.arrived - other.arrived).days)
    who = _patient(one, other) if days <= within else None
    work = _work(one.appliances, other.appliances, lab) if who is not None else None
    if who is None or work is None:
        return None
    practices = {one.practice, other.practice} - {""}
    same_practice, named = len(practices) == 1 and one.practice == other.practice, len(practices) > 1
    if not _is_enough(who, work, same_practice, named, near=2 * days <= within):
        return None
    ways = one.stream != other.stream
    score = who.score + work.score + 0.1 * same_practice + 0.05 * (ways or other.returned)
    score = (score + 0.05 * (1 - days / (within + 1))) * (0.6 if named else 1)
    practice = "same practice" if same_practice else "another practice" if named else "its practice is not named"
    apart = f"{counted(days, 'day')} apart" if days else "on the same day"
    by = {"post": "by post", "scan": "as scans"}
    way = f"{by[other.stream]} then and {by[one.stream]} now" if ways else ""
    again = "it was sent back" if other.returned else ""
    return Alike(round(min(score, 1), 3), tuple(filter(None, (practice, who.why, work.why, way, again, apart))))


@dataclass(frozen=True)
class _Reason:
    score: float
    why: str
    is_sure: bool = False
    """Whether it is a name in full, or a reference: more than chance by itself."""
    in_full: bool = False
    """Whether it is a name in full."""


def _is_enough(who: _Reason, work: _Reason, same_practice: bool, named: bool, near: bool) -> bool:
    """Whether it is more than chance.

    By a name in full or a reference; by initials at one practice alone, with one kind of work and soon after one
    another. At two practices a reference is a number like any other: there it takes the name and the very same work.
    """
    if named:
        return who.in_full and work.score >= _SAME_WORK
    if same_practice:
        return who.is_sure or (work.score > 0 and near)
    return who.is_sure and work.score > 0


def _patient(one: Seen, other: Seen) -> _Reason | None:
    """Why it may be one patient; None where it is not."""
    pairs = list(product(one.names, other.names))
    scored = [(alike(*pair) or 0, pair) for pair in pairs]
    best, (mine, theirs) = max(scored, default=(0.0, ("", "")), key=lambda each: each[0])
    whole = best >= _SAME_NAME and _is_whole(mine) and _is_whole(theirs)
    labels = mine if folded(mine) == folded(theirs) else f"{mine} and {theirs}"
    if one.reference and other.reference:
        references = _signs(one.reference), _signs(other.reference)
        if references[0] == references[1]:
            return None if scored and best == 0 else _Reason(0.55, f"reference {one.reference}", True, whole)
        if not whole or not _slipped(*references):
            return None
        return _Reason(0.4, f"patient {labels}, references {one.reference} and {other.reference}", True, whole)
    if whole:
        return _Reason(0.5, f"patient {labels}", True, whole)
    return _Reason(0.3 * best, f"patient {labels}") if best >= _MAY_BE else None


def _work(mine: Collection[Appliance], theirs: Collection[Appliance], lab: Lab) -> _Reason | None:
    """What both ask for; None where it is different work, which is another case."""
    if not mine or not theirs:
        return _Reason(0, "")
    if any(_is_one(one, other) for one, other in product(mine, theirs)):
        return _Reason(_SAME_WORK, "the same appliance")
    if {each.type for each in mine} & {each.type for each in theirs}:
        return None  # one kind on the upper and on the lower: an order in two parts, and both are wanted
    categories = [{kind.category for each in of if (kind := lab.type_by_id.get(each.type))} for of in (mine, theirs)]
    return _Reason(_SAME_WORK / 2, "the same kind of work") if categories[0] & categories[1] else None


def _is_one(mine: Appliance, theirs: Appliance) -> bool:
    arches = {mine.arch, theirs.arch}
    return mine.type == theirs.type and (len(arches) == 1 or None in arches or "both" in arches)


def _is_whole(label: str) -> bool:
    """Whether a label is a name in full: two words of more than a letter."""
    words = "".join(sign if sign.isalnum() else " " for sign in folded(label)).split()
    return sum(len(word) > 1 for word in words) >= 2


def _signs(reference: str) -> str:
    return "".join(sign for sign in folded(reference) if sign.isalnum())


def _slipped(one: str, other: str) -> bool:
    from rapidfuzz.distance import OSA  # slow to import, and seldom needed

    return OSA.normalized_similarity(one, other) >= _SLIP
