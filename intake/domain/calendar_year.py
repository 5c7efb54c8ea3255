"""A year of the lab's calendar, day by day with the reason, and what entering a day of it changes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, Literal

from intake.domain.bank_holidays import HolidaysUnknown, bank_holidays
from intake.domain.lab import CalendarRules
from intake.domain.written_dates import DAYS

DayKind = Literal["open", "weekday", "holiday", "closure", "worked", "unknown"]
"""Worked as usual; a weekday that is not worked; a bank holiday; the lab's own closure; worked nevertheless; a day of
which nobody knows whether it is a bank holiday."""
Place = tuple[str | int, ...]
NEW_CLOSURE = "Closed"
"""The name of a closure that has none yet."""


@dataclass(frozen=True)
class YearDay:
    """One day: what it is, and why."""

    kind: DayKind
    why: str = ""


@dataclass(frozen=True)
class Year:
    """Every day of a year.

    Attributes:
        number: The year.
        days: What each day is.
        unknown: Why its bank holidays are not known; empty where they are.
    """

    number: int
    days: Mapping[date, YearDay]
    unknown: str = ""

    @property
    def worked(self) -> int:
        """So many days are worked."""
        return sum(day.kind in ("open", "worked") for day in self.days.values())

    @property
    def holidays(self) -> int:
        """So many days are off for being bank holidays."""
        return sum(day.kind == "holiday" for day in self.days.values())


def year_of(rules: CalendarRules, year: int) -> Year:
    """A year by the lab's rules. Where its bank holidays are not known, no weekday is taken for a working day."""
    unknown, holidays = "", None
    try:
        holidays = bank_holidays(rules.country, rules.subdivision, year)
    except HolidaysUnknown as problem:
        unknown = str(problem)
    first = date(year, 1, 1)
    count = (date(year, 12, 31) - first).days + 1
    days = [first + timedelta(days=n) for n in range(count)]
    return Year(year, {day: _day(day, rules, holidays) for day in days}, unknown)


def _day(day: date, rules: CalendarRules, holidays: Mapping[date, str] | None) -> YearDay:
    """As `WorkingCalendar.why_closed` decides it, in the same order."""
    holiday = (holidays or {}).get(day)
    closure = next((each for each in rules.closures if each.first <= day <= each.last), None)
    weekday = DAYS[day.weekday()] if day.weekday() not in rules.weekdays else ""
    if day in rules.worked:
        return YearDay("worked", closure.name if closure else holiday or weekday)
    if closure is not None:
        return YearDay("closure", closure.name)
    if holiday is not None:
        return YearDay("holiday", holiday)
    if weekday:
        return YearDay("weekday", weekday)
    return YearDay("open") if holidays is not None else YearDay("unknown")


@dataclass(frozen=True)
class Edit:
    """One change of the setup's file: an entry put into a list, or, where there is no value, one taken out."""

    place: Place
    value: Any = None


CLOSURES: Place = ("calendar", "closures")
WORKED: Place = ("calendar", "worked")
"""Where these lists stand in the setup's file."""


def entered(rules: CalendarRules, first: date, last: date) -> tuple[Edit, ...]:
    """What Enter on a stretch of days changes: open days are closed, closed days are worked.

    A closure of just these days is taken out again; so is what made a day worked. A longer closure, a bank holiday and
    a weekday off stay, and the days are worked nevertheless. Takings-out come last to first, so that they can be done
    one after the other.
    """
    days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    closed = {day for day in days if _is_closed(day, rules)}
    if len(closed) == len(days):
        own = [at for at, each in enumerate(rules.closures) if (each.first, each.last) == (first, last)]
        if own:
            return tuple(Edit((*CLOSURES, at)) for at in reversed(own))
        return tuple(Edit(WORKED, day) for day in days)
    nevertheless = tuple(Edit((*WORKED, at)) for at in reversed(range(len(rules.worked))) if rules.worked[at] in days)
    without = rules.model_copy(update={"worked": tuple(day for day in rules.worked if day not in days)})
    if all(_is_closed(day, without) for day in days):
        return nevertheless
    return (*nevertheless, Edit(CLOSURES, {"first": first, "last": last, "name": NEW_CLOSURE}))


def next_closed(rules: CalendarRules, day: date) -> date | None:
    """The first day from a day on that is not worked, within a year; None where there is none."""
    days: Sequence[date] = [day + timedelta(days=n) for n in range(366)]
    return next((each for each in days if _is_closed(each, rules)), None)


def _is_closed(day: date, rules: CalendarRules) -> bool:
    """Whether a day is not worked; one of which nobody knows counts as open, so that it can be closed."""
    try:
        holidays: Mapping[date, str] = bank_holidays(rules.country, rules.subdivision, day.year)
    except HolidaysUnknown:
        holidays = {}
    return _day(day, rules, holidays).kind not in ("open", "worked")
