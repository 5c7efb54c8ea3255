"""Parcels that are not taken on: refused, with a note of return that goes back with them."""

from intake.desk.desk import Desk
from intake.desk.parcel_entries import ReasonMissing, contents_in, loggable, refuse_booked, the_parcel
from intake.store.meanwhile import NotNow

_REFUSED = "Goes back with the parcel"
"""Why what lay in a parcel that was refused has no case."""


def refuse(desk: Desk, parcel_id: int, reason: str) -> int:
    """Refuses a parcel, which goes back; the document of its note of return, which waits to be printed.

    Raises ReasonMissing, ParcelStopped, and NotNow where something of it is booked in.
    """
    if not reason.strip():
        raise ReasonMissing("Say why it goes back: the practice reads it on the note of return.")
    with desk.work() as work:
        row = loggable(desk, parcel_id)
        refuse_booked(desk, parcel_id)
        work.parcels.set_state(parcel_id, "parcel-refused", "refused", reason.strip())
        for content in contents_in(desk, parcel_id):
            if not content.reason:
                work.parcels.set_reason(content.content_id, _REFUSED)
        note = work.documents.add_sheet("return-note", {"parcel": parcel_id}, row.facts.practice_code)
        work.commit()
    return note


def take_refusal_back(desk: Desk, parcel_id: int) -> None:
    """Undoes `refuse`; a note of return that is not printed is cancelled. Raises NotNow where it is not refused."""
    with desk.work() as work:
        if the_parcel(desk, parcel_id).state != "refused":
            raise NotNow("This parcel is not refused.")
        for content in contents_in(desk, parcel_id):
            if content.reason == _REFUSED:
                work.parcels.set_reason(content.content_id, "")
        work.parcels.set_state(parcel_id, "parcel-kept-after-all", "open")
        for note in desk.store.read.sheets_about("return-note", {"parcel": parcel_id}):
            if note.state in ("waiting", "drawn", "failed"):
                work.documents.cancel_sheet(note.document_id)
        work.commit()
