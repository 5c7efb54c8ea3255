"""The history's chain: every event's hash covers the event and the hash before it (SHA-256, FIPS 180-4).

What names a patient is hashed by way of a salted digest, so that it can be erased by law, salt and all, and the chain
still verifies. Cutting off the newest events leaves a sound chain; it shows against a head remembered elsewhere.
"""

import hashlib
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, insert, select, update
from sqlalchemy.orm import Session

from intake.store.columns import canonical, clean
from intake.store.tables import ChainHeadTable, EventTable

FIRST = "0" * 64
"""The hash before the first event."""


@dataclass(frozen=True)
class Head:
    """Where a history ends: how many events, and the hash of the last."""

    count: int
    hash: str


@dataclass(frozen=True)
class Broken:
    """The first event at which a history does not hold, and why."""

    seq: int
    why: str


@dataclass(frozen=True)
class Subject:
    """What an event is about."""

    case_id: int | None = None
    job: str | None = None
    practice: str | None = None
    arrival_id: int | None = None


def personal_digest(salt: str, personal: str) -> str:
    """The digest that stands for what names a patient."""
    return hashlib.sha256(f"{salt}{personal}".encode()).hexdigest()


def event_hash(event: Mapping[str, Any]) -> str:
    """The hash of one event: SHA-256 over the canonical JSON of its columns, personal ones by their digest."""
    at: datetime = event["at"]
    covered = [event["seq"], at.isoformat(timespec="microseconds"), event["who"], event["kind"], event["case_id"]]
    covered += [event["job"], event["practice"], event["arrival_id"], event["details"], event["digest"]]
    return hashlib.sha256(canonical([*covered, event["previous"]]).encode()).hexdigest()


class Journal:
    """The events of one unit of work, chained to the history, written at its commit."""

    def __init__(self, session: Session, who: str, at: datetime) -> None:
        """Lock the end of the history until the transaction ends: there is one writer at a time."""
        self._session, self.who, self.at = session, clean(who), at
        columns = ChainHeadTable.seq, ChainHeadTable.hash
        self._seq, self._hash = session.execute(select(*columns).with_for_update()).one()
        self._events: list[dict[str, Any]] = []
        self._written = False

    @property
    def head(self) -> Head:
        """Where the history ends, with what was recorded so far."""
        return Head(self._seq, self._hash)

    def record(
        self, kind: str, subject: Subject, details: Mapping[str, Any], personal: Mapping[str, Any] | None = None
    ) -> None:
        """Add an event; whatever names a patient goes into `personal`."""
        if self._written:
            raise RuntimeError("This unit of work is committed, and the end of the history is let go: begin another.")
        self._seq += 1
        event: dict[str, Any] = {"seq": self._seq, "at": self.at, "who": self.who, "kind": kind, **vars(subject)}
        event["practice"] = subject.practice and clean(subject.practice)
        event |= {"details": canonical(details), "personal": None, "salt": None, "digest": "", "previous": self._hash}
        if personal:
            salt, text = secrets.token_hex(16), canonical(personal)
            event |= {"personal": text, "salt": salt, "digest": personal_digest(salt, text)}
        event["hash"] = self._hash = event_hash(event)
        self._events.append(event)

    def write(self) -> None:
        """Write the events and the new end of the history; nothing can be recorded afterwards."""
        self._written = True
        if self._events:
            self._session.connection().execute(insert(EventTable), self._events)
            head = update(ChainHeadTable).values(seq=self._seq, hash=self._hash)
            self._session.connection().execute(head)


def verify(connection: Connection, remembered: Head | None = None) -> Head | Broken:
    """Walk the whole history; its head when it holds, or the first event at which it does not.

    Args:
        connection: Read in one transaction.
        remembered: A head kept outside the database, such as a backup's: the history must still contain it.
    """
    previous, count = FIRST, 0
    events = select(EventTable.__table__).order_by(EventTable.seq)
    with connection.execution_options(yield_per=5000).execute(events) as rows:
        for row in rows:
            count += 1
            why = _fault(row, count, previous, remembered)
            if why:
                return Broken(count, why)
            previous = row.hash
    return _ending(connection, Head(count, previous), remembered)


def _fault(row: Row[Any], seq: int, previous: str, remembered: Head | None) -> str:
    """What is wrong with an event, in a sentence; empty when it holds."""
    if row.seq != seq:
        return f"Event {seq} is missing."
    if row.previous != previous:
        return f"Event {seq} does not follow the event before it."
    if row.hash != event_hash(row._asdict()):
        return f"Event {seq} was changed after it was written."
    if (row.personal is None) != (row.salt is None) or (
        row.personal is not None and row.digest != personal_digest(row.salt, row.personal)
    ):
        return f"The patient's part of event {seq} was changed after it was written."
    if remembered and remembered.count == seq and remembered.hash != row.hash:
        return f"Event {seq} is not the one that was remembered."
    return ""


def _ending(connection: Connection, found: Head, remembered: Head | None) -> Head | Broken:
    """The head, when the history ends where it says and not before a remembered one."""
    ends = connection.execute(select(ChainHeadTable.seq, ChainHeadTable.hash)).one_or_none()
    if ends is None or tuple(ends) != (found.count, found.hash):
        return Broken(found.count + 1, f"The history ends at event {found.count}, which is not its last.")
    if remembered and remembered.count > found.count:
        return Broken(found.count + 1, f"Event {remembered.count} was remembered; the history ends at {found.count}.")
    return found
