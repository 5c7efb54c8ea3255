"""What was promised and may lie on the desk now: looked for as the form is typed, offered in a line with its key."""

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QPushButton, QWidget

from intake.domain.case import Case, Item, NewPractice
from intake.errors import IntakeError
from intake.ui.arrivals import asked
from intake.ui.arrivals.which_job import WhichJob
from intake.ui.latest import Latest
from intake.ui.plain import Words, button_words, set_edge
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.expected import Match

About = tuple[str | NewPractice, str, str, tuple[Item, ...]]
"""What an offer hangs on: practice, label, reference, items."""
ROOMY = 26
"""From this width on, in heights of text, words and button share a line."""
JOIN = "Put it to that job"
CHOOSE = "Choose the job"
NOTHING = "Nothing was promised that this could be: practice and patient have to be the same."
LOOKING = "Still looking what this could be. Press it again."


class Promised(QWidget):
    """Offers the cases that wait for what is in the form; hidden while there are none.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    chosen = Signal(object)
    """The `Match` that the desk joins the form to."""

    def __init__(self, room: Room, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._room = room
        self.desk: Desk | None = None
        self._latest = Latest(room.jobs)
        self._about: About | None = None
        self._found: tuple[Match, ...] = ()
        self._is_current = True
        self.words = Words("", size="small", wraps=True)
        self.button = QPushButton(self)
        self.button.clicked.connect(room.keys.action("join-promised").trigger)
        self.button.setProperty("compact", True)
        self._line = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._line.addWidget(self.words, 1)
        self._line.addWidget(self.button, 0, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        set_edge(self, "bottom")
        self.hide()
        room.keys.action("join-promised").triggered.connect(self.join)
        room.keys.changed.connect(self._show)
        room.look.changed.connect(self._fit)
        self._fit()

    def ask(self, case: Case | None, anew: bool = False) -> None:
        """Looks whether something was promised that the case brings, on the store's thread.

        Args:
            case: The case in the form; None where the form is no arrival.
            anew: Whether to look even where the form says what it said before.
        """
        about = _about(case) if case is not None and self.desk is not None else None
        if about == self._about and not (anew and about):
            return
        self._about, self._is_current = about, about is None
        if case is not None and self.desk is not None and about is not None:
            self._latest.ask(partial(asked.promised, self.desk, case), self._on_found, self._on_failed)
        else:
            self._latest.forget()
            self._on_found(())

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._latest.forget()
        self.desk = None

    @Slot()
    def join(self) -> None:
        """Takes what is offered; where several cases wait, one of them is chosen first."""
        if not self._is_current:
            self._room.news.tell(LOOKING)
        elif not self._found:
            self._room.news.tell(NOTHING)
        elif len(self._found) == 1:
            self.chosen.emit(self._found[0])
        else:
            self._choose()

    def _choose(self) -> None:
        found = self._found  # what is offered may be another by the time that one is taken
        dialog = WhichJob([match.said for match in found], self._room.look, self.window())
        dialog.taken.connect(lambda row: self.chosen.emit(found[row]))
        dialog.open()

    def _on_found(self, found: "Sequence[Match]") -> None:
        self._found, self._is_current = tuple(found), True
        self._show()

    def _on_failed(self, problem: Exception) -> None:
        self._on_found(())
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    @Slot()
    def _show(self) -> None:
        self.setVisible(bool(self._found))
        if self._found:
            more = len(self._found) - 1
            others = f" {more} more of this patient’s {'waits' if more == 1 else 'wait'} for something too."
            self.words.setText(self._found[0].said + (others if more else ""))
            shown = self._room.keys.shown("join-promised")
            self.button.setText(button_words(f"{CHOOSE if more else JOIN}  {shown}".rstrip()))

    @Slot()
    def _fit(self) -> None:
        wide, thin = self._room.look.px(1), self._room.look.px(0.3)
        self._line.setContentsMargins(wide, thin, wide, thin)
        self._line.setSpacing(thin)
        sideways, downwards = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        self._line.setDirection(sideways if self.width() >= self._room.look.px(ROOMY) else downwards)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()


def _about(case: Case) -> About | None:
    """What an offer hangs on; None where nothing can fit yet."""
    patient = case.patient
    if not case.practice or not (patient.label or patient.reference):
        return None
    return case.practice, patient.label or "", patient.reference or "", case.items
