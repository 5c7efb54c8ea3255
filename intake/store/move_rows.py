"""What is handed to and leaves the store of moves and boxes."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from intake.domain.box_moves import Move as Move


@dataclass(frozen=True)
class StandsAt:
    """Where a move leaves a job.

    Attributes:
        state: The job's state.
        bench: The bench that has its box, or gets it next; None at reception and at the end.
        finished: Whether the last bench of its route is done with it; then its numbered box is free.
    """

    state: Literal["held", "clear", "gone", "withdrawn"]
    bench: str | None
    finished: bool = False


@dataclass(frozen=True)
class BoxRow:
    """A numbered box and the job that lies in it."""

    number: int
    job_id: int
    job: str
    """The job's number."""
    since: datetime
