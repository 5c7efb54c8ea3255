"""When a practice answers the telephone: its hours, its lunch, its days, by its own clock.

All moments go in and come out as the lab's wall clock, without a time zone. Between two zones a moment is carried over
by UTC, so a practice abroad is open by its own clock on the days when only one of the two clocks changes.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from intake.domain.bank_holidays import HolidaysUnknown
from intake.domain.calendar import WorkingCalendar, lab_calendar, practice_calendar
from intake.domain.lab import Lab
from intake.domain.practice import Practice, Span, read_span
from intake.domain.written_dates import DAYS, short_day
from intake.errors import IntakeError

_LONGEST_WAIT = 60
"""Days within which somebody answers again; a practice that is shut for longer is not rung but written to."""
_DAY = timedelta(days=1)


class NeverOpen(IntakeError):
    """There is no moment at which both the practice answers and the lab rings."""


@dataclass(frozen=True)
class OpenNow:
    """Whether somebody answers at a moment."""

    open: bool
    until: datetime | None
    """Until when, while it is open."""
    opens: datetime | None
    """When it opens next, while it is closed."""
    why: str
    """In a few words: `open until 13:00`, `at lunch until 14:00`, `closed: Christmas Day, opens Tue 29 Dec, 09:00`."""


@dataclass(frozen=True)
class _Answered:
    """When a telephone is answered, by its own clock: what one practice shares with most others."""

    calendar: WorkingCalendar
    by_weekday: tuple[tuple[str, ...], ...]
    """The stretches of each day of the week as they are written, Monday first."""
    zone: str


@dataclass(frozen=True)
class _Ringing:
    """When the lab rings, by its own clock."""

    calendar: WorkingCalendar
    hours: tuple[str, ...]
    zone: str


def open_now(practice: Practice | None, lab: Lab, now: datetime) -> OpenNow:
    """Whether a practice answers now, and until or from when.

    A practice whose hours are not known has the setup's usual hours on its open weekdays; one that is not in the
    directory is taken for open from Monday to Friday.
    """
    return _open_now(_answered(practice, lab), lab.calendar.zone, now)


def next_open(practice: Practice | None, lab: Lab, moment: datetime) -> datetime:
    """The moment itself when the practice answers and the lab rings then, else the next one at which both do.

    Raises NeverOpen where there is none within two months.
    """
    ringing = _Ringing(lab_calendar(lab.calendar), lab.ringing.lab_hours, lab.calendar.zone)
    if (found := _next_open(_answered(practice, lab), ringing, moment)) is not None:
        return found
    name = practice.name if practice else "The practice"
    raise NeverOpen(f"{name} is not open while the laboratory rings. Check its hours, and the lab's own for ringing.")


def _answered(practice: Practice | None, lab: Lab) -> _Answered:
    if practice is None or not practice.hours:
        by_weekday: tuple[tuple[str, ...], ...] = (lab.ringing.usual_hours,) * 7
    else:
        by_weekday = tuple(
            tuple(text for hours in practice.hours if weekday in hours.weekdays for text in hours.open)
            for weekday in range(7)
        )
    zone = practice.zone if practice and practice.zone else lab.calendar.zone
    return _Answered(practice_calendar(practice, lab), by_weekday, zone)


# The ring list asks the same of hundreds of practices at one moment, and most have the same hours.
@lru_cache(maxsize=1024)
def _open_now(answered: _Answered, labs_zone: str, now: datetime) -> OpenNow:
    stretches = _stretches(answered, labs_zone, now.date() - _DAY, _LONGEST_WAIT)
    upcoming = next(((opens, closes) for opens, closes in stretches if closes > now), None)
    if upcoming is None:
        return OpenNow(False, None, None, f"closed for more than {_LONGEST_WAIT} days")
    opens, closes = upcoming
    unsure = _unsure(answered.calendar, opens.date())
    if opens <= now:
        return OpenNow(True, closes, None, f"open until {closes:%H:%M}{unsure}")
    return OpenNow(False, None, opens, f"{_why_closed(answered, labs_zone, now, opens)}{unsure}")


@lru_cache(maxsize=1024)
def _next_open(answered: _Answered, ringing: _Ringing, moment: datetime) -> datetime | None:
    for opens, closes in _stretches(answered, ringing.zone, moment.date() - _DAY, _LONGEST_WAIT):
        for begins, ends in _rung(ringing, opens, closes):
            if ends > moment:
                return max(begins, moment)
    return None


def _stretches(answered: _Answered, labs_zone: str, first: date, days: int) -> Iterator[tuple[datetime, datetime]]:
    """When the practice answers from a day on, on the lab's clock, in order."""
    for n in range(days):
        day = first + n * _DAY
        for opens, closes in _hours(answered, day):
            begins = carried(datetime.combine(day, opens), answered.zone, labs_zone)
            ends = carried(datetime.combine(day, closes), answered.zone, labs_zone)
            if begins < ends:  # in the hour that the lab's clock shows twice, it can be the other way round
                yield begins, ends


def _hours(answered: _Answered, day: date) -> tuple[Span, ...]:
    """The stretches of a day on which the practice answers, by its own clock."""
    return () if _why_shut(answered.calendar, day) is not None else _spans(answered.by_weekday[day.weekday()])


def _rung(ringing: _Ringing, opens: datetime, closes: datetime) -> Iterator[tuple[datetime, datetime]]:
    """The parts of a stretch in which the lab rings: its own hours on its working days."""
    for n in range((closes.date() - opens.date()).days + 1):
        day = opens.date() + n * _DAY
        if _why_shut(ringing.calendar, day) is not None:
            continue
        for begins, ends in _spans(ringing.hours):
            start, stop = max(opens, datetime.combine(day, begins)), min(closes, datetime.combine(day, ends))
            if start < stop:
                yield start, stop


def _why_shut(calendar: WorkingCalendar, day: date) -> str | None:
    """Why nobody answers on a day; None when somebody does.

    Where no bank holidays are known the weekdays alone decide, so that one wrong country hides no practice from
    whoever rings; that they are not known is said beside it. The dates of its cases say what is wrong.
    """
    try:
        return calendar.why_closed(day)
    except HolidaysUnknown:
        return None if day.weekday() in calendar.weekdays else DAYS[day.weekday()]


def _unsure(calendar: WorkingCalendar, day: date) -> str:
    """What is said beside an opening on a day of which nobody knows whether it is a bank holiday."""
    try:
        calendar.why_closed(day)
    except HolidaysUnknown:
        return f"; bank holidays of {day.year} not known"
    return ""


@lru_cache(maxsize=256)
def _spans(written: tuple[str, ...]) -> tuple[Span, ...]:
    return tuple(sorted(read_span(text) for text in written))


def carried(moment: datetime, zone: str, other: str) -> datetime:
    """A moment on one zone's wall clock as another zone's shows it."""
    if zone == other:
        return moment
    return moment.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC).astimezone(ZoneInfo(other)).replace(tzinfo=None)


def _why_closed(answered: _Answered, labs_zone: str, now: datetime, opens: datetime) -> str:
    """In a few words. Lunch is a gap in one day of the practice, by its own clock."""
    there, again = carried(now, labs_zone, answered.zone), carried(opens, labs_zone, answered.zone)
    today = _hours(answered, there.date())
    if any(closes <= there.time() for _, closes in today) and again.date() == there.date():
        return f"at lunch until {opens:%H:%M}"
    when = f"{opens:%H:%M}" if opens.date() == now.date() else f"{short_day(opens.date())}, {opens:%H:%M}"
    closed = _why_shut(answered.calendar, there.date())
    reason = f": {closed}" if closed and closed not in DAYS else ""
    return f"closed{reason}, opens {when}"
