"""Disinfections done here, and incidents, in a unit of work."""

from collections.abc import Collection
from typing import Any

from sqlalchemy.orm import Session

from intake.domain.parcels import IncidentKind
from intake.store.chain import Journal, Subject
from intake.store.meanwhile import NotNow, NotThere
from intake.store.physical_tables import DisinfectionTable, IncidentTable


class Hygiene:
    """The hygiene of one unit of work."""

    def __init__(self, session: Session, journal: Journal) -> None:
        """Write through a session and its journal."""
        self._session, self._journal = session, journal

    def disinfected(
        self,
        agent: str,
        minutes: int,
        who: str,
        *,
        parcel_id: int | None = None,
        case_id: int | None = None,
        case_ids: Collection[int] = (),
    ) -> int:
        """Keep a disinfection of everything in a parcel, or of one case; its id.

        Args:
            agent: With what.
            minutes: For how long.
            who: Whose initials.
            parcel_id: The parcel.
            case_id: The case, where it is of one alone.
            case_ids: The cases of the parcel so far; the history of each tells of it.
        """
        row = DisinfectionTable(
            at=self._journal.at,
            who=who,
            agent=agent,
            minutes=minutes,
            parcel_id=parcel_id,
            case_id=case_id,
            taken_back=False,
        )
        self._session.add(row)
        self._session.flush()
        self._tell("disinfected", row, case_ids)
        return row.id

    def take_back(self, disinfection_id: int, case_ids: Collection[int] = ()) -> None:
        """Take an entry back that was a mistake; it counts no more, and stays in the history.

        Raises:
            NotThere: there is no such entry.
            NotNow: it was taken back before.
        """
        row = self._session.get(DisinfectionTable, disinfection_id)
        if row is None:
            raise NotThere(f"There is no disinfection {disinfection_id}.")
        if row.taken_back:
            raise NotNow("This disinfection was taken back already.")
        row.taken_back = True
        self._session.flush()
        self._tell("disinfection-taken-back", row, case_ids)

    def add_incident(self, kind: IncidentKind, parcel_id: int | None, what: str, done: str, told: str) -> int:
        """Keep an incident; its id."""
        row = IncidentTable(
            at=self._journal.at,
            who=self._journal.who,
            kind=kind,
            parcel_id=parcel_id,
            what=what,
            done=done,
            told=told,
            closed=None,
            closed_by="",
        )
        self._session.add(row)
        self._session.flush()
        self._tell_incident("incident-added", row, {"what": what, "done": done, "told": told})
        return row.id

    def change_incident(self, incident_id: int, what: str, done: str, told: str) -> None:
        """Change what is said of an incident that is open.

        Raises:
            NotThere: there is no such incident.
            NotNow: it is closed.
        """
        row = self._incident(incident_id)
        if row.closed is not None:
            raise NotNow("This incident is closed. Open it again before changing it.")
        new = {"what": what, "done": done, "told": told}
        changed = {name: [getattr(row, name), text] for name, text in new.items() if getattr(row, name) != text}
        for name, text in new.items():
            setattr(row, name, text)
        self._session.flush()
        if changed:
            self._tell_incident("incident-changed", row, {"changes": changed})

    def close_incident(self, incident_id: int, who: str) -> None:
        """Close an incident.

        Raises:
            NotThere: there is no such incident.
            NotNow: it is closed already.
        """
        row = self._incident(incident_id)
        if row.closed is not None:
            raise NotNow("This incident is closed already.")
        row.closed, row.closed_by = self._journal.at, who
        self._session.flush()
        self._tell_incident("incident-closed", row)

    def reopen_incident(self, incident_id: int) -> None:
        """Open an incident again.

        Raises:
            NotThere: there is no such incident.
            NotNow: it is open.
        """
        row = self._incident(incident_id)
        if row.closed is None:
            raise NotNow("This incident is open.")
        row.closed, row.closed_by = None, ""
        self._session.flush()
        self._tell_incident("incident-reopened", row)

    def _incident(self, incident_id: int) -> IncidentTable:
        row = self._session.get(IncidentTable, incident_id)
        if row is None:
            raise NotThere(f"There is no incident {incident_id}.")
        return row

    def _tell(self, kind: str, row: DisinfectionTable, case_ids: Collection[int]) -> None:
        told = {"disinfection": row.id, "agent": row.agent, "minutes": row.minutes, "by": row.who}
        told |= {"parcel": row.parcel_id} if row.parcel_id is not None else {}
        cases = {*case_ids, *([row.case_id] if row.case_id is not None else [])}
        for case_id in sorted(cases) or (None,):
            self._journal.record(kind, Subject(case_id=case_id), told)

    def _tell_incident(self, kind: str, row: IncidentTable, personal: dict[str, Any] | None = None) -> None:
        """Record an event; what happened is free text, which can name a patient, or who was hurt."""
        told: dict[str, Any] = {"incident": row.id, "kind": row.kind}
        told |= {"parcel": row.parcel_id} if row.parcel_id is not None else {}
        told |= {"by": row.closed_by} if row.closed_by else {}
        self._journal.record(kind, Subject(), told, personal)
