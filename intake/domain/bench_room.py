"""Whether a bench has room for one more job, as a value that is counted once and asked often."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from intake.domain.calendar import WorkingCalendar


@dataclass(frozen=True)
class BenchRoom:
    """The days on which benches are full; on every other day of the lab they have room."""

    full: Mapping[str, frozenset[date]] = field(default_factory=dict)
    """By bench: the days on which one more job would make another one late, or later."""

    def next_free(self, bench: str, day: date, calendar: WorkingCalendar) -> date:
        """The first working day from a day on, itself among them, on which a bench can finish one more job."""
        full = self.full.get(bench, frozenset())
        free = calendar.next_open(day)
        while free in full:
            free = calendar.forward(free, 1)
        return free
