"""Chooses the print queues of tickets and letters, and keeps the choice in the lab setup."""

from dataclasses import replace

from intake.desk.desk import Desk
from intake.desk.lab_setup import add_edition, setup_file
from intake.outbox.print_queue import QueueInfo
from intake.setup.writing import Answers, changed

NOTE = "printers chosen"


def queues(desk: Desk) -> tuple[QueueInfo, ...]:
    """The queues that can be chosen. Raises PrinterTrouble where the print service does not answer."""
    return desk.queue.queues()


def choose_printers(desk: Desk, ticket: str | None, letter: str | None) -> Desk:
    """Keeps the queues for tickets and letters in the setup, comments and all; gives the desk that prints there.

    Whoever is at the desk may: a printer that is out of order cannot wait for a lead.
    """
    if desk.folder is None:
        lab = desk.lab.model_copy(
            update={
                "ticket": desk.lab.ticket.model_copy(update={"queue": ticket}),
                "letter": desk.lab.letter.model_copy(update={"queue": letter}),
            }
        )
        return replace(desk, lab=lab)
    file = setup_file(desk)
    answers: Answers = {("ticket", "queue"): ticket, ("letter", "queue"): letter}
    return add_edition(desk, changed(file.text, answers), NOTE, file.edition).desk
