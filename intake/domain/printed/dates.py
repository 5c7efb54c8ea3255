"""How dates are written on paper and in mails."""

from datetime import date, datetime
from typing import Annotated

from pydantic import Field

from intake.domain.case import Frozen
from intake.domain.practice import Words


class DateWords(Frozen):
    """The words and the order of a date.

    `{weekday}`, `{day}`, `{month}`, `{month_number}` and `{year}` can stand in `day` and `short`; `{date}` and `{time}`
    in `moment`.
    """

    weekdays: Annotated[tuple[Words, ...], Field(min_length=7, max_length=7)] = (
        "Mon",
        "Tue",
        "Wed",
        "Thu",
        "Fri",
        "Sat",
        "Sun",
    )
    """Monday first."""
    months: Annotated[tuple[Words, ...], Field(min_length=12, max_length=12)] = (
        "Jan",
        "Feb",
        "Mar",
        "Apr",
        "May",
        "Jun",
        "Jul",
        "Aug",
        "Sep",
        "Oct",
        "Nov",
        "Dec",
    )
    day: Words = "{weekday} {day} {month} {year}"
    short: Words = "{weekday} {day} {month}"
    """Where the year is plain."""
    moment: Words = "{date}, {time}"

    def shown_day(self, day: date) -> str:
        """A day with its weekday."""
        return self._filled(self.day, day)

    def short_day(self, day: date) -> str:
        """A day where the year is plain."""
        return self._filled(self.short, day)

    def shown_moment(self, moment: date | datetime) -> str:
        """A day, with the time where there is one."""
        day = self.shown_day(moment)
        return self.moment.format(date=day, time=f"{moment:%H:%M}") if isinstance(moment, datetime) else day

    def _filled(self, text: str, day: date) -> str:
        return text.format(
            weekday=self.weekdays[day.weekday()],
            day=day.day,
            month=self.months[day.month - 1],
            month_number=day.month,
            year=day.year,
        )
