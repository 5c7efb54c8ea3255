"""Parcels: opened, what lay in them, what was seen, and until when they are not finished.

All that a screen needs of parcels is to be had here.
"""

from dataclasses import dataclass
from datetime import datetime

from intake.desk.desk import Desk
from intake.desk.parcel_arrivals import new_arrival
from intake.desk.parcel_cards import ParcelCard as ParcelCard
from intake.desk.parcel_cards import ParcelLine as ParcelLine
from intake.desk.parcel_cards import Photograph as Photograph
from intake.desk.parcel_cards import ReturnNote as ReturnNote
from intake.desk.parcel_cards import open_parcels as open_parcels
from intake.desk.parcel_cards import parcel_card as parcel_card
from intake.desk.parcel_cards import parcel_of_case as parcel_of_case
from intake.desk.parcel_cards import parcels_of_arrivals as parcels_of_arrivals
from intake.desk.parcel_cards import parcels_with as parcels_with
from intake.desk.parcel_cards import recent_parcels as recent_parcels
from intake.desk.parcel_changes import accept as accept
from intake.desk.parcel_changes import change_parcel as change_parcel
from intake.desk.parcel_contents import ContentLine as ContentLine
from intake.desk.parcel_entries import NewContent as NewContent
from intake.desk.parcel_entries import NewParcel as NewParcel
from intake.desk.parcel_entries import ParcelStopped as ParcelStopped
from intake.desk.parcel_entries import ReasonMissing as ReasonMissing
from intake.desk.parcel_entries import contents_in, facts_of, loggable, refuse_booked, the_content, the_parcel
from intake.desk.parcel_labels import LabelRead as LabelRead
from intake.desk.parcel_labels import SeenBefore as SeenBefore
from intake.desk.parcel_labels import read_label as read_label
from intake.desk.parcel_labels import seen_before as seen_before
from intake.desk.parcel_photographs import NoPicture as NoPicture
from intake.desk.parcel_photographs import add_photograph as add_photograph
from intake.desk.parcel_photographs import put_photograph_back as put_photograph_back
from intake.desk.parcel_photographs import take_photograph_out as take_photograph_out
from intake.desk.refusing import refuse as refuse
from intake.desk.refusing import take_refusal_back as take_refusal_back
from intake.domain.parcels import CONTENT_WORDS, TO_BOOK
from intake.store.parcel_rows import ParcelFacts
from intake.store.work import Work


@dataclass(frozen=True)
class Opened:
    """A parcel that was opened and kept."""

    parcel_id: int
    version: int
    contents: tuple[int, ...]
    """The ids of what lies in it, in order."""
    arrivals: tuple[int, ...]
    """What is to be booked in, in order."""
    again: SeenBefore | None


def open_parcel(desk: Desk, new: NewParcel) -> Opened:
    """Keeps a parcel with what lies in it; each case, part and repair waits to be booked in when this returns.

    A parcel with something in it that can hurt is stopped at once.
    """
    arrived = (new.arrived or desk.now()).replace(second=0, microsecond=0)
    facts = facts_of(desk, new)
    with desk.work() as work:
        again = seen_before(desk, facts.label)
        parcel_id = work.parcels.open(facts, arrived, again.parcel_id if again else None)
        added = [_add(desk, work, parcel_id, facts, content, arrived) for content in new.contents]
        if any(content.kind == "danger" and not content.reason.strip() for content in new.contents):
            _stop(work, parcel_id)
        work.commit()
    row = the_parcel(desk, parcel_id)
    arrivals = tuple(arrival for _, arrival in added if arrival is not None)
    return Opened(parcel_id, row.version, tuple(content for content, _ in added), arrivals, again)


def take_parcel_back(desk: Desk, parcel_id: int) -> None:
    """Undoes the opening of a parcel that was a mistake; it stays in the history. Raises NotNow where it is booked."""
    with desk.work() as work:
        refuse_booked(desk, parcel_id)
        work.parcels.set_state(parcel_id, "parcel-taken-back", "taken-back")
        for content in contents_in(desk, parcel_id):
            work.parcels.take_out(content.content_id)
        work.commit()


def add_content(desk: Desk, parcel_id: int, content: NewContent) -> int:
    """One more thing that lay in a parcel; its id. Raises ParcelStopped where nothing more may be logged."""
    with desk.work() as work:
        row = loggable(desk, parcel_id)
        content_id, _ = _add(desk, work, parcel_id, row.facts, content, row.at)
        if content.kind == "danger" and not content.reason.strip():
            _stop(work, parcel_id)
        work.commit()
    return content_id


def take_out(desk: Desk, content_id: int) -> None:
    """Takes a wrong entry out, with what waited for it; `put_back` undoes it.

    A parcel that was stopped for it alone, without an incident, goes on. Raises NotNow where it is booked in.
    """
    with desk.work() as work:
        row = the_content(desk, content_id)
        work.parcels.take_out(content_id)
        stopped = the_parcel(desk, row.parcel_id).state == "stopped"
        if row.kind == "danger" and stopped and not desk.store.read.incidents_of(row.parcel_id):
            work.parcels.set_state(row.parcel_id, "parcel-gone-on", "open")
        work.commit()


def put_back(desk: Desk, content_id: int) -> None:
    """Undoes `take_out`."""
    with desk.work() as work:
        row = the_content(desk, content_id)
        work.parcels.put_back(content_id)
        if row.kind == "danger" and not row.reason:
            _stop(work, row.parcel_id)
        work.commit()


def settle(desk: Desk, content_id: int, reason: str) -> None:
    """States why a thing has no case; it waits no longer. `open_again` undoes it.

    Raises ReasonMissing, ParcelStopped, and NotNow where it is booked in.
    """
    if not reason.strip():
        raise ReasonMissing("Say why it has no case: it stands in the history.")
    with desk.work() as work:
        loggable(desk, the_content(desk, content_id).parcel_id)
        work.parcels.set_reason(content_id, reason.strip())
        work.commit()


def open_again(desk: Desk, content_id: int) -> None:
    """Undoes `settle`: the reason is gone, and what is to be booked in waits again."""
    with desk.work() as work:
        work.parcels.set_reason(content_id, "")
        work.commit()


def _add(
    desk: Desk, work: Work, parcel_id: int, facts: ParcelFacts, content: NewContent, arrived: datetime
) -> tuple[int, int | None]:
    """Logs one thing; that nothing lay in a parcel is a reason of its own."""
    reason = content.reason.strip() or (f"{CONTENT_WORDS['nothing']} lay in it" if content.kind == "nothing" else "")
    books = content.kind in TO_BOOK
    added, arrival = work.parcels.add_content(
        parcel_id,
        content.kind,
        found=content.found.strip(),
        note=content.note.strip(),
        reason="" if books else reason,
        arrival=new_arrival(desk, facts, content.kind, content.found, arrived) if books else None,
    )
    if books and reason:
        work.parcels.set_reason(added, reason)
    return added, arrival if not reason else None


def _stop(work: Work, parcel_id: int) -> None:
    work.parcels.set_state(parcel_id, "parcel-stopped", "stopped", f"{CONTENT_WORDS['danger']} lies in it")
