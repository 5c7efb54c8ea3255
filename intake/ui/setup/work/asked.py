"""What the page Work and benches asks of the desk, on the threads of the job runner."""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from intake.domain.lab import Lab

if TYPE_CHECKING:
    from intake.desk.example_ticket import ExampleTicket


def ticket(
    lab: Lab, of: dict[str, str | None], now: datetime, wide: int, folder: Path | None
) -> "ExampleTicket | None":
    """The ticket of an example under a setup that is being changed; `of` are the fields of `Example`."""
    from intake.desk.example_ticket import Example, example_ticket

    return example_ticket(lab, Example(**of), now, wide, folder)
