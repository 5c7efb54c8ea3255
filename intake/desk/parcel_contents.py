"""What lay in a parcel, thing by thing, and what became of each."""

from collections.abc import Sequence
from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.domain.job_number import read_number
from intake.domain.parcels import CONTENT_WORDS, TO_BOOK, ContentKind, is_settled
from intake.domain.wording import listed
from intake.store.parcel_rows import ContentRow
from intake.store.words import ArrivalState


@dataclass(frozen=True)
class ContentLine:
    """One thing in a parcel as the card shows it."""

    content_id: int
    version: int
    position: int
    kind: ContentKind
    words: str
    """The kind in words: `A case`."""
    found: str
    note: str
    reason: str
    arrival_id: int | None
    arrival_state: ArrivalState | None
    case_id: int | None
    jobs: tuple[str, ...]
    """The numbers that it was booked with, in groups."""
    patient: str
    settled: bool
    says: str
    """What became of it, in a sentence."""


def content_line(desk: Desk, row: ContentRow) -> ContentLine:
    """One thing in a parcel, with what became of it."""
    case = desk.store.read.case(row.case_id) if row.case_id is not None and row.arrival_state == "booked" else None
    arrival = desk.store.read.arrival(row.arrival_id) if row.arrival_id is not None and case is None else None
    jobs = desk.store.read.jobs_of(case.case_id) if case is not None else ()
    numbers = tuple(read_number(job.number).shown for job in jobs if job.state != "withdrawn" or case is None)
    patient = case.case.patient.label or case.case.patient.reference or "" if case else ""
    return ContentLine(
        content_id=row.content_id,
        version=row.version,
        position=row.position,
        kind=row.kind,
        words=CONTENT_WORDS[row.kind],
        found=row.found,
        note=row.note,
        reason=row.reason,
        arrival_id=row.arrival_id,
        arrival_state=row.arrival_state,
        case_id=case.case_id if case else None,
        jobs=numbers,
        patient=patient or (arrival.patient_label if arrival else ""),
        settled=is_settled(row.reason, row.arrival_state),
        says=_says(row, numbers),
    )


def _says(row: ContentRow, numbers: Sequence[str]) -> str:
    """What became of a thing in a parcel."""
    if row.arrival_state == "booked":
        return f"Booked in as {listed(list(numbers))}." if numbers else "Booked in; its case is withdrawn."
    if row.reason:
        return f"No case: {row.reason.rstrip('.')}."
    if row.arrival_state == "waiting":
        return "Waits to be booked in."
    if row.kind in TO_BOOK:
        return "Taken off the list of what waits; say why, or let it wait again."
    return "Say what becomes of it."
