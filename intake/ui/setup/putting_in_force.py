"""Puts the draft in force: first what would change by it, then a word on why, then the dates of the open jobs."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QApplication, QWidget

from intake.errors import IntakeError
from intake.ui.room import Room
from intake.ui.setup import asked
from intake.ui.setup.draft import Draft

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.lab_setup import InForce
    from intake.desk.setup_changes import Weighed

OPENING = "The data are still being opened. Try again in a moment."
UNCHANGED = "Nothing is changed: what stands here is in force."


class PuttingInForce(QObject):
    """Leads from a changed draft to a setup in force.

    Args:
        room: What every place shares.
        draft: The setup while it is being changed.
        place: Lab setup, over whose window is asked.
    """

    done = Signal(object)
    """An `InForce`: the draft, or what was in force before it, is in force."""
    issued = Signal(object)
    """The documents that were handed to the printer: a tuple of `Issued`."""

    def __init__(self, room: Room, draft: Draft, place: QWidget) -> None:
        super().__init__(place)
        self._room, self._draft, self._place = room, draft, place
        self.desk: Desk | None = None

    def begin(self, note: str = "") -> None:
        """Asks, unless nothing is changed or something is wrong; `note` is offered as the reason."""
        settle(self._place)
        if self.desk is None:
            self._room.news.tell(OPENING)
        elif not self._draft.is_changed:
            self._room.news.tell(UNCHANGED)
        elif self._draft.problem:
            self._room.news.tell(self._draft.problem)
        else:
            work = partial(asked.weigh, self.desk, self._draft.text, self._draft.edition)
            self._room.jobs.run(work, partial(self._ask, note), self._trouble)

    def _ask(self, note: str, weighed: "Weighed") -> None:
        from intake.ui.setup.in_force_dialog import InForceDialog

        newest = weighed.newest.edition if weighed.newest is not None else None
        dialog = InForceDialog(weighed, note, self._room.look, self._place.window())
        dialog.given.connect(partial(self._put, self._draft.text, newest))
        dialog.open()

    def _put(self, text: str, of: int | None, note: str) -> None:
        if self.desk is not None:
            before = partial(self._take_back, of) if of is not None else None
            work = partial(asked.put_in_force, self.desk, text, note, of)
            self._room.jobs.run(work, partial(self._on_done, before), self._trouble)

    def _on_done(self, back: Callable[[int], None] | None, done: "InForce") -> None:
        self.desk = done.desk
        said = f"The setup is in force: edition {done.edition}."
        if back is None:
            self._room.news.tell(said)
        else:
            self._room.news.offer_undo(said, partial(back, done.edition), f"edition {done.edition}")
        self.done.emit(done)
        self._follow(done.desk)

    def _take_back(self, before: int, edition: int) -> None:
        """Puts the edition before in force again."""
        if self.desk is not None:
            work = partial(asked.put_back, self.desk, before, f"Edition {edition} taken back", edition)
            self._room.jobs.run(work, partial(self._on_done, None), self._trouble)

    def _follow(self, desk: "Desk") -> None:
        """Counts the dates of the open jobs by it."""
        from intake.ui.setup.calendar import recounted

        recounted.follow(self._room, desk, self._place.window()).issued.connect(self.issued)

    def _trouble(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))


def settle(place: QWidget) -> None:
    """Takes what is typed in the field that has the keys, as if it were left; the keys stay there."""
    field = QApplication.focusWidget()
    if field is not None and place.isAncestorOf(field):
        field.clearFocus()
        field.setFocus()
