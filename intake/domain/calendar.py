"""Working days: of the lab, of a practice, and of whoever carries between them."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from intake.domain.bank_holidays import bank_holidays
from intake.domain.lab import CalendarRules, Closure, DeadlineRules, Lab
from intake.domain.practice import Practice
from intake.domain.written_dates import DAYS, shown_day
from intake.errors import IntakeError

_DAY = timedelta(days=1)
_LONGEST_CLOSURE = 400
"""Days without an open one after which a calendar is called wrong: more than a year."""


class NoOpenDay(IntakeError):
    """A calendar has no open day where one is looked for."""


@dataclass(frozen=True)
class WorkingCalendar:
    """The days on which somebody works: weekdays, without bank holidays and closures, and days worked nevertheless.

    All days are `datetime.date`. A method raises `HolidaysUnknown` when it comes to a year whose bank holidays are not
    known, and `NoOpenDay` when it finds no open day within 400 days or before the calendar ends.
    """

    weekdays: frozenset[int]
    country: str
    subdivision: str | None = None
    closures: tuple[Closure, ...] = ()
    worked: frozenset[date] = frozenset()

    def is_open(self, day: date) -> bool:
        """Whether the day is worked."""
        return self.why_closed(day) is None

    def why_closed(self, day: date) -> str | None:
        """Why the day is not worked: `Christmas Day`, `Closed: summer fortnight`, `Saturday`; None when it is."""
        if day in self.worked:
            return None
        for closure in self.closures:
            if closure.first <= day <= closure.last:
                return f"Closed: {closure.name}"
        holiday = bank_holidays(self.country, self.subdivision, day.year).get(day)
        if holiday is not None:
            return holiday
        return None if day.weekday() in self.weekdays else DAYS[day.weekday()]

    def next_open(self, day: date) -> date:
        """The day itself when it is open, else the next open one."""
        return day if self.is_open(day) else self.forward(day, 1)

    def previous_open(self, day: date) -> date:
        """The day itself when it is open, else the last open one before it."""
        return day if self.is_open(day) else self.back(day, 1)

    def forward(self, day: date, count: int) -> date:
        """The open day so many open days after a day, which itself is not counted; 0 gives the day itself."""
        return self._walk(day, count, _DAY)

    def back(self, day: date, count: int) -> date:
        """The open day so many open days before a day, which itself is not counted; 0 gives the day itself."""
        return self._walk(day, count, -_DAY)

    def days_between(self, earlier: date, later: date) -> int:
        """How many open days come after one day up to and including another; negative when they are in reverse order.

        So `days_between(day, forward(day, n)) == n`.
        """
        if later < earlier:
            return -self.days_between(later, earlier)
        days = (later - earlier).days
        return sum(self.is_open(earlier + timedelta(days=n)) for n in range(1, days + 1))

    def _walk(self, day: date, count: int, step: timedelta) -> date:
        if count < 0:
            raise ValueError(f"days are counted forward or back by a number from 0, not by {count}")
        reached, closed = day, 0
        while count:
            try:
                reached += step
            except OverflowError:
                raise NoOpenDay(f"The calendar ends before an open day is found from {day.isoformat()}.") from None
            if self.is_open(reached):
                count, closed = count - 1, 0
            else:
                closed += 1
            if closed > _LONGEST_CLOSURE:
                raise NoOpenDay(
                    f"No open day within {_LONGEST_CLOSURE} days of {shown_day(day)}. "
                    "Check the open weekdays and the closures."
                )
        return reached


def lab_calendar(rules: CalendarRules) -> WorkingCalendar:
    """The days on which the lab works."""
    return WorkingCalendar(
        frozenset(rules.weekdays), rules.country, rules.subdivision, rules.closures, frozenset(rules.worked)
    )


def practice_calendar(practice: Practice | None, lab: Lab) -> WorkingCalendar:
    """The days on which a practice is open: its own weekdays without the bank holidays where it is.

    A practice is where the lab is as far as its entry does not say otherwise. The lab's closures are not the
    practice's. A practice that is not in the directory is taken to be open from Monday to Friday.
    """
    weekdays = practice.open_weekdays if practice else Practice.model_fields["open_weekdays"].default
    country, subdivision = lab.calendar.country, lab.calendar.subdivision
    if practice and practice.country not in (None, country):
        country, subdivision = str(practice.country), practice.subdivision
    elif practice and practice.subdivision:
        subdivision = practice.subdivision
    return WorkingCalendar(frozenset(weekdays), country, subdivision)


def delivery_calendar(rules: DeadlineRules, calendar: CalendarRules) -> WorkingCalendar:
    """The days on which work is carried: the carrier's weekdays without the bank holidays where the lab is."""
    return carrier_calendar(frozenset(rules.delivery_weekdays), calendar)


def carrier_calendar(weekdays: frozenset[int], calendar: CalendarRules) -> WorkingCalendar:
    """The days on which a carrier with these weekdays delivers: without the bank holidays where the lab is."""
    return WorkingCalendar(weekdays, calendar.country, calendar.subdivision)


def counts_from(moment: datetime, rules: CalendarRules) -> date:
    """The working day from which an arrival counts: its own until the cut-off, else the lab's next one.

    Args:
        moment: when it arrived, in the lab's local time.
        rules: the lab's calendar; an arrival at the very minute of the cut-off still counts for its day.
    """
    calendar = lab_calendar(rules)
    if moment.time().replace(second=0, microsecond=0) > rules.cut_off:
        return calendar.forward(moment.date(), 1)
    return calendar.next_open(moment.date())
