"""What is read of a day: what has to leave, what nobody asked, what is not booked in, and how it was closed."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, NamedTuple

from intake.domain.day_figures import DayCounts
from intake.store.words import JobState, Stream


@dataclass(frozen=True)
class NewClosing:
    """A day that is to be closed."""

    day: date
    counts: DayCounts
    left: tuple[dict[str, str], ...]
    """What was left over, one by one: `{"what": ..., "about": ..., "reason": ...}`."""
    settled: int
    """How much more had a reason by itself."""


@dataclass(frozen=True)
class ClosingRow:
    """A day as it was closed."""

    closing_id: int
    day: date
    at: datetime
    who: str
    counts: dict[str, Any]
    """`DayCounts` as JSON."""
    left: tuple[dict[str, str], ...]
    events: int
    head: str


class LeavingRow(NamedTuple):
    """A job that is not finished, lean: there can be many."""

    number: str
    case_id: int
    category: str
    box_colour: str
    box_hex: str
    state: JobState
    must_leave: date | None
    latest_start: date | None
    bench: str | None
    moved: datetime | None
    practice: str


class UnaskedRow(NamedTuple):
    """A case with questions that no letter asks."""

    case_id: int
    key: str
    """The key of its practice."""
    practice: str
    job: str
    """The number of its first job that stands; empty where none does."""
    questions: int
    opened: datetime
    """When the newest of them came up."""
    expected_on: date | None
    """The latest day on which something is promised for them."""


class PouringDueRow(NamedTuple):
    """A case whose impressions have to be poured by a moment."""

    case_id: int
    pour_by: datetime
    job: str | None
    """The number of its first job that stands."""
    practice: str


class WaitingRow(NamedTuple):
    """An arrival that waits to be booked in, lean."""

    arrival_id: int
    stream: Stream
    arrived: datetime
    practice: str
    patient: str
