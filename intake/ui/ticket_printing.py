"""Tickets on their way to paper: printed in the background, counted while they wait, followed until they are done."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, QTimer, Signal, Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from intake.errors import IntakeError
from intake.ui.desk_line import DeskLine
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.book_in import Booked
    from intake.desk.desk import Desk
    from intake.desk.issue import Issued, Waiting

FOLLOW_MS = 4000
"""How often the queues are asked for what they accepted."""
TROUBLE, NO_PRINTER = "printer", "no-printer"
SENDING = "Sending what waits for the printer …"


class TicketPrinting(QObject):
    """Hands tickets and letters to the printer beside everything else; a save never waits for it.

    Args:
        room: What every place shares.
        desk_line: Shows the printer and what waits for it.
        window: The window over which the printers are chosen.
    """

    desk_changed = Signal(object)
    """The desk that prints to the queues that were chosen."""
    issued = Signal(object)
    """Everything that was handed to a printer or a mail server: a tuple of `Issued`."""

    def __init__(self, room: Room, desk_line: DeskLine, window: QWidget) -> None:
        super().__init__(window)
        self._room, self._line, self._window = room, desk_line, window
        self._desk: Desk | None = None
        self._untraced: set[int] = set()
        self._following = False
        self._timer = QTimer(self)
        self._timer.setInterval(FOLLOW_MS)
        self._timer.timeout.connect(self._follow)
        room.keys.action("send-again").triggered.connect(self.send_again)
        room.keys.action("letters-due").triggered.connect(self._on_letters_due)
        room.keys.action("printer").triggered.connect(self._on_printer)

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk: shows its printer, and says what waits from before."""
        first, self._desk = self._desk is None, desk
        queue = desk.lab.ticket.queue
        self._line.show_printer(queue)
        if queue:
            self._room.news.settle(NO_PRINTER)
        else:
            said = "No printer is chosen for tickets, so they wait. Choose one."
            self._room.news.trouble(said, NO_PRINTER, self._room.keys.action("printer"))
        self._beside(_count_waiting, self._on_first_count if first else self._show_waiting)
        self._timer.start()

    def stop(self) -> None:
        """Asks no queue any more: the window closes. What is not printed by then waits for the next start."""
        self._timer.stop()
        self._desk = None

    @Slot(object)
    def on_booked(self, booked: "Booked") -> None:
        """Prints the tickets of a booking."""
        if booked.tickets:
            self._beside(partial(_print, booked=booked), partial(self._on_printed, booked))

    @Slot(str, object)
    def on_joined(self, said: str, booked: "Booked") -> None:
        """Prints the tickets of a case that something was put to, and says so behind it."""
        if booked.tickets:
            self._beside(partial(_print, booked=booked), partial(self.on_freed, said))

    @Slot(object)
    def on_issued(self, issued: "tuple[Issued, ...]") -> None:
        """Says what became of tickets and letters that were handed to the printer elsewhere."""
        self._tell(_words(issued), issued)

    @Slot(str, object)
    def on_freed(self, said: str, issued: "tuple[Issued, ...]") -> None:
        """Says what became of tickets behind what brought them about."""
        self._tell(" ".join(filter(None, (said, _words(issued)))), issued)

    @Slot()
    def send_again(self) -> None:
        """Sends everything that waits for the printer."""
        if self._desk is not None:
            self._room.news.tell(SENDING)
        self._beside(_send_waiting, self._on_sent_again)

    def _on_sent_again(self, issued: "tuple[Issued, ...]") -> None:
        self._room.news.no_longer(SENDING)
        if issued:
            self.on_issued(issued)
        else:
            self._room.news.tell("Nothing waits for the printer.")

    @Slot()
    def _on_letters_due(self) -> None:
        if self._desk is not None:
            self._room.news.tell("Writing the query letters that are due …")
        self._beside(_write_letters, self._on_letters)

    def _on_letters(self, issued: "tuple[Issued, ...]") -> None:
        if issued:
            self.on_issued(issued)
        else:
            self._room.news.tell("No query letter is due: everything open has been asked.")

    def _on_printed(self, booked: "Booked", issued: "tuple[Issued, ...]") -> None:
        self._tell(_booked_words(booked, issued), issued)

    def _tell(self, said: str, issued: "tuple[Issued, ...]") -> None:
        if said:
            self._room.news.tell(said)
        on_paper = tuple(each for each in issued if each.document.way == "print")
        if problem := _problem(on_paper):
            way = self._way_out(on_paper)
            key = NO_PRINTER if way is self._room.keys.action("printer") else TROUBLE
            self._room.news.trouble(problem, key, way)
        elif on_paper:
            self._room.news.settle(TROUBLE)
        self.issued.emit(issued)
        self._beside(_count_waiting, self._show_waiting)

    def _way_out(self, issued: "tuple[Issued, ...]") -> QAction:
        """What puts a trouble with printing right: choosing a printer where there is none, else sending again."""
        kept_back = {"ticket" if each.document.kind == "ticket" else "letter" for each in issued if each.problem}
        lab = self._desk.lab if self._desk is not None else None
        nowhere = lab is not None and any(not getattr(lab, kind).queue for kind in kept_back)
        return self._room.keys.action("printer" if nowhere else "send-again")

    def _on_first_count(self, waiting: "Waiting") -> None:
        self._show_waiting(waiting)
        count = waiting.tickets + waiting.letters
        if count and self._desk is not None and self._desk.lab.ticket.queue:
            what = "1 document waits" if count == 1 else f"{count} documents wait"
            key = self._room.keys.shown("send-again")
            self._room.news.tell(f"{what} for the printer from before. {key} sends {'it' if count == 1 else 'them'}.")

    def _show_waiting(self, waiting: "Waiting") -> None:
        self._line.show_waiting(waiting.tickets, waiting.letters)
        if not (waiting.tickets or waiting.letters):
            self._room.news.settle(TROUBLE)

    @Slot()
    def _follow(self) -> None:
        if not self._following and self._desk is not None:
            self._following = True
            work = partial(_follow, self._desk, frozenset(self._untraced))
            self._room.jobs.run(work, self._on_followed, self._on_lost, lane="beside")

    def _on_followed(self, followed: Any) -> None:
        self._following = False
        self._untraced.update(followed.untraced)
        if followed.failed:
            self._room.news.trouble(" ".join(followed.failed), TROUBLE, self._room.keys.action("send-again"))
        if followed.failed or followed.done:
            self._beside(_count_waiting, self._show_waiting)

    def _on_lost(self, problem: Exception) -> None:
        self._following = False
        self._on_trouble(problem)

    @Slot()
    def _on_printer(self) -> None:
        self._room.news.tell("Asking this computer for its printers …")
        self._beside(_queues, self._ask_printer)

    def _ask_printer(self, queues: tuple) -> None:
        from intake.ui.printer_dialog import PrinterDialog  # opened seldom

        self._room.news.tell("")
        if self._desk is not None:
            rules = self._desk.lab.ticket.queue, self._desk.lab.letter.queue
            dialog = PrinterDialog(queues, *rules, self._room.look, self._window)
            dialog.chosen.connect(self._on_chosen)
            dialog.open()

    @Slot(object, object)
    def _on_chosen(self, ticket: str | None, letter: str | None) -> None:
        self._beside(partial(_choose, ticket=ticket, letter=letter), self._on_desk)

    def _on_desk(self, desk: "Desk") -> None:
        self.desk_changed.emit(desk)
        self._room.news.tell(f"Tickets go to {desk.lab.ticket.queue or 'no printer'} from now on.")

    def _beside(self, work: Callable[..., Any], done: Callable[[Any], None]) -> None:
        if self._desk is None:
            self._room.news.tell("The data are still being opened. Try again in a moment.")
            return
        self._room.jobs.run(partial(work, self._desk), done, self._on_trouble, lane="beside")

    def _on_trouble(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))


# What the desk is asked. It brings the database and the drawing of paper with it, which are slow to import: that is
# left to the jobs, behind the painted window.


def _print(desk: "Desk", booked: "Booked") -> "tuple[Issued, ...]":
    from intake.desk.issue import issue_all

    return issue_all(desk, booked.tickets)


def _send_waiting(desk: "Desk") -> "tuple[Issued, ...]":
    from intake.desk.issue import issue_waiting

    return issue_waiting(desk)


def _count_waiting(desk: "Desk") -> "Waiting":
    from intake.desk.issue import count_waiting

    return count_waiting(desk)


def _write_letters(desk: "Desk") -> "tuple[Issued, ...]":
    from intake.desk.letters import write_due

    return write_due(desk)


def _follow(desk: "Desk", untraced: frozenset[int]) -> Any:
    from intake.desk.follow import follow

    return follow(desk, untraced)


def _queues(desk: "Desk") -> tuple:
    from intake.desk.choose_printer import queues

    return queues(desk)


def _choose(desk: "Desk", ticket: str | None, letter: str | None) -> "Desk":
    from intake.desk.choose_printer import choose_printers

    return choose_printers(desk, ticket, letter)


def _words(issued: "tuple[Issued, ...]") -> str:
    from intake.desk.issue_words import issued_words

    return issued_words(issued)


def _problem(issued: "tuple[Issued, ...]") -> str:
    from intake.desk.issue_words import problem_words

    return problem_words(issued)


def _booked_words(booked: "Booked", issued: "tuple[Issued, ...]") -> str:
    from intake.desk.issue_words import booked_words
    from intake.ui.arrivals.saving import entered_words

    return " ".join([booked_words(booked, issued), *entered_words(booked)])
