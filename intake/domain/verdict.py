"""What the lab says of one case: findings, jobs with their boxes, and dates."""

from datetime import date, datetime
from typing import Literal

from intake.domain.case import Frozen
from intake.domain.lab import Box
from intake.domain.rulebook import Level

State = Literal["held", "clear"]
Outlook = Literal["comfortable", "tight", "late"]


class Finding(Frozen):
    """What a requirement says of one case."""

    requirement: str
    level: Level
    appliance: int | None
    question: str
    because: str
    """The evidence, then the reason."""
    place: str
    """The place in the prescription that would answer it, such as `appliances[0].options.thickness_mm`."""


class BenchDate(Frozen):
    """One bench of a job's route and the day by which it has done its part."""

    bench: str
    by: date


class Crowded(Frozen):
    """A bench that has no room on the day on which a job wants it, and the first day on which it has."""

    bench: str
    wanted: date
    free: date


class Deadlines(Frozen):
    """The dates of one job, counted backward from the appointment."""

    route: tuple[BenchDate, ...]
    start: date
    """The day the work can start: today, or the next working day after cut-off."""
    latest_start: date
    must_leave: date
    with_practice: date
    appointment: date
    reply_by: datetime
    outlook: Outlook
    spare_days: int
    """Working days from start to latest start; negative when late."""
    earliest_appointment: date | None
    """The earliest appointment that would hold; given when late."""
    crowded: tuple[Crowded, ...] = ()
    """The benches for which that appointment waits, where the lab's promise counts their load."""


class PourBy(Frozen):
    """Until when an impression can be poured, in the lab's local time."""

    item: int
    by: datetime
    usual: datetime
    """When it should be poured by the material's usual figure, earlier than `by`."""
    not_before: datetime | None
    estimated: str | None
    """From what the time was taken when the prescription does not say it: "from the day it arrived"."""


class JobVerdict(Frozen):
    """The part of a case that lies in one box."""

    category: str
    appliances: tuple[int, ...]
    state: State
    box: Box
    deadlines: Deadlines | None
    """None when no appointment was given."""


class Verdict(Frozen):
    """Everything that the lab says of one case."""

    state: State
    jobs: tuple[JobVerdict, ...]
    findings: tuple[Finding, ...]
    """In the order to ask them."""
    pour_by: PourBy | None
    """The first impression of the case that has to be poured, if any is known."""
    undated: str | None = None
    """Why no dates could be counted although an appointment was given."""
