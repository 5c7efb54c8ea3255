"""Incidents: a parcel that can hurt is stopped, what happened is kept, and somebody closes it."""

from dataclasses import dataclass
from datetime import datetime

from intake.desk.desk import Desk
from intake.domain.parcels import INCIDENT_WORDS, IncidentKind
from intake.errors import IntakeError
from intake.store.meanwhile import NotNow, NotThere
from intake.store.parcel_rows import ContentRow, IncidentRow


class StillToSay(IntakeError):
    """An incident is not closed, or not kept, before it is said what happened, what was done and who was told."""


class StillOpen(IntakeError):
    """A parcel that was stopped is not gone on with while an incident of it is open."""


@dataclass(frozen=True)
class IncidentLine:
    """Something that hurt or could have hurt somebody."""

    incident_id: int
    at: datetime
    who: str
    kind: IncidentKind
    words: str
    """The kind in words: `Sharps`."""
    parcel_id: int | None
    what: str
    done: str
    told: str
    closed: datetime | None
    closed_by: str


def steps(desk: Desk) -> tuple[str, ...]:
    """What to do when something sharp or dangerous lies in a parcel; local rules go before it."""
    return desk.lab.parcels.sharps


def stop(desk: Desk, parcel_id: int, kind: IncidentKind, what: str, done: str = "", told: str = "") -> int:
    """Stops a parcel: nobody reaches in, and nothing more of it is logged. The incident's id.

    Raises StillToSay where nothing is said of what it is, NotThere, and NotNow where the parcel went back.
    """
    if not what.strip():
        raise StillToSay("Say what lies in it, or what happened.")
    with desk.work() as work:
        row = desk.store.read.parcel(parcel_id)
        if row is None:
            raise NotThere(f"There is no parcel {parcel_id}.")
        if row.state in ("refused", "taken-back"):
            raise NotNow("This parcel is not here any more: take its return back first.")
        if _danger(desk, parcel_id) is None:
            work.parcels.add_content(parcel_id, "danger")
        why = f"{INCIDENT_WORDS[kind].lower()}: {what.strip()}"
        work.parcels.set_state(parcel_id, "parcel-stopped", "stopped", why[:1].upper() + why[1:])
        incident = work.parcels.hygiene.add_incident(kind, parcel_id, what.strip(), done.strip(), told.strip())
        work.commit()
    return incident


def change_incident(desk: Desk, incident_id: int, *, what: str, done: str, told: str) -> None:
    """Adds to what is said of an incident that is not closed. Raises StillToSay, NotThere and NotNow."""
    if not what.strip():
        raise StillToSay("Say what lies in it, or what happened.")
    with desk.work() as work:
        work.parcels.hygiene.change_incident(incident_id, what.strip(), done.strip(), told.strip())
        work.commit()


def close_incident(desk: Desk, incident_id: int, who: str = "") -> None:
    """Closes an incident. Raises StillToSay where nothing is said of what was done or who was told."""
    row = desk.store.read.incident(incident_id)
    if row is not None and not (row.done and row.told):
        what = "what was done" if not row.done else "who was told"
        raise StillToSay(f"Say {what} before the incident is closed.")
    with desk.work() as work:
        work.parcels.hygiene.close_incident(incident_id, who.strip() or desk.person)
        work.commit()


def reopen_incident(desk: Desk, incident_id: int) -> None:
    """Undoes `close_incident`; the parcel stays as it is. Raises NotThere and NotNow."""
    with desk.work() as work:
        work.parcels.hygiene.reopen_incident(incident_id)
        work.commit()


def go_on(desk: Desk, parcel_id: int, reason: str = "") -> None:
    """Goes on with a stopped parcel whose incidents are closed; `reason` settles the danger that lay in it.

    Raises StillOpen where an incident is not closed or none was written down, and NotNow where it is not stopped.
    """
    with desk.work() as work:
        _refuse_unsettled(desk, parcel_id)
        danger = _danger(desk, parcel_id)
        if danger is not None and reason.strip():
            work.parcels.set_reason(danger.content_id, reason.strip())
        work.parcels.set_state(parcel_id, "parcel-gone-on", "open")
        work.commit()


def open_incidents(desk: Desk) -> tuple[IncidentLine, ...]:
    """The incidents that nobody has closed, oldest first."""
    return tuple(map(incident_line, desk.store.read.incidents_open()))


def incident_line(row: IncidentRow) -> IncidentLine:
    """An incident with its kind in words."""
    return IncidentLine(**vars(row), words=INCIDENT_WORDS[row.kind])


def _refuse_unsettled(desk: Desk, parcel_id: int) -> None:
    row = desk.store.read.parcel(parcel_id)
    if row is None or row.state != "stopped":
        raise NotNow("This parcel is not stopped.")
    incidents = desk.store.read.incidents_of(parcel_id)
    if not incidents:
        raise StillOpen("Write down first what lay in it, what was done and who was told.")
    if any(each.closed is None for each in incidents):
        raise StillOpen("An incident of this parcel is not closed: say what was done and who was told, and close it.")


def _danger(desk: Desk, parcel_id: int) -> ContentRow | None:
    """What in a parcel can hurt and is not settled."""
    contents = desk.store.read.contents_of([parcel_id]).get(parcel_id, ())
    return next((each for each in contents if each.kind == "danger" and not each.reason), None)
