"""What the strip of days shows of one job, as a value, and the same in words."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Literal

from intake.ui.marks import WORDS, Kind

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True)
class StripView:
    """What the strip shows of one job.

    Attributes:
        today: The desk's day.
        appointment: The patient's day.
        outlook: comfortable, tight or late.
        slack: The outlook in a sentence, with the working days to spare.
        latest_start: The last day on which the work can begin.
        must_leave: The day on which it leaves the lab.
        reply_by: Until when the practice's answer helps; None when nothing is asked.
        pour_by: Until when an impression can be poured; None when none has to be.
        would_hold: The earliest appointment that would hold, when late.
        closed: The lab's closed days of the span, each with its reason.
        practice_open: The days on which the practice is open.
    """

    today: date
    appointment: date
    outlook: Literal["comfortable", "tight", "late"]
    slack: str
    latest_start: date
    must_leave: date
    reply_by: datetime | None = None
    pour_by: datetime | None = None
    would_hold: date | None = None
    closed: Mapping[date, str] = field(default_factory=dict)
    practice_open: frozenset[date] = frozenset()

    @property
    def marks(self) -> list[tuple[Kind, date, str]]:
        """The marks in the order of time: kind, day, and the words of its label."""
        moments: dict[Kind, date | datetime | None] = {
            "today": self.today,
            "pour-by": self.pour_by,
            "reply-by": self.reply_by,
            "latest-start": self.latest_start,
            "must-leave": self.must_leave,
            "appointment": self.appointment,
            "would-hold": self.would_hold,
        }
        marks = [(kind, _day(at), f"{WORDS[kind]} {_short(at)}") for kind, at in moments.items() if at is not None]
        return sorted(marks, key=lambda mark: mark[1])

    @property
    def days(self) -> list[date]:
        """Every calendar day from the first mark to the last."""
        first, last = self.marks[0][1], self.marks[-1][1]
        return [first + at * ONE_DAY for at in range((last - first).days + 1)]

    def described(self) -> str:
        """The whole strip in words, for those who hear it."""
        marks = ", ".join(words for _, _, words in self.marks)
        shut = ", ".join(f"{_short(day)} {why}" for day, why in sorted(self.closed.items()))
        return f"{self.slack} {marks}." + (f" Closed: {shut}." if shut else "")

    def said_of(self, day: date) -> str:
        """What the strip has to say of one day."""
        said = [words for _, at, words in self.marks if at == day]
        said += [f"closed: {self.closed[day]}"] if day in self.closed else []
        said += ["practice open"] if day in self.practice_open else []
        return f"{_short(day)} {day.year}" + (f": {', '.join(said)}" if said else "")

    def named_closures(self) -> str:
        """The closed days that have a name of their own, such as a holiday, in words."""
        named = [f"{_short(day)} {why}" for day, why in sorted(self.closed.items()) if why[:3] not in WEEKDAYS]
        return f"Closed: {', '.join(named)}" if named else ""


def _day(moment: date | datetime) -> date:
    return moment.date() if isinstance(moment, datetime) else moment


def _short(moment: date | datetime) -> str:
    """A day of the strip with its weekday, and the hour where there is one: “Tue 1 Dec 12:00”."""
    day = f"{WEEKDAYS[moment.weekday()]} {moment.day} {MONTHS[moment.month - 1]}"
    return f"{day} {moment:%H:%M}" if isinstance(moment, datetime) else day
