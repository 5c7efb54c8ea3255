"""Says what the open jobs ask of each bench on each day, and which of them cannot keep their day."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from intake.desk.desk import Desk
from intake.domain.bench_load import Asking, BenchLoad, LateJobs, bench_loads, bench_room
from intake.domain.bench_room import BenchRoom
from intake.domain.box_moves import Stop, progress
from intake.domain.calendar import WorkingCalendar, lab_calendar
from intake.domain.job_number import read_number
from intake.domain.written_dates import short_day
from intake.store.load_rows import LoadJobRow, OpenJobs

MOST = 500
"""So many jobs are listed; nobody reads more of them."""


@dataclass(frozen=True)
class LoadDay:
    """A day of the picture."""

    day: date
    closed: str = ""
    """Why the lab does not work; empty on a working day."""


@dataclass(frozen=True)
class LoadCell:
    """What is asked of one bench on one working day."""

    day: date
    asked: tuple[str, ...]
    """The numbers of the jobs that it has to be done with."""
    overdue: int
    """How many of them it should have been done with before."""
    held: tuple[str, ...]
    """Those that would be asked too, were they not held."""
    capacity: int | None
    """How many jobs it finishes in a day; None where that is not counted."""

    @property
    def over(self) -> int:
        """How many more are asked than it finishes in a day."""
        return max(0, len(self.asked) - self.capacity) if self.capacity is not None else 0


@dataclass(frozen=True)
class LoadLine:
    """One bench with its days."""

    bench: str
    capacity: int | None
    cells: tuple[LoadCell, ...]
    """One for each working day of the picture."""
    late: tuple[LateJobs, ...]
    """The jobs that cannot keep their day here, worked by due date; by the day that they miss."""
    to_move: int
    """How many jobs have to get a later day at the least, so that all others keep theirs."""

    @property
    def late_count(self) -> int:
        """How many jobs cannot keep their day."""
        return sum(len(late.jobs) for late in self.late)


@dataclass(frozen=True)
class Load:
    """The load of the benches, as it stood at a moment."""

    days: tuple[LoadDay, ...]
    """From the first day to the last, closed ones among them."""
    benches: tuple[LoadLine, ...]


@dataclass(frozen=True)
class LoadJob:
    """A job in the list of a bench and a day."""

    number: str
    shown: str
    practice: str
    patient: str
    category: str
    colour: str
    hex: str
    held: bool
    where: str
    """The bench where its box is, or reception."""
    must_leave: str
    late: str
    """By how much it is late at the bench; empty when it keeps its day."""


def load_of(desk: Desk, first_day: date, days: int) -> Load:
    """The load of every bench on so many working days of the lab, the first day on or after `first_day`.

    Days that have passed are not shown; what was due on them is asked of the first working day from now on.

    Raises:
        IntakeError: the lab's calendar knows no such days.
    """
    today, calendar = desk.now().date(), lab_calendar(desk.lab.calendar)
    shown = _days(calendar, max(first_day, today), days)
    open_days = [each.day for each in shown if not each.closed]
    loads = bench_loads(askings(desk), desk.lab.bench_by_name, calendar, today)
    return Load(shown, tuple(_line(load, open_days) for load in loads))


def jobs_at(desk: Desk, line: LoadLine, cell: LoadCell, most: int = MOST) -> tuple[LoadJob, ...]:
    """The first jobs that a bench is asked for on a day: those that cannot keep it first, held ones last."""
    late = _by_number(line)
    order = sorted(cell.asked, key=lambda number: (number not in late, number))
    return tuple(_jobs(desk, (*order, *cell.held)[:most], late))


def late_at(desk: Desk, line: LoadLine, most: int = MOST) -> tuple[LoadJob, ...]:
    """The first jobs that cannot keep their day at a bench, by the day that they miss."""
    late = _by_number(line)
    return tuple(_jobs(desk, list(late)[:most], late))


def room_of(desk: Desk) -> BenchRoom:
    """The days on which the benches have no room for one more job.

    Raises:
        IntakeError: the lab's calendar knows no such days.
    """
    today, calendar = desk.now().date(), lab_calendar(desk.lab.calendar)
    return bench_room(askings(desk), desk.lab.bench_by_name, calendar, today)


def askings(desk: Desk) -> Iterator[Asking]:
    """What the open jobs ask of the benches.

    A box on its way to a bench is taken to stand there.
    """
    for jobs in desk.store.read.open_jobs():
        benches = [bench for bench, _ in jobs.dates.route]
        if jobs.moved and (jobs.bench is None or benches.count(jobs.bench) != 1):
            yield from _by_their_moves(desk, jobs, benches)
        elif jobs.bench is None:
            yield _asking(jobs, jobs.numbers, 0, here=False)
        else:
            yield _asking(jobs, jobs.numbers, benches.index(jobs.bench), here=True)


def _by_their_moves(desk: Desk, jobs: OpenJobs, benches: Sequence[str]) -> Iterator[Asking]:
    """Jobs whose bench alone does not say how far they are: back at reception, or of a route that names it twice."""
    route = [Stop(bench) for bench in benches]
    ids = {row.job_id: number for number, row in desk.store.read.load_jobs(jobs.numbers).items()}
    for job_id, moves in desk.store.read.moves_of_jobs(ids).items():
        stands = progress(route, moves)
        here = jobs.bench is not None and stands.following < len(route)
        yield _asking(jobs, (ids[job_id],), stands.done if stands.at is None else stands.at, here)


def _asking(jobs: OpenJobs, numbers: tuple[str, ...], behind: int, here: bool) -> Asking:
    dates = jobs.dates
    return Asking(dates.route, dates.start, dates.latest_start, numbers, jobs.state == "held", behind, here)


def _days(calendar: WorkingCalendar, first: date, count: int) -> tuple[LoadDay, ...]:
    """So many working days, and the closed ones between them."""
    day, shown = calendar.next_open(first), []
    while count:
        why = calendar.why_closed(day)
        shown.append(LoadDay(day, why or ""))
        count -= why is None
        day += timedelta(days=1)
    return tuple(shown)


def _line(load: BenchLoad, days: Collection[date]) -> LoadLine:
    cells = []
    for day in days:
        asked = load.days.get(day)
        numbers = (asked.asked, len(asked.overdue), asked.held) if asked else ((), 0, ())
        cells.append(LoadCell(day, *numbers, load.capacity))
    return LoadLine(load.bench, load.capacity, tuple(cells), load.late, load.to_move)


def _by_number(line: LoadLine) -> dict[str, LateJobs]:
    return {number: late for late in line.late for number in late.jobs}


def _jobs(desk: Desk, numbers: Collection[str], late: Mapping[str, LateJobs]) -> Iterator[LoadJob]:
    rows = desk.store.read.load_jobs(numbers)
    for number in numbers:
        if number in rows:  # erased meanwhile
            yield _job(rows[number], late.get(number))


def _job(row: LoadJobRow, late: LateJobs | None) -> LoadJob:
    return LoadJob(
        number=row.number,
        shown=read_number(row.number).shown,
        practice=row.practice,
        patient=" · ".join(filter(None, (row.patient_label, row.patient_reference))),
        category=row.category,
        colour=row.box_colour,
        hex=row.box_hex,
        held=row.state == "held",
        where=row.bench or "reception",
        must_leave=short_day(row.must_leave) if row.must_leave else "",
        late=late_words(late) if late else "",
    )


def late_words(late: LateJobs) -> str:
    """By how much a job is late at a bench, and why."""
    days = "1 working day" if late.days == 1 else f"{late.days} working days"
    why = "by its own dates" if late.in_itself else "because the bench is full"
    move = "; give it a later day" if late.to_move else ""
    return f"{days} late, done on {short_day(late.done)}, {why}{move}"
