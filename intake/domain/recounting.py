"""The dates of an open job counted anew when the setup, or the entry of its practice, has changed."""

from dataclasses import dataclass
from datetime import date, datetime, time

from intake.domain.bench_room import BenchRoom
from intake.domain.deadlines import count_deadlines
from intake.domain.lab import Lab, Step
from intake.domain.practice import Practice
from intake.domain.verdict import Deadlines
from intake.errors import IntakeError


class NoWayToCount(IntakeError):
    """A job's kind of work is no longer in the setup."""


@dataclass(frozen=True)
class OpenJob:
    """What the dates of an open job are counted from.

    Attributes:
        category: The kind of work, by its id.
        category_name: Its name when the job was judged.
        appointment: The patient's appointment.
        arrived: When the case arrived.
        dates: Its dates as they stand; None where none could be counted.
        begun: Whether its box has ever been handed over. Then the work has begun, and its benches stay.
    """

    category: str
    category_name: str
    appointment: date | datetime
    arrived: datetime
    dates: Deadlines | None
    begun: bool


@dataclass(frozen=True)
class NewDates:
    """The dates of a job as they are now.

    Attributes:
        dates: The dates.
        became_late: Whether the appointment cannot be kept by them and could be by those before.
        holds_again: Whether it can be kept by them and could not be by those before.
    """

    dates: Deadlines
    became_late: bool
    holds_again: bool


def new_dates(
    job: OpenJob, practice: Practice | None, lab: Lab, now: datetime, room: BenchRoom | None = None
) -> NewDates | None:
    """The dates of a job by a setup; None where they stay as they are.

    A job at reception can start today at the earliest, as a new one. One that has begun is counted from the day from
    which it was counted when it was judged, and keeps its benches. That time goes by changes no date: only what the
    setup, the directory or the calendar of bank holidays makes different counts as a change.

    Raises:
        IntakeError: the dates cannot be counted: a year without known bank holidays, a kind of work that is gone.
    """
    before = job.dates
    route = _route(job, lab)
    as_judged = datetime.combine(before.start, time()) if before is not None else None
    if before is not None and as_judged is not None:
        again = count_deadlines(job.appointment, route, job.arrived, as_judged, practice, lab, room)
        if _same(before, again):
            return None
        if job.begun:
            return NewDates(again, _is_late(again) > _is_late(before), _is_late(again) < _is_late(before))
    after = count_deadlines(job.appointment, route, job.arrived, now, practice, lab, room)
    was_late = before is not None and before.latest_start < after.start
    return NewDates(after, _is_late(after) and not was_late, was_late and not _is_late(after))


def _same(before: Deadlines, after: Deadlines) -> bool:
    """Whether every date, and what they mean, is the same for who works by them.

    The first possible start is no date to keep; when the earliest appointment would be depends on the load of the day.
    """
    return _kept(before) == _kept(after)


def _kept(dates: Deadlines) -> tuple[object, ...]:
    kept = dates.route, dates.latest_start, dates.must_leave, dates.with_practice, dates.appointment, dates.reply_by
    return (*kept, dates.outlook)


def _is_late(dates: Deadlines) -> bool:
    return dates.outlook == "late"


def _route(job: OpenJob, lab: Lab) -> tuple[Step, ...]:
    """The benches of a job with their days: the setup's, but a job that has begun keeps those that it goes through."""
    category = lab.category_by_id.get(job.category)
    if category is None:
        raise NoWayToCount(f"The kind of work “{job.category_name}” is not in the setup any more.")
    if not job.begun or job.dates is None:
        return category.route
    own = [dated.bench for dated in job.dates.route]
    if own == [step.bench for step in category.route]:
        return category.route
    days = {step.bench: step.days for step in category.route}
    return tuple(Step(bench=bench, days=days.get(bench, 1)) for bench in own)
