"""What can be done with the job on the card.

Its ticket is printed again, it is changed or withdrawn, its practice is written to, its scans are looked at. What else
can become of its case is in `further`.
"""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QWidget

from intake.domain.job_number import JobNumber
from intake.errors import IntakeError
from intake.ui.latest import Latest
from intake.ui.lookup import asked
from intake.ui.lookup.further import Further, of
from intake.ui.reason_dialog import ReasonDialog
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.look_up import Card
    from intake.desk.scan_panel import ScanPanel

REPRINTS = ("lost", "damaged", "in the wrong box", "illegible")
WITHDRAWALS = ("cancelled by the practice", "the patient will not come", "not for this laboratory")


class Deeds(QObject):
    """Does what the actions of Look up ask for, with the card that is shown.

    Args:
        room: What every place shares.
        place: The place over which dialogs open.
    """

    change_wanted = Signal(int)
    issued = Signal(object)
    done = Signal()
    """Something about the job has changed."""

    def __init__(self, room: Room, place: QWidget) -> None:
        super().__init__(place)
        self._room, self._window = room, place
        self.card: Card | None = None
        self._panels = Latest(room.jobs)
        self._further = Further(room, place, self._take_up_again, self.issued.emit, self.done.emit)
        action = room.keys.action
        action("reprint").triggered.connect(self._on_reprint)
        action("change-case").triggered.connect(self._on_change)
        action("letter-now").triggered.connect(self._on_letter)
        action("withdraw").triggered.connect(self._on_withdraw)
        action("look-at-case-scans").triggered.connect(self._on_look_closer)
        action("ticket-with-pictures").triggered.connect(self._on_pictures)
        action("send-back").triggered.connect(self._on_send_back)
        action("split-off").triggered.connect(self._on_split_off)
        action("merge").triggered.connect(self._on_merge)
        action("remake").triggered.connect(self._on_remake)

    @property
    def desk(self) -> "Desk":
        """The desk; set before there can be a card."""
        return self._further.desk

    @desk.setter
    def desk(self, desk: "Desk") -> None:
        self._further.desk = desk

    def forget(self) -> None:
        """Wants to look at nothing any more: the window closes."""
        self._panels.forget()
        self._further.forget()

    def trouble(self, problem: Exception) -> None:
        """Says what the desk refuses; what nobody foresaw goes on to the last resort."""
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    @Slot()
    def _on_reprint(self) -> None:
        if card := self._standing("print its ticket again"):
            number = JobNumber(card.job.number)
            told = (
                f"Job {number.shown}: the reason stands on the copy and in the history. Earlier copies no longer count."
            )
            self._ask("Print the ticket again", told, REPRINTS, "&Print it  Enter", partial(self._reprint, number))

    def _reprint(self, number: JobNumber, reason: str) -> None:
        self._issue(partial(asked.reprint, self.desk, number, reason))

    @Slot()
    def _on_pictures(self) -> None:
        if card := self._standing("print its ticket with the pictures of its scans"):
            self._issue(partial(asked.ticket_with_pictures, self.desk, JobNumber(card.job.number)))

    @Slot()
    def _on_look_closer(self) -> None:
        if self.card is None:
            self._room.news.tell("Choose a job first, to look at its scans.")
            return
        work = partial(asked.panel_of_case, self.desk, self.card.case.case_id)
        self._panels.ask(work, partial(self._on_panel, self.card), self.trouble)

    def _on_panel(self, card: "Card", panel: "ScanPanel | None") -> None:
        if panel is None:
            self._room.news.tell(f"No file of a scan came with the case of {of(card)}.")
            return
        from intake.ui.scans.looking import Looking  # few cases are looked at again

        Looking(self._room, self.desk, panel, None, self._window.window()).open()

    @Slot()
    def _on_letter(self) -> None:
        if card := self._standing("write to its practice"):
            self._issue(partial(asked.letter, self.desk, card.case.case_id))

    @Slot()
    def _on_change(self) -> None:
        if self.card is not None:
            self.change_wanted.emit(self.card.case.case_id)
        else:
            self._standing("change its prescription")

    @Slot()
    def _on_send_back(self) -> None:
        if card := self._standing("send its case back"):
            self._further.send_back(card)

    @Slot()
    def _on_split_off(self) -> None:
        if card := self._standing("split its case"):
            self._further.split_off(card)

    @Slot()
    def _on_merge(self) -> None:
        if card := self._standing("merge its case"):
            self._further.merge(card)

    @Slot()
    def _on_remake(self) -> None:
        if card := self._standing("make it again"):
            self._further.remake(card)

    @Slot()
    def _on_withdraw(self) -> None:
        if card := self._standing("withdraw its case"):
            jobs = "its 1 job" if not card.sisters else f"all its {len(card.sisters) + 1} jobs"
            told = f"The case of {of(card)} is withdrawn with {jobs}. It can be undone."
            self._ask("Withdraw the case", told, WITHDRAWALS, "&Withdraw it  Enter", partial(self._withdraw, card))

    def _withdraw(self, card: "Card", reason: str) -> None:
        case_id, version = card.case.case_id, card.case.version
        work = partial(asked.withdraw, self.desk, case_id, version, reason)
        self._room.jobs.run(work, partial(self._on_withdrawn, card), self.trouble)

    def _on_withdrawn(self, card: "Card", version: int) -> None:
        undo = partial(self._take_up_again, card, version)
        self._room.news.offer_undo(f"The case of {of(card)} is withdrawn.", undo, "withdrawal")
        self.done.emit()

    def _take_up_again(self, card: "Card", version: int) -> None:
        self._issue(partial(asked.take_up_again, self.desk, card.case.case_id, version))
        self._room.news.tell(f"The case of {of(card)} stands again.")

    def _issue(self, work: Callable[[], Any]) -> None:
        """Paper is made beside the store's thread: a printer that does not answer keeps nobody waiting."""
        self._room.jobs.run(work, self._on_issued, self.trouble, lane="beside")

    def _on_issued(self, issued: tuple) -> None:
        self.issued.emit(issued)
        self.done.emit()

    def _standing(self, wanted: str) -> "Card | None":
        """The card that is shown, if its job is one that something can be done with; says why not otherwise."""
        if self.card is None:
            self._room.news.tell(f"Choose a job first, to {wanted}.")
        elif self.card.job.state == "withdrawn":
            self._room.news.tell(f"The case of {of(self.card)} is withdrawn. Open it for change to take it up again.")
        else:
            return self.card
        return None

    def _ask(self, title: str, told: str, usual: tuple[str, ...], go: str, given: Callable[[str], None]) -> None:
        dialog = ReasonDialog(title, told, usual, go, self._room.look, self._window)
        dialog.given.connect(given)
        dialog.open()
