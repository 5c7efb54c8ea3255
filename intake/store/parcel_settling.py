"""Whether a parcel is finished: it follows what becomes of the arrivals of what lay in it."""

from sqlalchemy import select
from sqlalchemy.orm import Session

from intake.domain.parcels import is_done, is_settled
from intake.store.chain import Journal, Subject
from intake.store.physical_tables import ParcelContentTable, ParcelTable
from intake.store.tables import ArrivalTable


def arrival_moved(session: Session, journal: Journal, arrival: ArrivalTable) -> None:
    """Bring the parcels of an arrival in line with its state; the history of its case tells of the parcel.

    What waits again, or is booked after all, has no reason any more why it has no case.
    """
    of_arrival = ParcelContentTable.arrival_id == arrival.id, ~ParcelContentTable.taken_out
    contents = session.scalars(select(ParcelContentTable).where(*of_arrival)).all()
    for content in contents:
        if content.reason and arrival.state in ("waiting", "booked"):
            content.reason = ""
            told = {"parcel": content.parcel_id, "content": content.id, "position": content.position}
            journal.record("content-open-again", Subject(arrival_id=arrival.id), told)
    for parcel_id in dict.fromkeys(content.parcel_id for content in contents):
        if arrival.state == "booked":
            tell_case(session, journal, parcel_id, arrival.id, arrival.case_id)
        recount(session, journal, parcel_id)


def tell_case(session: Session, journal: Journal, parcel_id: int, arrival_id: int, case_id: int | None) -> None:
    """Record in the history of a case which parcel it came in."""
    parcel = session.get(ParcelTable, parcel_id)
    if parcel is not None:
        told = {"parcel": parcel.id, "label": parcel.label, "way": parcel.way, "at": parcel.at.isoformat()}
        told |= {"seen": parcel.seen, "opened_by": parcel.who}
        journal.record("came-in-parcel", Subject(case_id=case_id, arrival_id=arrival_id), told, {"note": parcel.note})


def recount(session: Session, journal: Journal, parcel_id: int) -> None:
    """Set whether a parcel is finished; one that is refused or stopped stays so."""
    parcel = session.get(ParcelTable, parcel_id)
    if parcel is None or parcel.state not in ("open", "done"):
        return
    session.flush()
    found = select(ParcelContentTable.reason, ArrivalTable.state)
    found = found.outerjoin(ArrivalTable, ArrivalTable.id == ParcelContentTable.arrival_id)
    found = found.where(ParcelContentTable.parcel_id == parcel_id, ~ParcelContentTable.taken_out)
    state = "done" if is_done(is_settled(reason, arrival) for reason, arrival in session.execute(found)) else "open"
    if state != parcel.state:
        parcel.state = state
        session.flush()
        told = {"parcel": parcel.id, "label": parcel.label, "version": parcel.version}
        journal.record("parcel-done" if state == "done" else "parcel-open-again", Subject(), told)
