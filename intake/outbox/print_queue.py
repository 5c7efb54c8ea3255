"""What a print queue is to the desk. “Printed” means: accepted as job N of exactly the queue that was named."""

from dataclasses import dataclass
from typing import Literal, Protocol

from intake.errors import IntakeError

JobState = Literal["waiting", "printing", "done", "failed", "unknown"]
SizeMm = tuple[float, float]
"""Width and height of the sheet or label in millimetres."""


@dataclass(frozen=True)
class QueueInfo:
    """One queue that can be chosen in the lab setup."""

    name: str
    accepting: bool
    """Whether a job handed to it now would be printed: it runs and takes jobs."""
    state: str
    """The same in a few words, with the queue's own reason when it gives one."""


@dataclass(frozen=True)
class QueueJob:
    """What a queue accepted: its name and the number that it gave the job."""

    queue: str
    number: int


class PrintQueue(Protocol):
    """The way to paper. Every call may wait seconds for the print service: not for the window’s own thread."""

    def queues(self) -> tuple[QueueInfo, ...]:
        """The queues of this computer.

        Raises:
            PrinterTrouble: the print service does not answer.
        """
        ...

    def submit(self, pdf: bytes, title: str, queue: str, size_mm: SizeMm) -> QueueJob:
        """Hands a PDF to the queue of exactly this name, unscaled, once.

        Args:
            pdf: the document.
            title: what the queue's list shows; a job number, never a patient's name.
            queue: the name as `queues` gives it.
            size_mm: the sheet or label that the PDF was made for.

        Raises:
            QueueMissing: there is no queue of this name. No other queue is tried.
            QueueStopped: the queue is stopped or takes no jobs.
            PrinterTrouble: the print service refused the job or does not answer.
        """
        ...

    def state(self, job: QueueJob) -> JobState:
        """What the queue itself says of a job; `unknown` when it keeps no trace of it.

        Raises:
            PrinterTrouble: the print service does not answer.
        """
        ...


class QueueMissing(IntakeError):
    """There is no queue of the name."""

    def __init__(self, queue: str, present: tuple[str, ...] = ()) -> None:
        here = f"It has {', '.join(f'“{name}”' for name in present)}." if present else "It has none at all."
        super().__init__(
            f"There is no print queue “{queue}” on this computer. {here} "
            "Add the queue to the system or choose another one in the lab setup, then send this again."
        )


class QueueStopped(IntakeError):
    """The queue is there but prints nothing."""

    def __init__(self, queue: str, state: str) -> None:
        super().__init__(f"The print queue “{queue}” is {state}. Start it again, then send this again.")


class PrinterTrouble(IntakeError):
    """The print service failed in a way that it has to explain itself."""
