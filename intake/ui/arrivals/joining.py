"""Puts what is in the form to the case that waits for it, when the desk says so."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot

from intake.domain.half_typed import HalfTyped
from intake.domain.matching import NOTHING_CAME
from intake.ui.arrivals.promised import Promised
from intake.ui.arrivals.saving import Saving
from intake.ui.arrivals.writing import Writing
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.expected import Match


class Joining(QObject):
    """Asks for offers as the form changes, and joins the one that is taken.

    Args:
        room: What every place shares.
        writing: The form.
        promised: Shows the offers.
        saving: Joins.
        parent: The owner.
    """

    leaves = Signal(object)
    """The form, as HalfTyped, that is about to be joined and makes room for the next."""

    def __init__(self, room: Room, writing: Writing, promised: Promised, saving: Saving, parent: QObject) -> None:
        super().__init__(parent)
        self._room, self._writing, self._promised, self._saving = room, writing, promised, saving
        writing.was_read.connect(self.look)
        promised.chosen.connect(self._on_chosen)

    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self._promised.desk = desk
        self.look_again()

    @Slot()
    def look(self) -> None:
        """Looks for offers, where practice, patient or items are others than before."""
        self._look(anew=False)

    @Slot()
    def look_again(self) -> None:
        """Looks for offers: something may have been promised meanwhile."""
        self._look(anew=True)

    def _look(self, anew: bool) -> None:
        is_arrival = self._writing.half.case_id is None
        self._promised.ask(self._writing.read.case if is_arrival else None, anew)

    @Slot(object)
    def _on_chosen(self, match: "Match") -> None:
        desk, writing = self._promised.desk, self._writing
        wrong = [each for each in writing.wrong() if each[0] == "items"]
        if wrong:
            writing.refuse(wrong)
        elif not writing.read.case.items:
            writing.go_to("items")
            self._room.news.tell(NOTHING_CAME)
        elif desk is not None:
            half: HalfTyped = writing.half
            form = writing.read
            self.leaves.emit(half)
            self._saving.join(desk, half, form.case, match)
