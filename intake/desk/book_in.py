"""Books a case in, amends it, and takes back what was just done."""

from dataclasses import dataclass

from intake.desk.check import Checked
from intake.desk.desk import Desk
from intake.domain.case import Case
from intake.domain.job_number import read_number
from intake.domain.judging import judge
from intake.domain.practice import Practice
from intake.domain.verdict import Verdict
from intake.domain.wording import listed
from intake.errors import IntakeError
from intake.store.rows import BookedJob
from intake.store.work import Work


@dataclass(frozen=True)
class Booked:
    """A case as it was saved: its jobs with their numbers, and the tickets that wait to be printed."""

    case_id: int
    version: int
    jobs: tuple[BookedJob, ...]
    verdict: Verdict
    tickets: tuple[int, ...]
    arrival_id: int | None = None
    again: bool = False
    """Whether it was booked before, and nothing was saved now."""


class NothingToMake(IntakeError):
    """A case without an appliance has no box and no ticket."""


class BookedElsewhere(IntakeError):
    """Another desk booked the same arrival in meanwhile."""


def book(desk: Desk, case: Case, token: str, arrival_id: int | None = None) -> Booked:
    """Saves a new case. When this returns the case is on the disk, with its numbers.

    `token` is made once for each form: the same token again is the same case, never a second one.
    Raises NothingToMake, BookedElsewhere, and IntakeError where the store refuses.
    """
    complete, practice = _complete(desk, case)
    verdict = judge(complete, desk.lab, practice, desk.now())
    with desk.work() as work:
        before = _booked_as(desk, arrival_id)
        booked = work.cases.book(complete, verdict, token=token, names=_names(desk), arrival_id=arrival_id)
        _refuse_second(desk, before, booked.case_id)
        work.commit()
    tickets = tuple(job.document_id for job in booked.jobs if job.document_id is not None)
    if booked.again:
        waiting = {row.document_id for row in desk.store.read.documents_waiting()}
        tickets = tuple(ticket for ticket in tickets if ticket in waiting)
    return Booked(booked.case_id, booked.version, booked.jobs, verdict, tickets, arrival_id, booked.again)


def book_checked(desk: Desk, checked: Checked) -> Booked:
    """Books the case of a checked file in; the same file a second time is the same case."""
    assert checked.case is not None, "only what can be read is booked"
    assert checked.fingerprint is not None
    return book(desk, checked.case, token=checked.fingerprint)


def book_arrival(desk: Desk, arrival_id: int) -> Booked:
    """Books an arrival in as it was taken in, with nothing typed to it."""
    row = desk.store.read.arrival(arrival_id)
    if row is None or "case" not in row.prescription:
        raise NothingToMake("No case could be read from this arrival. Open it and type what stands on the paper.")
    return book(desk, Case.model_validate(row.prescription["case"]), f"arrival-{arrival_id}", arrival_id)


def amend(desk: Desk, case_id: int, version: int, case: Case, arrival_id: int | None = None) -> Booked:
    """Replaces a case's prescription; a ticket that is out already gets its next copy.

    A case that was taken back just before is taken up again with its numbers. Raises ChangedMeanwhile when another
    desk changed the case since it was read.
    """
    complete, practice = _complete(desk, case)
    verdict = judge(complete, desk.lab, practice, desk.now())
    before = desk.store.read.case(case_id)
    with desk.work() as work:
        if before is not None and before.state == "withdrawn":
            version = work.cases.reinstate(case_id, version, "taken up again at the desk")
        amended = work.cases.amend(case_id, version, complete, verdict, names=_names(desk))
        tickets = tuple(_ticket_after(desk, work, job, bool(amended.changed)) for job in amended.jobs)
        if arrival_id is not None:
            _refuse_second(desk, _booked_as(desk, arrival_id), case_id)
            work.arrivals.booked(arrival_id, case_id)
        work.commit()
    return Booked(case_id, amended.version, amended.jobs, verdict, tuple(filter(None, tickets)), arrival_id)


def take_back(desk: Desk, booked: Booked) -> int:
    """Undoes a booking: the case is withdrawn, its arrival waits again. Gives the case's new version."""
    with desk.work() as work:
        version = work.cases.withdraw(booked.case_id, booked.version, "taken back at the desk")
        arrival = desk.store.read.arrival(booked.arrival_id) if booked.arrival_id is not None else None
        if arrival is not None:
            work.arrivals.set_state(arrival.arrival_id, arrival.version, "waiting")
        work.commit()
    return version


def _ticket_after(desk: Desk, work: Work, job: BookedJob, changed: bool) -> int | None:
    """The ticket to print after an amendment: one that still waits, or the next copy of one that is out."""
    issued = {row.document_id for row in desk.store.read.documents_of(job.number) if row.has_pdf}
    if job.document_id is not None and job.document_id not in issued:
        return job.document_id
    return work.documents.next_copy(job.number, "prescription changed").document_id if changed else None


def _complete(desk: Desk, case: Case) -> tuple[Case, Practice | None]:
    """The case with what the desk knows by itself: the practice's code as the directory writes it, and when it came."""
    if not case.appliances:
        raise NothingToMake("Enter at least one appliance; without one there is no box to put the case in.")
    known = desk.practice_of(case)
    told = {
        "practice": known.code if known else case.practice,
        "arrived": case.arrived or desk.now().replace(second=0, microsecond=0),
    }
    return case.model_copy(update=told), known


def _booked_as(desk: Desk, arrival_id: int | None) -> int | None:
    """The case that an arrival is booked as; asked inside a unit of work, while no other desk can write."""
    arrival = desk.store.read.arrival(arrival_id) if arrival_id is not None else None
    return arrival.case_id if arrival else None


def _refuse_second(desk: Desk, booked_as: int | None, case_id: int) -> None:
    """An arrival is one case: refuse another one for it."""
    if booked_as not in (None, case_id):
        numbers = listed([read_number(job.number).shown for job in desk.store.read.jobs_of(booked_as)])
        raise BookedElsewhere(
            f"This arrival was booked in meanwhile, as {numbers}. Nothing was saved now; clear the form and go on."
        )


def _names(desk: Desk) -> dict[str, str]:
    return {category.id: category.name for category in desk.lab.categories}
