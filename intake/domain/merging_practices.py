"""Two entries of one practice made one: what the one that stays takes over, and what it keeps."""

from collections.abc import Iterable
from typing import Any

from intake.domain.folding import fold
from intake.domain.practice import Practice, StandingInstruction

_ALONE = ("telephone", "email", "hours", "service", "transit_days", "language", "notation")
"""Taken over one by one, where the entry that stays says nothing."""
_TOGETHER = (("address", "postcode"), ("country", "subdivision", "zone"))
"""Taken over together or not at all: half an address would be another one."""


def one_practice(stays: Practice, goes: Practice) -> Practice:
    """The entry that stays, with what only the other one says, and its codes among the former ones.

    Who signs at either signs there. The other's standing instructions come behind its own: where both say something of
    one thing, its own counts. Notes of both are kept.
    """
    taken: dict[str, Any] = {field: getattr(goes, field) for field in taken_over(stays, goes)}
    taken["prescribers"] = _both_names(stays.prescribers, goes.prescribers)
    taken["standing"] = _both_standing(stays.standing, goes.standing)
    taken["notes"] = "\n".join(dict.fromkeys(filter(None, (stays.notes, goes.notes))))
    taken["former"] = tuple(dict.fromkeys((*stays.former, goes.code, *goes.former)))
    return stays.model_copy(update=taken)


def taken_over(stays: Practice, goes: Practice) -> tuple[str, ...]:
    """The fields that the entry that stays gets whole from the other."""
    found = [field for field in _ALONE if not _says(stays, field) and _says(goes, field)]
    for fields in _TOGETHER:
        if not any(_says(stays, field) for field in fields):
            found += [field for field in fields if _says(goes, field)]
    return tuple(found)


def left_behind(stays: Practice, goes: Practice) -> tuple[str, ...]:
    """The fields in which the two entries differ, and the one that stays keeps its own."""
    compared = ("name", *_ALONE, *(field for fields in _TOGETHER for field in fields), "open_weekdays")
    taken = taken_over(stays, goes)
    return tuple(
        field
        for field in compared
        if field not in taken and _says(goes, field) and getattr(goes, field) != getattr(stays, field)
    )


def _says(practice: Practice, field: str) -> bool:
    return getattr(practice, field) not in (None, "", ())


def _both_names(own: Iterable[str], others: Iterable[str]) -> tuple[str, ...]:
    names: dict[str, str] = {}
    for name in (*own, *others):
        names.setdefault(" ".join(fold(name).split()), name)
    return tuple(names.values())


def _both_standing(
    own: tuple[StandingInstruction, ...], others: tuple[StandingInstruction, ...]
) -> tuple[StandingInstruction, ...]:
    return (*own, *(each for each in others if each not in own))
