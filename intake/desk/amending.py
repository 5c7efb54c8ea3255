"""Brings a case in line with what is known of it now: its verdict, its questions, its boxes and its tickets."""

from collections.abc import Collection
from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.domain.case import Case
from intake.domain.judging import judge
from intake.domain.practice import Practice
from intake.domain.verdict import Verdict
from intake.store.rows import BookedJob
from intake.store.work import Work


@dataclass(frozen=True)
class Amended:
    """A case as it was brought in line."""

    version: int
    jobs: tuple[BookedJob, ...]
    verdict: Verdict
    tickets: tuple[int, ...]
    """The tickets that wait to be printed."""
    freed: tuple[str, ...]
    """The numbers of jobs that were held and are clear now."""


def bring_in_line(
    desk: Desk,
    work: Work,
    case_id: int,
    version: int,
    case: Case,
    practice: Practice | None,
    answered: Collection[int] = (),
    why: str = "prescription changed",
) -> Amended:
    """Amends a case in a unit of work; a job that is another than its ticket says gets the ticket's next copy.

    Args:
        desk: The desk.
        work: The unit of work.
        case_id: The case.
        version: Its version when it was read.
        case: The prescription as it shall be.
        practice: The practice that it is judged by.
        answered: The queries that an answer settles: those of them that close are answered, not withdrawn.
        why: The reason that a next copy of a ticket bears.

    Raises:
        ChangedMeanwhile: another desk changed the case since it was read.
    """
    verdict = judge(case, desk.lab, practice, desk.now(), room=desk.room)
    before = {job.number: job.state for job in desk.store.read.jobs_of(case_id)}
    amended = work.cases.amend(case_id, version, case, verdict, names=category_names(desk), answered=answered)
    freed = tuple(job.number for job in amended.jobs if before.get(job.number) == "held" and job.state == "clear")
    # That something is confirmed in writing makes no other ticket.
    changed = any(not field.startswith("spoken[") for field in amended.changed)
    tickets = (
        _ticket_after(desk, work, job, why if changed or before.get(job.number, job.state) != job.state else "")
        for job in amended.jobs
    )
    return Amended(amended.version, amended.jobs, verdict, tuple(filter(None, tickets)), freed)


def category_names(desk: Desk) -> dict[str, str]:
    """The name of each category by its id."""
    return {category.id: category.name for category in desk.lab.categories}


def _ticket_after(desk: Desk, work: Work, job: BookedJob, why: str) -> int | None:
    """The ticket to print after an amendment: one that still waits, or the next copy of one that is out."""
    issued = {row.document_id for row in desk.store.read.documents_of(job.number) if row.has_pdf}
    if job.document_id is not None and job.document_id not in issued:
        return job.document_id
    return work.documents.next_copy(job.number, why).document_id if why else None
