"""Where a job is, who had it last, what is left of its route, and whether it still leaves in time."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from intake.domain.box_moves import Move, Progress, Stop, progress
from intake.domain.calendar import WorkingCalendar
from intake.domain.verdict import Deadlines
from intake.domain.wording import counted, listed
from intake.domain.written_dates import DAYS, MONTHS

Standing = Literal["waiting", "held", "returned", "at-bench", "on-the-way", "finished", "withdrawn"]
"""waiting: clear, at reception; returned: brought back, and clear; on-the-way: out of a bench, not yet at the next."""
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_HOW = {
    "handed-over": "handed over by",
    "in": "taken in by",
    "out": "sent on by",
    "back": "brought back by",
}


@dataclass(frozen=True)
class Left:
    """A bench that still has its part to do; `late_days` are the working days that its day is past."""

    bench: str
    by: date | None
    late_days: int = 0


@dataclass(frozen=True)
class Traced:
    """What is known of a job's way.

    Attributes:
        state: The job's state; a job whose case is withdrawn is withdrawn.
        arrived: When its case arrived.
        route: The benches in their order.
        moves: Those that were not taken back, oldest first.
        questions: How many questions are open that stop it.
        deadlines: Its dates; None without an appointment.
    """

    state: Literal["held", "clear", "gone", "withdrawn"]
    arrived: datetime
    route: tuple[Stop, ...]
    moves: tuple[Move, ...]
    questions: int = 0
    deadlines: Deadlines | None = None


@dataclass(frozen=True)
class Trace:
    """Where a job is.

    Attributes:
        standing: How it stands.
        place: Where it is: a bench, `reception`, or the bench that it came out of; empty once nothing is made of it.
        last: Its newest move; None while it has none.
        since: Since when it is there.
        left: What is left of its route, the bench that has it first.
        must_leave: When it must leave; None without an appointment.
        spare_days: Working days to spare, by the days that its benches have; negative when late; None without a date.
        box: The number of its box; None where it has none.
        line: One sentence to read aloud.
    """

    standing: Standing
    place: str
    last: Move | None
    since: datetime | None
    left: tuple[Left, ...]
    must_leave: date | None
    spare_days: int | None
    box: int | None
    line: str


def trace(job: Traced, now: datetime, calendar: WorkingCalendar, box: int | None = None) -> Trace:
    """Where a job is, and the sentence for the telephone.

    What is to spare is counted as the deadlines are: each bench that is left gets its working days from today on, the
    one that has the job those that it has not had yet, one at least.

    Args:
        job: What is known of its way.
        now: The lab's wall clock.
        calendar: The lab's working days.
        box: The number of its box.

    Raises:
        IntakeError: The calendar does not know the days of the route.
    """
    stands = progress(job.route, job.moves)
    standing = _standing(job, stands)
    since = stands.last.at if stands.last is not None else job.arrived
    left = _left(job.route, stands, now.date(), calendar) if standing not in ("finished", "withdrawn") else ()
    must_leave = job.deadlines.must_leave if job.deadlines is not None and standing != "withdrawn" else None
    spare = _spare(job, stands, now.date(), calendar) if must_leave is not None else None
    said = Trace(
        standing=standing,
        place=_place(standing, stands),
        last=stands.last,
        since=since if standing != "withdrawn" or stands.last is not None else None,
        left=left,
        must_leave=must_leave,
        spare_days=spare,
        box=box,
        line="",
    )
    return Trace(**{**vars(said), "line": _line(job, said, stands, now.date())})


def long_day(day: date, today: date) -> str:
    """A day as it is read aloud: “Tuesday 8 December”, with the year where it is not this one."""
    year = f" {day.year}" if day.year != today.year else ""
    return f"{DAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}{year}"


def in_words(number: int, what: str) -> str:
    """So many of something as it is read aloud: “two working days”, “one question”, “14 working days”."""
    said = _NUMBERS[number] if 0 <= number < len(_NUMBERS) else str(number)
    return f"{said} {counted(number, what).partition(' ')[2]}"


def _standing(job: Traced, stands: Progress) -> Standing:
    if job.state == "withdrawn":
        return "withdrawn"
    if stands.finished:
        return "finished"
    if stands.away:
        return "on-the-way" if stands.at is None and stands.last and stands.last.kind == "out" else "at-bench"
    if job.state == "held":
        return "held"
    return "waiting" if stands.last is None else "returned"


def _place(standing: Standing, stands: Progress) -> str:
    if stands.away and stands.last is not None:
        return stands.last.bench
    return "" if standing == "withdrawn" else "reception"


def _left(route: Sequence[Stop], stands: Progress, today: date, calendar: WorkingCalendar) -> tuple[Left, ...]:
    return tuple(
        Left(stop.bench, stop.by, max(0, calendar.days_between(stop.by, today)) if stop.by else 0)
        for stop in route[stands.done :]
    )


def _spare(job: Traced, stands: Progress, today: date, calendar: WorkingCalendar) -> int | None:
    """Working days between the day on which it is or can be done and the day on which it must leave."""
    if job.deadlines is None:
        return None
    if stands.finished and stands.last is not None:
        return calendar.days_between(stands.last.at.date(), job.deadlines.must_leave)
    start = calendar.next_open(today)
    needed = sum(_days_needed(job, stands, today, calendar))
    ready = calendar.forward(start, needed - 1) if needed else start
    return calendar.days_between(ready, job.deadlines.must_leave)


def _days_needed(job: Traced, stands: Progress, today: date, calendar: WorkingCalendar) -> list[int]:
    """The working days that each bench needs which is left, from today on."""
    if job.deadlines is None:
        return []
    days = []
    begins = job.deadlines.latest_start
    for index, stop in enumerate(job.route):
        if stop.by is None:
            return []
        if index >= stands.done:
            has = calendar.days_between(begins, stop.by) + 1
            if index == stands.at and stands.last is not None:
                has = max(1, has - max(0, calendar.days_between(_came(stands.last, job.moves), today)))
            days.append(has)
        begins = calendar.forward(stop.by, 1)
    return days


def _came(last: Move, moves: Sequence[Move]) -> date:
    """The day on which it came to the bench that it is at: a bench may take in later what was handed over to it."""
    day = last.at.date()
    for move in reversed(moves):
        if move.bench != last.bench or move.kind not in ("handed-over", "in"):
            break
        day = move.at.date()
    return day


def _line(job: Traced, said: Trace, stands: Progress, today: date) -> str:
    parts = [_where(job, said, stands, today)]
    if said.standing == "withdrawn":
        return f"{parts[0]}."
    if said.standing != "finished":
        parts.append(_what_is_left(said, stands, today))
    parts.append(_when(job, said, today))
    box = f" It is in box {said.box}." if said.box is not None else ""
    return f"{'; '.join(filter(None, parts))}.{box}"


def _where(job: Traced, said: Trace, stands: Progress, today: date) -> str:
    since = f"since {long_day(said.since.date(), today)}, {said.since:%H:%M}" if said.since else ""
    last = said.last
    by = f", {_HOW[last.kind]} {last.who}" if last is not None else ""
    match said.standing:
        case "withdrawn":
            at = f"; its box was last at {last.bench}, {since}{by}" if last is not None and stands.away else ""
            return f"Withdrawn, and nothing is being made of it{at}"
        case "held":
            asked = f"held until the practice answers {in_words(max(1, job.questions), 'question')}"
            return f"At reception {since}{_brought_back(last)}, {asked}"
        case "waiting":
            return f"At reception {since}, clear to be made"
        case "returned":
            return f"At reception {since}{_brought_back(last)}, clear to be made"
        case "finished":
            return f"Finished {since}, done at {said.place}{f' by {last.who}' if last is not None else ''}"
        case "on-the-way":
            return f"Out of {said.place} {since}{by}"
        case "at-bench":
            return f"At {said.place} {since}{by}"


def _brought_back(last: Move | None) -> str:
    return f", brought back from {last.bench} by {last.who}" if last is not None and last.kind == "back" else ""


def _what_is_left(said: Trace, stands: Progress, today: date) -> str:
    """The benches that are left, behind the one that has it; of that one only that it is late."""
    here = stands.at is not None
    behind = said.left[1:] if here else said.left
    late = f"{said.place} is {in_words(said.left[0].late_days, 'working day')} late" if here and _is_late(said) else ""
    benches = [f"{left.bench}{f' by {long_day(left.by, today)}' if left.by else ''}" for left in behind]
    if not benches:
        rest = "nothing is left after that" if here else ""
    else:
        rest = f"{listed(benches)} {'is' if len(benches) == 1 else 'are'} left"
    return ", ".join(filter(None, (late, rest)))


def _is_late(said: Trace) -> bool:
    return bool(said.left) and said.left[0].late_days > 0


def _when(job: Traced, said: Trace, today: date) -> str:
    if said.must_leave is None or said.spare_days is None:
        return "no appointment is given, so no day is promised"
    past = said.must_leave < today
    leaves = f"it {'had to' if past else 'must'} leave on {long_day(said.must_leave, today)}"
    if said.standing == "finished" and past and said.spare_days >= 0:
        return f"{leaves}, and was done in time"
    if said.spare_days < 0:
        return f"{leaves}, and is {in_words(-said.spare_days, 'working day')} late"
    if said.spare_days == 0:
        return f"{leaves}, with no day to spare"
    return f"{leaves}, {in_words(said.spare_days, 'working day')} to spare"
