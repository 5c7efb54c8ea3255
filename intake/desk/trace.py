"""Where a job is: the answer of one line for the telephone, and what it is made of."""

from intake.desk.box_facts import route_of, state_of, stopping
from intake.desk.desk import Desk
from intake.domain.calendar import lab_calendar
from intake.domain.trace import Trace as Trace
from intake.domain.trace import Traced, trace
from intake.errors import IntakeError
from intake.store.rows import JobRow


class NothingToTrace(IntakeError):
    """No job here has this number."""


def trace_of(desk: Desk, job_number: str) -> Trace:
    """Where a job is, who had it last, what is left of its route with its dates, and the line for the telephone.

    Args:
        desk: The desk.
        job_number: The job's number, its digits.

    Raises:
        NothingToTrace: no job here has this number.
    """
    job = desk.store.read.job(job_number)
    if job is None:
        raise NothingToTrace("No job here has this number.")
    return trace_of_job(desk, job)


def trace_of_job(desk: Desk, job: JobRow) -> Trace:
    """As `trace_of`, of a job that is read already."""
    read = desk.store.read
    traced = Traced(
        state=state_of(job),
        arrived=job.arrived,
        route=route_of(desk, job),
        moves=read.moves_of(job.job_id),
        questions=len(stopping(desk, job)) if job.state == "held" else 0,
        deadlines=job.deadlines,
    )
    return trace(traced, desk.now(), lab_calendar(desk.lab.calendar), read.box_of(job.job_id))
