"""Two cases that are the same: the one that stands gets what only the other has, and nothing of it is overwritten.

Booked twice, or by post and by scan: common practice, no source.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from intake.domain.case import Appliance, Arch, Case, Frozen, Hygiene, Item, Options, Patient
from intake.domain.circumstances import hygiene_meant
from intake.domain.lab import Lab

Said = TypeVar("Said")
_GRAVEST: tuple[Hygiene, ...] = ("not-disinfected", "unknown", "disinfected", "not-applicable")
"""Of two statements on disinfection the first of these holds for all that came."""
_OF_THE_CASE = ("practice", "prescriber", "appointment", "posted", "condition", "arches")
_OF_THE_PATIENT = ("label", "reference", "found", "under_18")


@dataclass(frozen=True)
class Differs:
    """What both say, and not the same."""

    place: str
    """The field, such as `appliances[0].options.thickness_mm`."""
    stays: Any
    """As JSON has it."""
    theirs: Any


@dataclass(frozen=True)
class Merged:
    """Two cases as one."""

    case: Case
    differs: tuple[Differs, ...]
    places: Mapping[int, int]
    """Where each appliance of the other one is now."""
    taken: tuple[str, ...]
    """What the standing one got, by the fields of a case: `items`, `notes`."""


def merged(stands: Case, other: Case, lab: Lab) -> Merged:
    """Puts two cases together that are the same.

    An item, a scan or an appliance that both have is there once. What may be for another patient is never decided
    here: where both say something, what stands is kept, and the difference is given to be shown.
    """
    differs: list[Differs] = []
    appliances, places = _appliances(stands, other, lab, differs)
    patient = _patient(stands.patient, other.patient, differs)
    update: dict[str, Any] = {
        field: _one(field, getattr(stands, field), getattr(other, field), differs) for field in _OF_THE_CASE
    }
    waived = [each.model_copy(update={"appliance": _place(places, each.appliance)}) for each in other.waived]
    spoken = [each.model_copy(update={"appliance": _place(places, each.appliance)}) for each in other.spoken]
    update |= {
        "patient": patient,
        "appliances": appliances,
        "items": _items(stands.items, other.items),
        "scans": _union(stands.scans, other.scans),
        "hygiene": _hygiene(stands, other, differs),
        "notes": _text(stands.notes, other.notes),
        "waived": _where_unsaid(stands.waived, waived),
        "spoken": _where_unsaid(stands.spoken, spoken),
        "raised": _union(stands.raised, other.raised),
    }
    case = stands.model_copy(update=update)
    taken = tuple(field for field in Case.model_fields if getattr(case, field) != getattr(stands, field))
    return Merged(case, tuple(differs), places, taken)


def _appliances(
    stands: Case, other: Case, lab: Lab, differs: list[Differs]
) -> tuple[tuple[Appliance, ...], dict[int, int]]:
    """The appliances of both, each once, and where those of the other one are among them."""
    appliances, places = list(stands.appliances), dict[int, int]()
    for fits in (_is_equal, _is_same, lambda mine, theirs: _is_alike(mine, theirs, lab)):
        for at, theirs in enumerate(other.appliances):
            free = (n for n in range(len(stands.appliances)) if n not in places.values())
            if at not in places and (mine := next((n for n in free if fits(appliances[n], theirs)), None)) is not None:
                places[at] = mine
                appliances[mine] = _filled(f"appliances[{mine}]", appliances[mine], theirs, differs)
    for at, theirs in enumerate(other.appliances):
        if at not in places:
            places[at] = len(appliances)
            appliances.append(theirs)
    return tuple(appliances), places


def _place(places: Mapping[int, int], index: int | None) -> int | None:
    return None if index is None else places[index]


def _is_equal(mine: Appliance, theirs: Appliance) -> bool:
    return mine == theirs


def _is_same(mine: Appliance, theirs: Appliance) -> bool:
    """Whether both are of one kind and may be for one arch."""
    return mine.type == theirs.type and _may_be(mine.arch, theirs.arch)


def _is_alike(mine: Appliance, theirs: Appliance, lab: Lab) -> bool:
    """Whether both are of one category and may be for one arch: one thing that was read in two ways."""
    kinds = [lab.type_by_id.get(each.type) for each in (mine, theirs)]
    categories = {kind.category for kind in kinds if kind is not None}
    return None not in kinds and len(categories) == 1 and _may_be(mine.arch, theirs.arch)


def _may_be(mine: Arch | None, theirs: Arch | None) -> bool:
    return mine == theirs or mine is None or theirs is None


def _filled(place: str, mine: Appliance, theirs: Appliance, differs: list[Differs]) -> Appliance:
    """An appliance with what only the other one says of it; of another kind it says nothing that could be taken."""
    if mine.type != theirs.type:
        differs.append(Differs(f"{place}.type", mine.type, theirs.type))
        return mine
    options = {
        name: _one(f"{place}.options.{name}", getattr(mine.options, name), getattr(theirs.options, name), differs)
        for name in Options.model_fields
    }
    said = {
        name: _one(f"{place}.{name}", getattr(mine, name), getattr(theirs, name), differs) for name in ("arch", "teeth")
    }
    unclear = _union(mine.unclear_teeth, theirs.unclear_teeth)
    more = {"options": Options(**options), "notes": _text(mine.notes, theirs.notes), "unclear_teeth": unclear}
    return mine.model_copy(update=said | more)


def _patient(mine: Patient, theirs: Patient, differs: list[Differs]) -> Patient:
    said = {
        name: _one(f"patient.{name}", getattr(mine, name), getattr(theirs, name), differs) for name in _OF_THE_PATIENT
    }
    known = {allergy.casefold() for allergy in mine.allergies}
    new = tuple(allergy for allergy in theirs.allergies if allergy.casefold() not in known)
    return mine.model_copy(update=said | {"allergies": (*mine.allergies, *new)})


def _one(place: str, mine: Any, theirs: Any, differs: list[Differs]) -> Any:
    """What stands; what only the other one says where nothing does. Both, where they are not the same, are noted."""
    if mine in (None, "", ()):
        return theirs
    if theirs not in (None, "", ()) and not _is_one(mine, theirs):
        differs.append(Differs(place, _plain(mine), _plain(theirs)))
    return mine


def _is_one(mine: Any, theirs: Any) -> bool:
    if isinstance(mine, str) and isinstance(theirs, str):
        return " ".join(mine.casefold().split()) == " ".join(theirs.casefold().split())
    return bool(mine == theirs)


def _plain(value: Any) -> Any:
    if isinstance(value, Frozen):
        written = value.model_dump(mode="json", exclude_none=True)
        return written.get("name") or written.get("says") or ", ".join(map(str, written.get("seen", ())))
    if isinstance(value, tuple):
        return list(value)
    return value.isoformat() if hasattr(value, "isoformat") else value


def _items(mine: Sequence[Item], theirs: Sequence[Item]) -> tuple[Item, ...]:
    """What came with both. One thing that both have is there once, with what either says of it."""
    items, free = list(mine), list(range(len(mine)))
    left = []
    for item in theirs:  # those that are the same to the letter first, so that none takes the place of another's
        same = next((n for n in free if items[n] == item), None)
        if same is None:
            left.append(item)
        else:
            free.remove(same)
    for item in left:
        fits = next((n for n in free if _fuller(items[n], item) is not None), None)
        if fits is None:
            items.append(item)
        else:
            free.remove(fits)
            items[fits] = _fuller(items[fits], item) or items[fits]
    return tuple(items)


def _fuller(mine: Item, theirs: Item) -> Item | None:
    """One thing with what both say of it; None where they say that it is two."""
    said = [each.model_dump(exclude_none=True) for each in (mine, theirs)]
    if any(said[0].get(field, value) != value for field, value in said[1].items()):
        return None
    if mine.source != theirs.source or mine.arch != theirs.arch:
        return None  # which arch, and whether it can be held in the hand: what is not sure is another thing
    return Item(**(said[1] | said[0]))


def _union(mine: tuple[Said, ...], theirs: tuple[Said, ...]) -> tuple[Said, ...]:
    return (*mine, *(each for each in theirs if each not in mine))


def _where_unsaid(mine: tuple[Any, ...], theirs: Sequence[Any]) -> tuple[Any, ...]:
    """What the other one has of requirements that nothing is said of here."""
    known = {(each.requirement, each.appliance) for each in mine}
    return (*mine, *(each for each in theirs if (each.requirement, each.appliance) not in known))


def _hygiene(stands: Case, other: Case, differs: list[Differs]) -> Hygiene:
    """What holds for all that came: the graver of both, since it protects whoever touches it."""
    said = [hygiene_meant(each) for each in (stands, other)]
    known = [each for each in said if each not in ("unknown", "not-applicable")]
    gravest = min(said, key=_GRAVEST.index)
    if len(set(known)) > 1:
        differs.append(Differs("hygiene", gravest, next(each for each in known if each != gravest)))
    return stands.hygiene if gravest == said[0] else gravest


def _text(mine: str, theirs: str) -> str:
    """Both notes, the standing one's first; once, where one holds the other."""
    if not theirs.strip() or theirs.strip() in mine:
        return mine
    if not mine.strip() or mine.strip() in theirs:
        return theirs
    return f"{mine.strip()}\n{theirs.strip()}"
