"""What to take next: one total order of all cases, and why a case stands where it does.

1. An impression that has to be poured within three days (a weekend may lie in them) or should have been: the earliest
   first.
2. Everything else by its earliest latest start; of the same day first what is held while there is little time left to
   ask, then what has to be asked, then the rest.
3. What has no date of its own, since no appointment was given.

Equal so far, what arrived first goes first; a tie decides the rest, so that the order never depends on chance.
Common practice, no source.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from intake.domain.verdict import Verdict
from intake.domain.written_dates import shown_day, shown_moment

NEAR = timedelta(days=3)
"""A pour by or a reply by this near goes first."""
_POURING, _DATED, _UNDATED = range(3)
_HELD, _ASKED, _CLEAR = range(3)


@dataclass(frozen=True, order=True)
class Urgency:
    """The place of a case in the order of what to take next: the smaller goes first."""

    turn: int
    pour_by: datetime
    """`datetime.max` where no impression has to be poured soon."""
    latest_start: date
    """The earliest of its jobs; `date.max` where no appointment is known."""
    asking: int
    """0 held and soon to be answered, 1 to be asked soon, 2 neither."""
    arrived: datetime
    tie: str


def urgency(verdict: Verdict, arrived: datetime, now: datetime, tie: str) -> Urgency:
    """The place of a case in the order of what to take next.

    Args:
        verdict: what the lab says of the case.
        arrived: when it arrived, in the lab's local time like `now`.
        now: the present; what is near is counted from it.
        tie: what decides between equals, such as the number; unlike for any two cases.
    """
    latest_start = min((job.deadlines.latest_start for job in verdict.jobs if job.deadlines), default=date.max)
    pour = verdict.pour_by
    near = pour is not None and pour.by <= now + NEAR
    return Urgency(
        turn=_POURING if near else _UNDATED if latest_start == date.max else _DATED,
        pour_by=pour.by if pour is not None and near else datetime.max,
        latest_start=latest_start,
        asking=_asking(verdict, now),
        arrived=arrived,
        tie=tie,
    )


def explain_urgency(place: Urgency, now: datetime) -> str:
    """Why a case stands where it does, in a sentence.

    `First: the impression has to be poured by Fri 27 Nov 2026, 10:00.`
    """
    if place.turn == _POURING:
        verb = "should have been" if place.pour_by < now else "has to be"
        return f"First: the impression {verb} poured by {shown_moment(place.pour_by)}."
    if place.turn == _UNDATED:
        return f"Last: no appointment is known; among such cases by arrival, {shown_moment(place.arrived)}."
    overdue = place.latest_start < now.date()
    told = f"By its latest start, {shown_day(place.latest_start)}{', which is past' if overdue else ''}"
    if place.asking == _HELD:
        told += "; of that day among the first, for it is held and needs its answer soon"
    elif place.asking == _ASKED:
        told += "; of that day before the clear, for the practice has to be asked soon"
    return f"{told}."


def _asking(verdict: Verdict, now: datetime) -> int:
    near = [job for job in verdict.jobs if job.deadlines and job.deadlines.reply_by <= now + NEAR]
    if any(job.state == "held" for job in near):
        return _HELD
    return _ASKED if near and any(finding.level == "asks" for finding in verdict.findings) else _CLEAR
