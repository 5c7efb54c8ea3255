"""Numbered boxes: which job lies in which, where the lab's boxes have numbers."""

from dataclasses import dataclass

from intake.desk.box_facts import state_of
from intake.desk.desk import Desk
from intake.domain.job_number import read_number
from intake.domain.scan_codes import ScanCode
from intake.errors import IntakeError
from intake.store.meanwhile import NotNow
from intake.store.rows import JobRow


class BoxRefused(IntakeError):
    """A job cannot lie in this box."""


@dataclass(frozen=True)
class InBox:
    """A job that lies in a box; `before` is the one that it was moved out of, which is free now."""

    number: int
    job: str
    shown: str
    before: int | None
    said: str


def put_in_box(desk: Desk, number: int, code: ScanCode) -> InBox:
    """Lets the job of a ticket lie in a numbered box; a job that lay in another is moved.

    A box whose job is finished, or withdrawn and at reception, counts as free.

    Raises BoxRefused where the boxes have no numbers or not this one, where there is no such job, where it needs no
    box any more, or where another job lies in the box: it is named.
    """
    boxes = desk.lab.boxes
    if boxes is None:
        raise BoxRefused("The boxes of this laboratory have no numbers; the setup names none.")
    if not boxes.first <= number <= boxes.last:
        raise BoxRefused(f"There is no box {number}: the boxes count from {boxes.first} to {boxes.last}.")
    job = desk.store.read.job(code.value)
    if job is None:
        raise BoxRefused(f"No job here has the number {read_number(code.value).shown}.")
    shown = read_number(job.number).shown
    if _needs_none(job):
        raise BoxRefused(f"Job {shown} needs no box: it is {'finished' if job.finished else 'withdrawn'}.")
    other = job_in_box(desk, number)
    if other is not None and other.job_id != job.job_id and not _needs_none(other):
        raise BoxRefused(_in_use(number, other))
    with desk.work() as work:
        if other is not None and other.job_id != job.job_id:
            work.moves.free_box(number)
        try:
            before = work.moves.put_in_box(number, job.job_id)
        except NotNow:  # another desk was faster
            other = job_in_box(desk, number)
            raise BoxRefused(_in_use(number, other) if other else f"Box {number} is in use.") from None
        work.commit()
    moved = f", and no longer in box {before}" if before is not None else ""
    return InBox(number, job.number, shown, before, f"Job {shown} lies in box {number}{moved}.")


def job_in_box(desk: Desk, number: int) -> JobRow | None:
    """The job that lies in a numbered box; None where it is free."""
    held = desk.store.read.box(number)
    return desk.store.read.job(held.job) if held is not None else None


def box_of(desk: Desk, job_number: str) -> int | None:
    """The number of the box that a job lies in, by the digits of the job's number; None where it lies in none."""
    job = desk.store.read.job(job_number)
    return desk.store.read.box_of(job.job_id) if job is not None else None


def free_box(desk: Desk, number: int) -> None:
    """Lets a numbered box be free. Raises the store's refusal where it is free already."""
    with desk.work() as work:
        work.moves.free_box(number)
        work.commit()


def _needs_none(job: JobRow) -> bool:
    return job.finished is not None or (state_of(job) == "withdrawn" and job.bench is None)


def _in_use(number: int, other: JobRow) -> str:
    place = f"at {other.bench}" if other.bench is not None else "at reception"
    return (
        f"Box {number} is in use: job {read_number(other.number).shown} of {other.practice_name} lies in it, {place}. "
        "Take another box."
    )
