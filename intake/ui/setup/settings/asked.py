"""What the page Laboratory asks of the desk, on the threads of the job runner."""

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from intake.desk.desk import Desk


def queue_names(desk: "Desk") -> tuple[str, ...]:
    """The print queues of this computer; none where the print service does not answer."""
    from intake.desk.choose_printer import queues
    from intake.errors import IntakeError

    try:
        return tuple(queue.name for queue in queues(desk))
    except IntakeError:
        return ()  # the name can be typed all the same, and the printer dialog says what is wrong


def take_logo(desk: "Desk", path: Path) -> str:
    """Takes a picture into the folder of the setup; gives its name there."""
    from intake.desk.logo import take_logo

    return take_logo(desk, path)
