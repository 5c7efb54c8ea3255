"""The jobs of a case brought in line with a verdict: one box, one number, one ticket for each category."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, cast

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from intake.domain.verdict import JobVerdict, Verdict
from intake.store.chain import Journal
from intake.store.differences import Changes
from intake.store.numbering import next_number
from intake.store.rows import BookedJob
from intake.store.tables import DocumentTable, JobTable
from intake.store.words import JobState

UNPRINTED = ("waiting", "drawn", "failed")


@dataclass
class Boxed:
    """The jobs that stand, in the verdict's order, and what was done to get there."""

    standing: list[JobTable] = field(default_factory=list)
    new: list[JobTable] = field(default_factory=list)
    withdrawn: list[JobTable] = field(default_factory=list)
    tickets: list[DocumentTable] = field(default_factory=list)
    """The first tickets of the new jobs."""
    changes: dict[str, Changes] = field(default_factory=dict)
    """By job number."""

    def job_of(self, appliance: int | None) -> JobTable | None:
        """The job that an appliance belongs to."""
        return next((job for job in self.standing if appliance in job.appliances), None)


def match_jobs(
    session: Session, journal: Journal, known: list[JobTable], case_id: int, verdict: Verdict, names: Mapping[str, str]
) -> Boxed:
    """Give a case the verdict's jobs: known categories keep their numbers, new ones get theirs, others are withdrawn.

    A job that has gone to the practice stays gone.
    """
    others = {job.category: job for job in known}
    boxed = Boxed()
    for wanted in verdict.jobs:
        job = others.pop(wanted.category, None)
        if job is None:
            job = _new_job(session, journal.at.year, case_id, wanted)
            boxed.new.append(job)
        elif job.state == "withdrawn":
            wait_again(session, [job])
        boxed.standing.append(job)
        _note(boxed, job, _describe(job, wanted, names))
    for job in others.values():
        if job.state not in ("gone", "withdrawn"):
            boxed.withdrawn.append(job)
            _note(boxed, job, _set(job, {"state": "withdrawn", "appliances": []}))
            cancel_tickets(session, [job.id])
    session.flush()
    boxed.tickets = [first_ticket(journal, job) for job in boxed.new]
    session.add_all(boxed.tickets)
    return boxed


def jobs_of(session: Session, case_id: int) -> list[JobTable]:
    """The case's jobs in the order of their numbers."""
    return list(session.scalars(select(JobTable).where(JobTable.case_id == case_id).order_by(JobTable.id)))


def first_ticket(journal: Journal, job: JobTable) -> DocumentTable:
    """The first ticket of a job, to be drawn."""
    return waiting_document(journal, kind="ticket", job_id=job.id, practice_code=None, practice_name="")


def waiting_document(journal: Journal, **columns: Any) -> DocumentTable:
    """A document that waits to be drawn."""
    made = {"copy": 1, "reason": "", "state": "waiting", "created": journal.at, "created_by": journal.who}
    return DocumentTable(**({"about": {}} | made | columns))


def cancel_tickets(session: Session, job_ids: list[int]) -> list[int]:
    """Cancel what was not printed of these jobs' tickets; the documents' ids."""
    unprinted = DocumentTable.job_id.in_(job_ids), DocumentTable.state.in_(UNPRINTED)
    documents = session.scalars(select(DocumentTable).where(*unprinted)).all()
    for document in documents:
        document.state, document.problem = "cancelled", None
    return [document.id for document in documents]


def wait_again(session: Session, jobs: list[JobTable]) -> list[int]:
    """Let the newest ticket of each job wait again where it was cancelled; the documents' ids."""
    again = [ticket for ticket in newest_tickets(session, jobs) if ticket.state == "cancelled"]
    for ticket in again:
        ticket.state = "waiting"
    return [ticket.id for ticket in again]


def newest_tickets(session: Session, jobs: list[JobTable]) -> list[DocumentTable]:
    """The newest ticket of each job."""
    of_jobs = DocumentTable.job_id.in_([job.id for job in jobs])
    newest = select(func.max(DocumentTable.id)).where(of_jobs).group_by(DocumentTable.job_id)
    return list(session.scalars(select(DocumentTable).where(DocumentTable.id.in_(newest))))


def booked_jobs(jobs: list[JobTable], newest: list[DocumentTable]) -> tuple[BookedJob, ...]:
    """The jobs as they leave the store, each with its newest ticket. Everything must have been flushed."""
    tickets = {ticket.job_id: ticket for ticket in newest}
    return tuple(_booked(job, tickets.get(job.id)) for job in jobs)


def _booked(job: JobTable, ticket: DocumentTable | None) -> BookedJob:
    return BookedJob(
        job_id=job.id,
        number=job.number,
        category=job.category,
        category_name=job.category_name,
        box_colour=job.box_colour,
        box_hex=job.box_hex,
        state=cast(JobState, job.state),
        document_id=ticket.id if ticket else None,
        copy=ticket.copy if ticket else 0,
    )


def _new_job(session: Session, year: int, case_id: int, wanted: JobVerdict) -> JobTable:
    number = next_number(session, year).digits
    job = JobTable(number=number, backward=number[::-1], case_id=case_id, category=wanted.category, appliances=[])
    session.add(job)
    return job


def _describe(job: JobTable, wanted: JobVerdict, names: Mapping[str, str]) -> Changes:
    """Write a verdict's job into a row."""
    dates = wanted.deadlines
    job.deadlines = dates
    described = {
        "category_name": names.get(wanted.category, wanted.category),
        "box_colour": wanted.box.colour,
        "box_hex": wanted.box.hex,
        "appliances": list(wanted.appliances),
        "state": "gone" if job.state == "gone" else wanted.state,
        "outlook": dates and dates.outlook,
        "latest_start": dates and dates.latest_start,
        "must_leave": dates and dates.must_leave,
        "reply_by": dates and dates.reply_by,
    }
    return _set(job, described)


def _set(job: JobTable, columns: Mapping[str, Any]) -> Changes:
    """Set columns; those that changed, each with both values as JSON has them."""
    changed: Changes = {}
    for column, value in columns.items():
        before = getattr(job, column)
        if before != value:
            setattr(job, column, value)
            changed[column] = [_plain(before), _plain(value)]
    return changed


def _plain(value: Any) -> Any:
    return value.isoformat() if hasattr(value, "isoformat") else value


def _note(boxed: Boxed, job: JobTable, changed: Changes) -> None:
    if changed:
        boxed.changes[job.number] = changed
