"""What leaves the store of jobs that benches still have to work: lean, since there are many."""

from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from intake.store.words import JobState


@dataclass(frozen=True)
class RouteDates:
    """The dates that the load of the benches is counted from, as they stand in a job's deadlines."""

    route: tuple[tuple[str, date], ...]
    start: date
    latest_start: date


class OpenJobs(NamedTuple):
    """Jobs that are not finished, together where they have the same dates, state and place."""

    dates: RouteDates
    state: JobState
    bench: str | None
    """The bench that has their boxes, or gets them next; None at reception."""
    moved: bool
    """Whether their boxes have ever left reception."""
    numbers: tuple[str, ...]


class LoadJobRow(NamedTuple):
    """A job as lists of the load show it."""

    job_id: int
    number: str
    state: JobState
    category: str
    box_colour: str
    box_hex: str
    practice: str
    patient_label: str
    patient_reference: str
    must_leave: date | None
    bench: str | None
