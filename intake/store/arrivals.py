"""What came and waits at the desk: kept, corrected, set aside, booked."""

from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from intake.store.chain import Journal, Subject
from intake.store.differences import changes, flat
from intake.store.meanwhile import NotThere, refuse_stale
from intake.store.parcel_settling import arrival_moved
from intake.store.rows import NewArrival, TakenIn
from intake.store.tables import ArrivalTable, EventTable
from intake.store.words import ArrivalState

_NOT_PERSONAL = ("stream", "arrived", "practice", "fingerprint", "state", "case_id")
"""The fields of an arrival that cannot name a patient. A file's name can."""
_WRITTEN = ("practice", "patient_label", "patient_reference", "prescription", "problem")


class Arrivals:
    """The arrivals of one unit of work."""

    def __init__(self, session: Session, journal: Journal) -> None:
        """Write through a session and its journal."""
        self._session, self._journal = session, journal

    def add(self, arrival: NewArrival) -> TakenIn:
        """Let an arrival wait; one whose fingerprint is known is not taken in twice."""
        if arrival.fingerprint is not None:
            same = select(ArrivalTable.id).where(ArrivalTable.fingerprint == arrival.fingerprint)
            known = self._session.scalar(same)
            if known is not None:
                return TakenIn(known, already=True)
        row = ArrivalTable(**vars(arrival), state="waiting")
        self._session.add(row)
        self._save("arrival-added", row, {})
        return TakenIn(row.id, already=False)

    def change(
        self,
        arrival_id: int,
        version: int,
        *,
        prescription: dict[str, Any],
        practice: str = "",
        patient_label: str = "",
        patient_reference: str = "",
        problem: str = "",
    ) -> int:
        """Replace what is written of an arrival so far; its new version.

        Raises:
            NotThere: there is no such arrival.
            ChangedMeanwhile: it was changed since it was read.
        """
        values = (practice, patient_label, patient_reference, prescription, problem)
        return self._replace("arrival-changed", arrival_id, version, dict(zip(_WRITTEN, values, strict=True)))

    def set_state(self, arrival_id: int, version: int, state: ArrivalState) -> int:
        """Let an arrival wait again, set it aside or dismiss it; its new version. Booking one is `cases.book`.

        Raises:
            NotThere: there is no such arrival.
            ChangedMeanwhile: it was changed since it was read.
        """
        columns = {"state": state} | ({"case_id": None} if state != "booked" else {})
        return self._replace(f"arrival-{state}", arrival_id, version, columns, state_only=True)

    def booked(self, arrival_id: int, case_id: int) -> None:
        """Mark an arrival as the one that a case came with.

        Raises:
            NotThere: there is no such arrival.
        """
        row = self._row(arrival_id)
        before = _state_of(row)
        row.state, row.case_id = "booked", case_id
        self._save("arrival-booked", row, before)

    def _replace(
        self, kind: str, arrival_id: int, version: int, columns: dict[str, Any], *, state_only: bool = False
    ) -> int:
        row = self._row(arrival_id)
        before = _state_of(row)
        mine = None if state_only else before | flat(columns)
        about = (EventTable.arrival_id == arrival_id) & EventTable.kind.startswith("arrival-")
        refuse_stale(self._session, "This arrival", (version, row.version), about, before, mine)
        for column, value in columns.items():
            setattr(row, column, value)
        return self._save(kind, row, before)

    def _row(self, arrival_id: int) -> ArrivalTable:
        row = self._session.get(ArrivalTable, arrival_id)
        if row is None:
            raise NotThere(f"There is no arrival {arrival_id}.")
        return row

    def _save(self, kind: str, row: ArrivalTable, before: dict[str, Any]) -> int:
        """Write the row and its event; nothing when nothing changed."""
        self._session.flush()
        changed = changes(before, _state_of(row))
        if changed:
            public = {field: both for field, both in changed.items() if field in _NOT_PERSONAL}
            personal = {field: both for field, both in changed.items() if field not in _NOT_PERSONAL}
            subject = Subject(case_id=row.case_id, arrival_id=row.id)
            details = {"version": row.version, "changes": public}
            self._journal.record(kind, subject, details, {"changes": personal} if personal else None)
        if "state" in changed:
            arrival_moved(self._session, self._journal, row)
        return row.version


def _state_of(row: ArrivalTable) -> dict[str, Any]:
    """An arrival's fields, as its events have them."""
    fields = ("stream", *_WRITTEN, "source_name", "fingerprint", "state", "case_id")
    return flat({name: getattr(row, name) for name in fields} | {"arrived": row.arrived.isoformat()})
