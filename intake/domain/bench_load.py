"""What the routes of the open jobs ask of each bench, day by day, against what the bench can finish in a day.

A job counts as one job on one day of each bench that it still has to pass: the day by which that bench has to be done
with it. So the bars of the picture are the promises that the tickets make, and the capacity, the number of jobs that a
bench finishes in a day, is their measure. What should have been done before today is asked today. What waits on the
practice is counted apart, since nobody may work it.

Which jobs cannot keep their day is asked of each bench for itself, in whole jobs and working days. A job is ready for a
bench on the day on which its benches before, each with its days, can be done when they begin at once; where its box
stands on the bench, today. Given these days two things are exact (`intake.domain.scheduling`): worked by due date the
latest job is as little late as it can be, and the number of jobs that have to be late is the least. Two things are not:
that a bench is full makes no job later at the next one here, and the days that a job has lain on a bench already are
taken to be enough. Both err to the same side: in truth no fewer jobs are late.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import NamedTuple

from intake.domain.bench_room import BenchRoom
from intake.domain.bench_rules import Bench
from intake.domain.calendar import WorkingCalendar
from intake.domain.scheduling import Window, days_with_room, fewest_late_a_day, worked_off

HORIZON = 400
"""Days ahead and back that are looked at; what is due later is not counted yet, what was due earlier as of then."""


class Asking(NamedTuple):
    """Open jobs that ask the same of the benches."""

    route: tuple[tuple[str, date], ...]
    """Each bench and the day by which it has to be done."""
    start: date
    """The day the work can start, as it was counted when the jobs were judged."""
    latest_start: date
    jobs: tuple[str, ...]
    """Their numbers."""
    held: bool = False
    behind: int = 0
    """So many benches of the route are done with them."""
    here: bool = False
    """Whether their boxes stand on the bench after those."""


@dataclass(frozen=True)
class AskedDay:
    """What is asked of a bench on one day: the numbers of jobs."""

    asked: tuple[str, ...] = ()
    overdue: tuple[str, ...] = ()
    """Those of `asked` that the bench should have been done with before."""
    held: tuple[str, ...] = ()


@dataclass(frozen=True)
class LateJobs:
    """Jobs that cannot keep their day at a bench, when all are worked by due date; alike in everything said here."""

    jobs: tuple[str, ...]
    by: date
    done: date
    """When the bench would be done with them."""
    days: int
    """Working days between the two."""
    in_itself: bool
    """Whether they would be late on an idle bench too: they started too late, or their day has passed."""
    to_move: bool
    """Whether they are of the fewest that have to get a later day so that the others keep theirs."""


@dataclass(frozen=True)
class BenchLoad:
    """One bench: what is asked of it on which day, and which jobs it cannot be done with in time."""

    bench: str
    capacity: int | None
    days: Mapping[date, AskedDay]
    late: tuple[LateJobs, ...]
    """By due date; empty where the capacity is not counted."""

    @property
    def to_move(self) -> int:
        """How many jobs have to get a later day at the least."""
        return sum(len(late.jobs) for late in self.late if late.to_move)


class LabDays:
    """The lab's working days around today, numbered: today, or the first working day after it, is 0.

    Args:
        calendar: The lab's.
        today: The desk's day.

    Raises:
        IntakeError: the calendar knows no such days.
    """

    def __init__(self, calendar: WorkingCalendar, today: date) -> None:
        first = calendar.next_open(today)
        span = [first + timedelta(days=n) for n in range(-HORIZON, HORIZON + 1)]
        self._open = [day for day in span if calendar.is_open(day)]
        self._zero = self._open.index(first)
        self._last = span[-1]
        self._number: dict[date, int] = {}
        number = -self._zero - 1
        for day in span:
            number += calendar.is_open(day)
            self._number[day] = number

    def number(self, day: date) -> int:
        """The number of a working day, or of the last one before a closed day; clamped where days end."""
        known = self._number.get(day)
        if known is not None:
            return known
        return -self._zero if day < self._last else len(self._open) - self._zero

    def number_from(self, day: date) -> int:
        """The number of a working day, or of the next one after a closed day."""
        at = self.number(day)
        return at if self.day(at) == day or day > self._last else at + 1

    def day(self, number: int) -> date:
        """The working day of a number; the last that is known where days end."""
        return self._open[min(max(number + self._zero, 0), len(self._open) - 1)]

    def is_beyond(self, day: date) -> bool:
        """Whether a day lies further ahead than is looked."""
        return day > self._last


@dataclass
class _Line:
    """What is asked of one bench: the numbers of jobs by their window."""

    asked: dict[Window, list[str]] = field(default_factory=dict)
    held: dict[Window, list[str]] = field(default_factory=dict)


def bench_loads(
    askings: Iterable[Asking], benches: Mapping[str, Bench], calendar: WorkingCalendar, today: date
) -> tuple[BenchLoad, ...]:
    """The load of every bench: those of the setup in its order, then any that only a job's route still names.

    Raises:
        IntakeError: the calendar knows no such days.
    """
    days = LabDays(calendar, today)
    lines = _lines(askings, days)
    named = {name: benches.get(name, Bench(name=name)) for name in (*benches, *lines)}
    return tuple(_load(bench, lines.get(name, _Line()), days) for name, bench in named.items())


def bench_room(
    askings: Iterable[Asking], benches: Mapping[str, Bench], calendar: WorkingCalendar, today: date
) -> BenchRoom:
    """The days on which each bench whose capacity is counted has no room for one more job.

    Held jobs take their places too: they are promised for their day, and come back. A job that is booked counts among
    the others when its own dates are counted anew.

    Raises:
        IntakeError: the calendar knows no such days.
    """
    days = LabDays(calendar, today)
    full = {}
    for name, line in _lines(askings, days).items():
        capacity = benches[name].capacity if name in benches else None
        if capacity is not None:
            full[name] = frozenset(days.day(at) for at in _full(line, capacity))
    return BenchRoom(full)


def _windows(asking: Asking, days: LabDays) -> Iterator[tuple[str, Window]]:
    """Each bench that the jobs still have to pass, with the days between which it can and should be done."""
    left = asking.route[asking.behind :]
    if not left:
        return
    if asking.here:
        early = -days.number(left[0][1])
    elif asking.behind:
        early = -1 - days.number(asking.route[asking.behind - 1][1])
    else:
        early = max(days.number_from(asking.start), 0) - days.number(asking.latest_start)
    for bench, by in left:
        if days.is_beyond(by):
            return
        due = days.number(by)
        yield bench, (max(due + early, 0), due)


def _lines(askings: Iterable[Asking], days: LabDays) -> dict[str, _Line]:
    lines: dict[str, _Line] = {}
    for asking in askings:
        for bench, window in _windows(asking, days):
            line = lines.setdefault(bench, _Line())
            (line.held if asking.held else line.asked).setdefault(window, []).extend(asking.jobs)
    return lines


def _counts(jobs: Mapping[Window, list[str]]) -> dict[Window, int]:
    return {window: len(numbers) for window, numbers in jobs.items()}


def _full(line: _Line, capacity: int) -> list[int]:
    jobs = _counts(line.asked)
    for window, count in _counts(line.held).items():
        jobs[window] = jobs.get(window, 0) + count
    worked = worked_off(jobs, capacity)
    last = max((done.day for done in worked), default=-1) + 1
    return sorted(set(range(last)) - days_with_room(worked, capacity, last))


def _load(bench: Bench, line: _Line, days: LabDays) -> BenchLoad:
    late = () if bench.capacity is None else _late(line.asked, bench.capacity, days)
    return BenchLoad(bench.name, bench.capacity, _by_day(line, days), late)


def _by_day(line: _Line, days: LabDays) -> dict[date, AskedDay]:
    asked: dict[int, list[str]] = {}
    overdue: list[str] = []
    held: dict[int, list[str]] = {}
    for (_, due), numbers in sorted(line.asked.items(), key=lambda each: each[0][1]):
        asked.setdefault(max(due, 0), []).extend(numbers)
        if due < 0:
            overdue.extend(numbers)
    for (_, due), numbers in line.held.items():
        held.setdefault(max(due, 0), []).extend(numbers)
    return {
        days.day(at): AskedDay(
            tuple(asked.get(at, ())), tuple(overdue) if at == 0 else (), tuple(sorted(held.get(at, ())))
        )
        for at in sorted({*asked, *held})
    }


def _late(asked: Mapping[Window, list[str]], capacity: int, days: LabDays) -> tuple[LateJobs, ...]:
    """The jobs that are late by due date. Of equal jobs those with the first numbers are worked first."""
    counts = _counts(asked)
    moves = fewest_late_a_day(counts, capacity)
    ordered: dict[Window, list[str]] = {}
    begun: dict[Window, int] = {}
    late = []
    for done in worked_off(counts, capacity):
        window = (done.ready, done.due)
        first = begun.get(window, 0)
        begun[window] = last = first + done.count
        if done.day <= done.due:
            continue
        if window not in ordered:
            ordered[window] = sorted(asked[window])
        numbers = ordered[window]
        stay = min(max(len(numbers) - moves.get(window, 0), first), last)
        by, on, in_itself = days.day(done.due), days.day(done.day), done.ready > done.due
        for some, to_move in ((numbers[first:stay], False), (numbers[stay:last], True)):
            if some:
                late.append(LateJobs(tuple(some), by, on, done.day - done.due, in_itself, to_move))
    return tuple(sorted(late, key=lambda part: (part.by, part.done, part.jobs)))
