"""A save that comes too late: it is refused with what somebody else changed, and nothing of it is lost."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session

from intake.errors import IntakeError
from intake.store.differences import Flat
from intake.store.tables import EventTable

_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


class NotThere(IntakeError):
    """What was asked for is not in the store."""


class NotNow(IntakeError):
    """What was asked for does not fit the state that something is in."""


@dataclass(frozen=True)
class Change:
    """One field that somebody else changed since it was read here."""

    field: str
    mine: Any
    theirs: Any
    who: str
    at: datetime


class ChangedMeanwhile(IntakeError):
    """It was changed since it was read: `changes` says by whom, when and to what; `version` is the one that stands."""

    def __init__(self, what: str, version: int, found: tuple[Change, ...]) -> None:
        """Say what changed, of `what`, which stands at `version`."""
        self.changes = found
        self.version = version
        super().__init__(_sentence(what, found))


def _sentence(what: str, found: tuple[Change, ...]) -> str:
    if not found:
        return f"{what} was changed at another desk meanwhile. Nothing was saved: look at it again, then save."
    last = max(found, key=lambda change: change.at)
    fields = "; ".join(f"{c.field} is now {_quoted(c.theirs)}, yours {_quoted(c.mine)}" for c in found[:4])
    more = f"; and {len(found) - 4} more" if len(found) > 4 else ""
    return (
        f"{what} was changed by {last.who} on {_moment(last.at)}: {fields}{more}. Nothing was saved: compare and save."
    )


def _quoted(value: Any) -> str:
    return "empty" if value in (None, "", []) else f"“{value}”"


def _moment(at: datetime) -> str:
    """With the weekday; not by strftime, which a desktop's locale would translate."""
    return f"{_WEEKDAYS[at.weekday()]} {at.day} {_MONTHS[at.month - 1]} {at.year} at {at:%H:%M}"


def refuse_stale(
    session: Session, what: str, versions: tuple[int, int], about: ColumnElement[bool], theirs: Flat, mine: Flat | None
) -> None:
    """Refuse a save of something that has moved on.

    Args:
        session: Where the events are read.
        what: What is saved, as the subject of a sentence.
        versions: The version that was read, and the one that stands.
        about: Which events tell of it.
        theirs: The fields as they stand.
        mine: The fields as they would be saved; None when only a state is set, then what was read counts as mine.

    Raises:
        ChangedMeanwhile: when the versions are not the same.
    """
    read, stands = versions
    if read == stands:
        return
    found: dict[str, Change] = {}
    for field, before, who, at in _changed_since(session, read, about):
        seen = found[field].mine if field in found else before
        found[field] = Change(field, seen if mine is None else mine.get(field), theirs.get(field), who, at)
    raise ChangedMeanwhile(what, stands, tuple(change for change in found.values() if change.mine != change.theirs))


def _changed_since(
    session: Session, version: int, about: ColumnElement[bool]
) -> Iterator[tuple[str, Any, str, datetime]]:
    """Each field that was changed after a version, with its value before, by whom and when; oldest first."""
    columns = EventTable.details, EventTable.personal, EventTable.who, EventTable.at
    for details, personal, who, at in session.execute(select(*columns).where(about).order_by(EventTable.seq)):
        told = json.loads(details)
        if told.get("version", 0) > version:
            hidden = json.loads(personal) if personal else {}
            for field, (before, _) in (told.get("changes", {}) | hidden.get("changes", {})).items():
                yield field, before, who, at
