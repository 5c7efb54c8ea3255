"""What the form may belong to, promised or come apart: looked for as it is typed, offered in a line with its key."""

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
    from intake.desk.partners import Partner

About = tuple[str | NewPractice, str, str, tuple[Item, ...], int | None]
"""What an offer hangs on: practice, label, reference, items, the arrival."""
ROOMY = 26
"""From this width on, in heights of text, words and button share a line."""
JOIN = "Put it to that job"
TOGETHER = "Put the two together"
CHOOSE = "Choose which"
NOTHING = "Nothing waits that this could belong to: practice and patient have to be the same."
LOOKING = "Still looking what this could be. Press it again."


class Promised(QWidget):
    """Offers the cases that wait for what is in the form, and the arrivals that may belong to it; hidden without any.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    chosen = Signal(object)
    """The `Match` or `Partner` that the desk joins the form to."""
    offered = Signal(object)
    """The ids of the booked cases that are offered now, a frozenset."""

    def __init__(self, room: Room, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._room = room
        self.desk: Desk | None = None
        self._latest = Latest(room.jobs)
        self._about: About | None = None
        self._found: tuple[Match | Partner, ...] = ()
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

    def ask(self, case: Case | None, arrival_id: int | None, anew: bool = False) -> None:
        """Looks what the case may belong to, on the store's thread.

        Args:
            case: The case in the form; None where the form is no arrival.
            arrival_id: The arrival that it came with, if any.
            anew: Whether to look even where the form says what it said before.
        """
        about = _about(case, arrival_id) if case is not None and self.desk is not None else None
        if about == self._about and not (anew and about):
            return
        self._about, self._is_current = about, about is None
        if case is not None and self.desk is not None and about is not None:
            self._latest.ask(partial(asked.offers, self.desk, case, arrival_id), self._on_found, self._on_failed)
        else:
            self._latest.forget()
            self._on_found(())

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._latest.forget()
        self.desk = None

    @Slot()
    def join(self) -> None:
        """Takes what is offered; where there are several, one of them is chosen first."""
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
        dialog = WhichJob([offer.said for offer in found], self._room.look, self.window())
        dialog.taken.connect(lambda row: self.chosen.emit(found[row]))
        dialog.open()

    def _on_found(self, found: "Sequence[Match | Partner]") -> None:
        self._found, self._is_current = tuple(found), True
        self._show()
        cases = (each.case_id if each.kind == "promised" else each.id for each in found if each.kind != "arrival")
        self.offered.emit(frozenset(cases))

    def _on_failed(self, problem: Exception) -> None:
        self._on_found(())
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    @Slot()
    def _show(self) -> None:
        self.setVisible(bool(self._found))
        if self._found:
            first, more = self._found[0], len(self._found) - 1
            waits = "waits" if more == 1 else "wait"
            others = f" {more} more of this patient’s {waits} for something too." if more else ""
            if any(offer.kind == "arrival" for offer in self._found[1:]):
                others = f" {more} more {waits} that may belong to it."
            self.words.setText(first.said + others)
            shown = self._room.keys.shown("join-promised")
            does = CHOOSE if more else TOGETHER if first.kind == "arrival" else JOIN
            self.button.setText(button_words(f"{does}  {shown}".rstrip()))

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


def _about(case: Case, arrival_id: int | None) -> About | None:
    """What an offer hangs on; None where nothing can fit yet."""
    patient = case.patient
    if not case.practice or not (patient.label or patient.reference):
        return None
    return case.practice, patient.label or "", patient.reference or "", case.items, arrival_id
