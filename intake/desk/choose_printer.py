"""Chooses the print queues of tickets and letters, and keeps the choice in the lab setup."""

from dataclasses import replace

from intake.desk.desk import Desk
from intake.outbox.print_queue import QueueInfo
from intake.setup.first_run import default_setup
from intake.setup.places import DataFolder
from intake.setup.writing import Answers, changed, write_whole


def queues(desk: Desk) -> tuple[QueueInfo, ...]:
    """The queues that can be chosen. Raises PrinterTrouble where the print service does not answer."""
    return desk.queue.queues()


def choose_printers(desk: Desk, ticket: str | None, letter: str | None) -> Desk:
    """Keeps the queues for tickets and letters in the setup, comments and all; gives the desk that prints there."""
    if desk.folder is not None:
        setup = DataFolder(desk.folder).setup
        text = (setup if setup.exists() else default_setup()).read_text(encoding="utf-8")
        answers: Answers = {("ticket", "queue"): ticket, ("letter", "queue"): letter}
        write_whole(setup, changed(text, answers))
    lab = desk.lab.model_copy(
        update={
            "ticket": desk.lab.ticket.model_copy(update={"queue": ticket}),
            "letter": desk.lab.letter.model_copy(update={"queue": letter}),
        }
    )
    return replace(desk, lab=lab)
