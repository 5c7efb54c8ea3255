"""After the first questions: the practices from the laboratory's own spreadsheet, seen before they come in."""

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QWidget

from intake.ui.first_run import FirstRun
from intake.ui.room import Room
from intake.ui.setup.directory import asked

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.directory_import import TakenIn

LATER = "Your practices come in from a spreadsheet: {place}, Directory, {key}. Or one by one, with their first case."


class FirstPractices(QObject):
    """Opens the dialog that takes practices in, once the data are open; says how it is done later where none is named.

    Args:
        room: What every place shares.
        page: The first questions.
        window: The window over which the dialog opens.
    """

    changed = Signal()
    """Practices came into the directory, or went out again."""

    def __init__(self, room: Room, page: FirstRun, window: QWidget) -> None:
        super().__init__(window)
        self._room, self._page, self._window = room, page, window
        self._path: Path | None = None
        self._desk: Desk | None = None
        page.begun.connect(self._on_begun)

    @Slot()
    def _on_begun(self) -> None:
        self._path = self._page.practices.path

    @Slot(object)
    def take_in(self, desk: "Desk") -> None:
        """Opens the dialog with the file that was named."""
        self._desk = desk
        if self._path is None:
            shown = self._room.keys.shown
            self._room.news.tell(LATER.format(place=shown("go-setup"), key=shown("directory-take-in")))
            return
        from intake.ui.setup.directory.take_in_dialog import TakeInDialog  # opened seldom

        dialog = TakeInDialog(self._room, desk, self._path, self._window)
        dialog.taken.connect(self._on_taken)
        dialog.open()

    @Slot(object, str)
    def _on_taken(self, taken: "TakenIn", said: str) -> None:
        self._room.news.offer_undo(said, partial(self._take_back, taken), "taking practices in")
        self.changed.emit()

    def _take_back(self, taken: "TakenIn") -> None:
        assert self._desk is not None, "what was taken in was taken in at a desk"
        self._room.jobs.run(partial(asked.take_back, self._desk, taken), self._on_taken_back)

    def _on_taken_back(self, _: object) -> None:
        self._room.news.tell("The directory is as it was.")
        self.changed.emit()
