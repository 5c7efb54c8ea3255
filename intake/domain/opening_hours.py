"""When a practice answers the telephone: its hours, its lunch, its days, by its own clock.

All moments go in and come out as the lab's wall clock, without a time zone. Between two zones a moment is carried over
by UTC, so a practice abroad is open by its own clock on the days when only one of the two clocks changes.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
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


def open_now(practice: Practice | None, lab: Lab, now: datetime) -> OpenNow:
    """Whether a practice answers now, and until or from when.

    A practice whose hours are not known has the setup's usual hours on its open weekdays; one that is not in the
    directory is taken for open from Monday to Friday.
    """
    stretches = _stretches(practice, lab, now.date() - _DAY, _LONGEST_WAIT)
    upcoming = next(((opens, closes) for opens, closes in stretches if closes > now), None)
    if upcoming is None:
        return OpenNow(False, None, None, f"closed for more than {_LONGEST_WAIT} days")
    opens, closes = upcoming
    if opens <= now:
        return OpenNow(True, closes, None, f"open until {closes:%H:%M}")
    return OpenNow(False, None, opens, _why_closed(practice, lab, now, opens))


def next_open(practice: Practice | None, lab: Lab, moment: datetime) -> datetime:
    """The moment itself when the practice answers and the lab rings then, else the next one at which both do.

    Raises NeverOpen where there is none within two months.
    """
    for opens, closes in _stretches(practice, lab, moment.date() - _DAY, _LONGEST_WAIT):
        for begins, ends in _ringing(lab, opens, closes):
            if ends > moment:
                return max(begins, moment)
    name = practice.name if practice else "The practice"
    raise NeverOpen(f"{name} is not open while the laboratory rings. Check its hours, and the lab's own for ringing.")


def _stretches(practice: Practice | None, lab: Lab, first: date, days: int) -> Iterator[tuple[datetime, datetime]]:
    """When the practice answers from a day on, on the lab's clock, in order."""
    calendar = practice_calendar(practice, lab)
    for n in range(days):
        day = first + n * _DAY
        for opens, closes in _hours(practice, lab, calendar, day):
            begins, ends = _on_labs_clock(practice, lab, day, opens), _on_labs_clock(practice, lab, day, closes)
            if begins < ends:  # in the hour that the lab's clock shows twice, it can be the other way round
                yield begins, ends


def _hours(practice: Practice | None, lab: Lab, calendar: WorkingCalendar, day: date) -> tuple[Span, ...]:
    """The stretches of a day on which the practice answers, by its own clock."""
    if _why_shut(calendar, day) is not None:
        return ()
    if practice is None or not practice.hours:
        return _spans(lab.ringing.usual_hours)
    written = tuple(text for hours in practice.hours if day.weekday() in hours.weekdays for text in hours.open)
    return _spans(written)


def _ringing(lab: Lab, opens: datetime, closes: datetime) -> Iterator[tuple[datetime, datetime]]:
    """The parts of a stretch in which the lab rings: its own hours on its working days."""
    calendar = lab_calendar(lab.calendar)
    for n in range((closes.date() - opens.date()).days + 1):
        day = opens.date() + n * _DAY
        if _why_shut(calendar, day) is not None:
            continue
        for begins, ends in _spans(lab.ringing.lab_hours):
            start, stop = max(opens, datetime.combine(day, begins)), min(closes, datetime.combine(day, ends))
            if start < stop:
                yield start, stop


def _why_shut(calendar: WorkingCalendar, day: date) -> str | None:
    """Why nobody answers on a day; None when somebody does.

    Where no bank holidays are known the weekdays alone decide, so that one wrong country hides no practice from
    whoever rings. The dates of its cases say what is wrong.
    """
    try:
        return calendar.why_closed(day)
    except HolidaysUnknown:
        return None if day.weekday() in calendar.weekdays else DAYS[day.weekday()]


@lru_cache(maxsize=256)
def _spans(written: tuple[str, ...]) -> tuple[Span, ...]:
    return tuple(sorted(read_span(text) for text in written))


def _on_labs_clock(practice: Practice | None, lab: Lab, day: date, clock: time) -> datetime:
    """A time on the practice's clock as the lab's clock shows it."""
    return carried(datetime.combine(day, clock), _zone(practice, lab), lab.calendar.zone)


def _zone(practice: Practice | None, lab: Lab) -> str:
    return practice.zone if practice and practice.zone else lab.calendar.zone


def carried(moment: datetime, zone: str, other: str) -> datetime:
    """A moment on one zone's wall clock as another zone's shows it."""
    if zone == other:
        return moment
    return moment.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC).astimezone(ZoneInfo(other)).replace(tzinfo=None)


def _why_closed(practice: Practice | None, lab: Lab, now: datetime, opens: datetime) -> str:
    """In a few words. Lunch is a gap in one day of the practice, by its own clock."""
    zone, calendar = _zone(practice, lab), practice_calendar(practice, lab)
    there, again = carried(now, lab.calendar.zone, zone), carried(opens, lab.calendar.zone, zone)
    today = _hours(practice, lab, calendar, there.date())
    if any(closes <= there.time() for _, closes in today) and again.date() == there.date():
        return f"at lunch until {opens:%H:%M}"
    when = f"{opens:%H:%M}" if opens.date() == now.date() else f"{short_day(opens.date())}, {opens:%H:%M}"
    closed = _why_shut(calendar, there.date())
    reason = f": {closed}" if closed and closed not in DAYS else ""
    return f"closed{reason}, opens {when}"
