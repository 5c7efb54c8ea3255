"""Parcels: opened, what lies in them, what was seen, done and decided."""

from collections.abc import Collection
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, func, or_, select
from sqlalchemy.orm import Session

from intake.domain.parcels import ContentKind
from intake.store.arrivals import Arrivals
from intake.store.chain import Journal, Subject
from intake.store.columns import canonical
from intake.store.differences import changes, flat
from intake.store.hygiene import Hygiene
from intake.store.meanwhile import NotNow, NotThere, refuse_stale
from intake.store.parcel_rows import ParcelFacts
from intake.store.parcel_settling import recount, tell_case
from intake.store.physical_tables import ParcelContentTable, ParcelFileTable, ParcelTable
from intake.store.rows import NewArrival
from intake.store.tables import ArrivalTable, EventTable
from intake.store.words import ParcelState

_PERSONAL = ("note", "why")
"""What of a parcel is free text, which can name a patient."""


class Parcels:
    """The parcels of one unit of work."""

    def __init__(self, session: Session, journal: Journal, arrivals: Arrivals) -> None:
        """Write through a session and its journal; what is to be booked waits among the arrivals."""
        self._session, self._journal, self._arrivals = session, journal, arrivals
        self.hygiene = Hygiene(session, journal)

    def open(self, facts: ParcelFacts, at: datetime, again_of: int | None = None) -> int:
        """Keep a parcel that came at a time; its id. `again_of` is the one that had its label before."""
        row = ParcelTable(
            **(vars(facts) | {"seen": list(facts.seen)}),
            at=at,
            who=self._journal.who,
            state="open",
            why="",
            again_of=again_of,
        )
        self._session.add(row)
        self._save("parcel-opened", row, {})
        return row.id

    def change(self, parcel_id: int, version: int, facts: ParcelFacts) -> int:
        """Correct what is said of a parcel; its new version.

        Raises:
            NotThere: there is no such parcel.
            ChangedMeanwhile: it was changed since it was read.
        """
        row = self._row(parcel_id)
        before, columns = _state_of(row), vars(facts) | {"seen": list(facts.seen)}
        refuse_stale(
            self._session, "This parcel", (version, row.version), _tells_of(parcel_id), before, before | flat(columns)
        )
        return self._set("parcel-changed", row, columns)

    def set_state(self, parcel_id: int, kind: str, state: ParcelState, why: str = "") -> int:
        """Refuse a parcel, stop it, or go on with it; its new version. `kind` is the event's, such as `parcel-refused`.

        One that goes on is finished where all of it is settled.

        Raises:
            NotThere: there is no such parcel.
        """
        row = self._row(parcel_id)
        self._set(kind, row, {"state": state, "why": why})
        recount(self._session, self._journal, parcel_id)
        return row.version

    def add_content(
        self,
        parcel_id: int,
        kind: ContentKind,
        *,
        found: str = "",
        note: str = "",
        reason: str = "",
        arrival: NewArrival | None = None,
    ) -> tuple[int, int | None]:
        """Log one thing that lies in a parcel; its id, and that of the arrival that waits for it.

        Raises:
            NotThere: there is no such parcel.
        """
        self._row(parcel_id)
        last = select(func.max(ParcelContentTable.position)).where(ParcelContentTable.parcel_id == parcel_id)
        arrival_id = self._arrivals.add(arrival).arrival_id if arrival is not None else None
        row = ParcelContentTable(
            parcel_id=parcel_id,
            position=(self._session.scalar(last) or 0) + 1,
            kind=kind,
            arrival_id=arrival_id,
            found=found,
            note=note,
            reason=reason,
            taken_out=False,
        )
        self._session.add(row)
        self._session.flush()
        self._tell("content-added", row, kind=kind, personal={"found": found, "note": note, "reason": reason})
        return row.id, arrival_id

    def take_out(self, content_id: int) -> None:
        """Take an entry out that was a mistake; what waits for it is dismissed.

        Raises:
            NotThere: there is no such entry.
            NotNow: it is booked in.
        """
        row = self._content(content_id)
        self._dismiss(row)
        row.taken_out = True
        self._tell("content-taken-out", row, kind=row.kind)

    def put_back(self, content_id: int) -> None:
        """Undo `take_out`.

        Raises:
            NotThere: there is no such entry.
        """
        row = self._content(content_id)
        row.taken_out = False
        self._tell("content-put-back", row, kind=row.kind)
        if not row.reason:
            self._let_wait(row)

    def set_reason(self, content_id: int, reason: str) -> None:
        """State why a thing has no case, so that it waits no longer; without a reason it waits again.

        Raises:
            NotThere: there is no such entry.
            NotNow: it is booked in.
        """
        row = self._content(content_id)
        if reason:
            self._dismiss(row)
        row.reason = reason
        self._tell("content-settled" if reason else "content-open-again", row, personal={"reason": reason})
        if not reason:
            self._let_wait(row)

    def follow(self, arrival_id: int, into_id: int) -> tuple[int, ...]:
        """Let what lay in a parcel follow its arrival into the one that it was joined to; gives the entries' ids."""
        of_arrival = select(ParcelContentTable.id).where(ParcelContentTable.arrival_id == arrival_id)
        moved = tuple(self._session.scalars(of_arrival.order_by(ParcelContentTable.id)))
        self.follow_back(moved, into_id)
        return moved

    def follow_back(self, content_ids: Collection[int], arrival_id: int) -> None:
        """Give entries another arrival, as undoing `follow` does."""
        for content_id in content_ids:
            row = self._content(content_id)
            row.arrival_id = arrival_id
            self._tell("content-joined", row)
            arrival = self._session.get(ArrivalTable, arrival_id)
            if arrival is not None and arrival.state == "booked":
                tell_case(self._session, self._journal, row.parcel_id, arrival_id, arrival.case_id)

    def add_file(self, parcel_id: int, name: str, sha256: str, size: int) -> int:
        """Keep a photograph of a parcel; its id. The same content twice is one.

        Raises:
            NotThere: there is no such parcel.
        """
        self._row(parcel_id)
        known = select(ParcelFileTable).where(ParcelFileTable.parcel_id == parcel_id, ParcelFileTable.sha256 == sha256)
        row = self._session.scalar(known)
        if row is not None and not row.taken_out:
            return row.id
        if row is None:
            at = self._journal.at
            row = ParcelFileTable(parcel_id=parcel_id, at=at, name=name, sha256=sha256, bytes=size)
            self._session.add(row)
        row.taken_out = False
        self._session.flush()
        told = {"parcel": parcel_id, "file": row.id, "sha256": sha256}
        self._journal.record("parcel-photographed", Subject(), told, {"name": name})
        return row.id

    def show_file(self, file_id: int, *, shown: bool) -> None:
        """Take a photograph out, or put it back; the file itself is kept.

        Raises:
            NotThere: there is no such photograph.
        """
        row = self._session.get(ParcelFileTable, file_id)
        if row is None:
            raise NotThere(f"There is no photograph {file_id}.")
        row.taken_out = not shown
        self._session.flush()
        kind = "photograph-put-back" if shown else "photograph-taken-out"
        self._journal.record(kind, Subject(), {"parcel": row.parcel_id, "file": row.id})

    def _dismiss(self, content: ParcelContentTable) -> None:
        arrival = self._arrival(content)
        if arrival is not None and arrival.state == "booked":
            raise NotNow("This is booked in already. Take the booking back first, or withdraw the case.")
        if arrival is not None and arrival.state == "waiting" and not self._shared(content):
            self._arrivals.set_state(arrival.id, arrival.version, "dismissed")

    def _let_wait(self, content: ParcelContentTable) -> None:
        arrival = self._arrival(content)
        if arrival is not None and arrival.state == "dismissed":
            self._arrivals.set_state(arrival.id, arrival.version, "waiting")

    def _shared(self, content: ParcelContentTable) -> bool:
        """Whether something else waits in the same arrival, since the two were joined."""
        others = select(func.count()).select_from(ParcelContentTable)
        others = others.where(ParcelContentTable.arrival_id == content.arrival_id, ParcelContentTable.id != content.id)
        others = others.where(~ParcelContentTable.taken_out, ParcelContentTable.reason == "")
        return bool(self._session.scalar(others))

    def _arrival(self, content: ParcelContentTable) -> ArrivalTable | None:
        return self._session.get(ArrivalTable, content.arrival_id) if content.arrival_id is not None else None

    def _content(self, content_id: int) -> ParcelContentTable:
        row = self._session.get(ParcelContentTable, content_id)
        if row is None:
            raise NotThere(f"There is no entry {content_id} of a parcel.")
        return row

    def _row(self, parcel_id: int) -> ParcelTable:
        row = self._session.get(ParcelTable, parcel_id)
        if row is None:
            raise NotThere(f"There is no parcel {parcel_id}.")
        return row

    def _tell(self, event: str, row: ParcelContentTable, personal: dict[str, str] | None = None, **told: Any) -> None:
        """Write an entry and its event, and bring its parcel in line."""
        self._session.flush()
        said = {name: text for name, text in (personal or {}).items() if text}
        details = {"parcel": row.parcel_id, "content": row.id, "position": row.position} | told
        self._journal.record(event, Subject(arrival_id=row.arrival_id), details, said or None)
        recount(self._session, self._journal, row.parcel_id)

    def _set(self, kind: str, row: ParcelTable, columns: dict[str, Any]) -> int:
        before = _state_of(row)
        for column, value in columns.items():
            if getattr(row, column) != value:
                setattr(row, column, value)
        return self._save(kind, row, before)

    def _save(self, kind: str, row: ParcelTable, before: dict[str, Any]) -> int:
        """Write a parcel and its event; nothing when nothing changed."""
        self._session.flush()
        changed = changes(before, _state_of(row))
        if changed:
            public = {field: both for field, both in changed.items() if field not in _PERSONAL}
            personal = {field: both for field, both in changed.items() if field in _PERSONAL}
            told = {"parcel": row.id, "label": row.label, "version": row.version, "changes": public}
            subject = Subject(practice=row.practice_code)
            self._journal.record(kind, subject, told, {"changes": personal} if personal else None)
        return row.version


def _state_of(row: ParcelTable) -> dict[str, Any]:
    """A parcel's fields, as its events have them."""
    fields = (*ParcelFacts.__dataclass_fields__, "state", "why", "again_of")
    return flat({name: getattr(row, name) for name in fields} | {"at": row.at.isoformat()})


def _tells_of(parcel_id: int) -> ColumnElement[bool]:
    """The events of one parcel; there is no index of them, and only a save that comes too late asks."""
    marked = canonical({"parcel": parcel_id})[1:-1]
    of_parcel = or_(EventTable.details.contains(f"{marked},"), EventTable.details.contains(f"{marked}}}"))
    return EventTable.kind.startswith("parcel-") & of_parcel
