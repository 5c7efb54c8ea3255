"""The dates of a job, counted backward from the appointment, and why each falls where it does."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from intake.domain.bench_room import BenchRoom
from intake.domain.calendar import WorkingCalendar, carrier_calendar, counts_from, lab_calendar, practice_calendar
from intake.domain.carrying import Carriage, carriage_to
from intake.domain.lab import Lab, Step
from intake.domain.practice import Practice
from intake.domain.verdict import BenchDate, Crowded, Deadlines, Outlook
from intake.domain.wording import counted, listed
from intake.domain.written_dates import DAYS, shown_day, shown_moment
from intake.errors import IntakeError

_LONGEST_WAIT = 400
"""Days without one on which the carrier delivers and the practice is open: more than a year."""


class NeverDelivered(IntakeError):
    """The carrier never delivers on a day on which the practice is open."""


@dataclass(frozen=True)
class WayHome:
    """The way of the finished work from the lab through the carrier to the practice."""

    lab: WorkingCalendar
    carrier: WorkingCalendar
    practice: WorkingCalendar
    carriage: Carriage
    days_before: int

    def wanted_by(self, appointment: date) -> date:
        """The practice's open day that lies far enough before the appointment."""
        return self.practice.previous_open(self.practice.back(appointment, self.days_before))

    def with_practice(self, appointment: date) -> date:
        """The last day up to then on which the carrier delivers and the practice is open."""
        return self._handed_over(self.wanted_by(appointment), -1)

    def must_leave(self, with_practice: date) -> date:
        """The lab's last working day from which the carrier is there in time; it travels on its own days only."""
        return self.lab.previous_open(self.carrier.back(with_practice, self.carriage.transit_days))

    def earliest_appointment(self, leaves: date) -> date:
        """The first day on which an appointment holds for work that leaves on a day: the same count, forward."""
        arrives = self.carrier.forward(self.carrier.next_open(leaves), self.carriage.transit_days)
        return self.practice.forward(self._handed_over(arrives, 1), self.days_before)

    def _handed_over(self, day: date, step: int) -> date:
        for waited in range(_LONGEST_WAIT):
            handed = day + timedelta(days=step * waited)
            if self.carrier.is_open(handed) and self.practice.is_open(handed):
                return handed
        raise NeverDelivered(
            f"Near {shown_day(day)} there is no day on which work is delivered and the practice is open. "
            "Check the practice's open weekdays and the delivery weekdays."
        )


def count_deadlines(
    appointment: datetime | date,
    route: tuple[Step, ...],
    arrived: datetime,
    now: datetime,
    practice: Practice | None,
    lab: Lab,
    room: BenchRoom | None = None,
) -> Deadlines:
    """Count the dates of a job backward from its appointment.

    What is done at the lab counts in the lab's working days, the way in the carrier's days, what lies before the
    appointment in the practice's open days. The work is with the practice on the last day on which it can be handed
    over there, at least `days_before` open days before the appointment; it must leave on the last working day from
    which the carrier gets it there, which is the last bench's day; each bench has its days before those of the next.
    A practice's service, and its own transit days, go before the lab's usual way (`intake.domain.carrying`). Common
    practice, no source; every figure is the lab's own.

    Args:
        appointment: the patient's appointment, in local time.
        route: the benches of the job's category with their working days.
        arrived: when the case arrived; after the cut-off it counts from the next working day.
        now: the present; work starts no earlier than the day from which this counts.
        practice: the practice's entry in the directory, if it has one.
        lab: the lab setup.
        room: the days on which the benches are full, where the earliest appointment is to count them. A job is done
            with a bench on the last of its days there; where that day is full it waits for the next that is not.

    Raises:
        IntakeError: the calendars know no such days: a year without known bank holidays, a calendar that is never open.
    """
    day, way = _day(appointment), way_home(practice, lab)
    with_practice = way.with_practice(day)
    must_leave = way.must_leave(with_practice)
    benches, latest_start = _count_benches(route, must_leave, way.lab)
    start = max(counts_from(arrived, lab.calendar), counts_from(now, lab.calendar))
    spare = way.lab.days_between(start, latest_start)
    outlook = _outlook(spare, lab.deadlines.slack_days)
    leaves, crowded = _earliest_leave(start, route, way.lab, room) if outlook == "late" else (None, ())
    return Deadlines(
        route=benches,
        start=start,
        latest_start=latest_start,
        must_leave=must_leave,
        with_practice=with_practice,
        appointment=day,
        reply_by=datetime.combine(way.lab.back(latest_start, 1), lab.deadlines.reply_hour),
        outlook=outlook,
        spare_days=spare,
        earliest_appointment=way.earliest_appointment(leaves) if leaves else None,
        crowded=crowded,
    )


def explain_deadlines(
    deadlines: Deadlines, route: tuple[Step, ...], practice: Practice | None, lab: Lab
) -> tuple[str, ...]:
    """Why each date falls where it does, a sentence for each, from the appointment backward; the outlook comes last."""
    way = way_home(practice, lab)
    return (
        _why_with_practice(deadlines, way),
        _why_must_leave(deadlines, way),
        *_why_benches(deadlines, route, way.lab),
        f"Reply by {shown_moment(deadlines.reply_by)}: the working day before the latest start, "
        f"{shown_day(deadlines.latest_start)}.",
        _why_outlook(deadlines, lab.deadlines.slack_days),
    )


def way_home(practice: Practice | None, lab: Lab) -> WayHome:
    """The way of what is made for a practice; what is alike of two practices, their dates are too."""
    carriage = carriage_to(practice, lab.deadlines)
    return WayHome(
        lab=lab_calendar(lab.calendar),
        carrier=carrier_calendar(carriage.weekdays, lab.calendar),
        practice=practice_calendar(practice, lab),
        carriage=carriage,
        days_before=lab.deadlines.days_before,
    )


def _day(moment: datetime | date) -> date:
    return moment.date() if isinstance(moment, datetime) else moment


def _count_benches(
    route: tuple[Step, ...], must_leave: date, calendar: WorkingCalendar
) -> tuple[tuple[BenchDate, ...], date]:
    """Each bench's last day, and the first day of the first bench; the job's only day where there is no bench."""
    dated: list[BenchDate] = []
    by = first = must_leave
    for step in reversed(route):
        dated.append(BenchDate(bench=step.bench, by=by))
        first = calendar.back(by, step.days - 1)
        by = calendar.back(first, 1)
    return tuple(reversed(dated)), first


def _outlook(spare_days: int, slack_days: int) -> Outlook:
    if spare_days < 0:
        return "late"
    return "tight" if spare_days < slack_days else "comfortable"


def _earliest_leave(
    start: date, route: tuple[Step, ...], calendar: WorkingCalendar, room: BenchRoom | None
) -> tuple[date, tuple[Crowded, ...]]:
    """The first day on which work that starts on a day can leave, and the benches that it has to wait for."""
    done, crowded = start, []
    for at, step in enumerate(route):
        wanted = calendar.forward(done, step.days - 1 if at == 0 else step.days)
        done = room.next_free(step.bench, wanted, calendar) if room else wanted
        if done != wanted:
            crowded.append(Crowded(bench=step.bench, wanted=wanted, free=done))
    return done, tuple(crowded)


def _why_with_practice(deadlines: Deadlines, way: WayHome) -> str:
    appointment, handed = deadlines.appointment, deadlines.with_practice
    days = f"{counted(way.days_before, 'open day')} before" if way.days_before else "in time for"
    told = f"With the practice by {shown_day(handed)}: {days} the appointment on {shown_day(appointment)}"
    told += _not_counted(way.practice, handed, appointment) + "."
    if not way.practice.is_open(appointment):
        told += f" The practice is closed on the day of the appointment ({way.practice.why_closed(appointment)})."
    if handed != (wanted := way.wanted_by(appointment)):
        told += f" Nothing can be handed over there after that and until {shown_day(wanted)}."
    return told


def _why_must_leave(deadlines: Deadlines, way: WayHome) -> str:
    days, service = way.carriage.transit_days, way.carriage.service
    on_the_way = f"{counted(days, 'delivery day')} on the way" if days else "it is there the same day"
    by = f" by {service}" if service else ""
    closed = _not_counted(way.carrier, deadlines.must_leave, deadlines.with_practice)
    told = f"Must leave on {shown_day(deadlines.must_leave)}: {on_the_way}{by}{closed}."
    return f"{told} {way.carriage.warning}".rstrip()


def _why_benches(deadlines: Deadlines, route: tuple[Step, ...], calendar: WorkingCalendar) -> Iterator[str]:
    for step, dated in zip(reversed(route), reversed(deadlines.route), strict=True):
        first = calendar.back(dated.by, step.days - 1)
        begins = f", from {shown_day(first)}" if first != dated.by else ""
        closed = _not_counted(calendar, first, dated.by)
        yield f"{step.bench} by {shown_day(dated.by)}: {counted(step.days, 'working day')}{begins}{closed}."


def _why_outlook(deadlines: Deadlines, slack_days: int) -> str:
    start, latest = shown_day(deadlines.start), shown_day(deadlines.latest_start)
    if deadlines.earliest_appointment is not None:
        return (
            f"Late: work can start on {start}, {counted(-deadlines.spare_days, 'working day')} after the latest start, "
            f"{latest}. The earliest appointment that would hold is {shown_day(deadlines.earliest_appointment)}"
            f"{_why_crowded(deadlines)}."
        )
    spare = counted(deadlines.spare_days, "working day")
    told = f"work can start on {start}, {spare} before the latest start, {latest}"
    if deadlines.outlook == "tight":
        return f"Tight: {told}; the lab wants {slack_days} to spare."
    return f"Comfortable: {told}."


def _why_crowded(deadlines: Deadlines) -> str:
    """Which benches keep the earliest appointment from being sooner; empty where none does."""
    waits = [
        f"{crowded.bench} has no room from {shown_day(crowded.wanted)} until {shown_day(crowded.free)}"
        for crowded in deadlines.crowded
    ]
    return f", as {listed(waits)}" if waits else ""


def _not_counted(calendar: WorkingCalendar, first: date, last: date) -> str:
    """The closed days between two days that a reader might not think of: all but closed weekends."""
    told: dict[str, list[date]] = {}
    for n in range(1, (last - first).days):
        day = first + timedelta(days=n)
        reason = calendar.why_closed(day)
        if reason is not None and (day.weekday() < 5 or day.weekday() in calendar.weekdays):
            told.setdefault(reason, []).append(day)
    parts = [_closed_days(reason, days) for reason, days in told.items()]
    return f", not counting {', '.join(parts)}" if parts else ""


def _closed_days(reason: str, days: list[date]) -> str:
    if reason in DAYS:
        return f"{reason}s"
    name = reason.removeprefix("Closed: ")
    if len(days) == 1:
        return f"{name} on {shown_day(days[0])}"
    return f"{name} from {shown_day(days[0])} to {shown_day(days[-1])}"
