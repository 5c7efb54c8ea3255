"""What else is done with the directory: files in and out, two practices made one, paper for a practice."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal, Slot

from intake.domain.practice import Practice
from intake.domain.wording import counted
from intake.errors import IntakeError
from intake.ui.room import Room
from intake.ui.setup.directory import asked
from intake.ui.spreadsheets import ask_where_to

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.directory_import import TakenIn
    from intake.desk.merging_practices import Merged
    from intake.ui.setup.directory.page import DirectoryPage

NOT_OPEN = "The data are still being opened. Try again in a moment."
NONE_CHOSEN = "Choose a practice first."


class Deeds(QObject):
    """Does what the menu offers about the directory, while its page is in view.

    Args:
        room: What every place shares.
        page: The page.
    """

    changed = Signal()
    """Practices came, went or changed: the directory is to be read again."""
    issued = Signal(object)
    """What was handed to the printer: a tuple of `Issued`."""

    def __init__(self, room: Room, page: "DirectoryPage") -> None:
        super().__init__(page)
        self._room, self._page = room, page
        self.desk: Desk | None = None
        for name, deed in (
            ("take-in", self.take_in),
            ("write", self._on_write),
            ("merge", self._on_merge),
            ("stickers", self._on_stickers),
            ("blank", self._on_blank),
        ):
            room.keys.action(f"directory-{name}").triggered.connect(deed)

    @Slot()
    def take_in(self) -> None:
        """Opens the dialog that takes practices in from a file."""
        if self._ready():
            from intake.ui.setup.directory.take_in_dialog import TakeInDialog  # opened seldom

            assert self.desk is not None
            dialog = TakeInDialog(self._room, self.desk, None, self._page.window())
            dialog.taken.connect(self._on_taken)
            dialog.open()

    @Slot(object, str)
    def _on_taken(self, taken: "TakenIn", said: str) -> None:
        self._room.news.offer_undo(said, partial(self._take_back, taken), "taking practices in")
        self.changed.emit()

    def _take_back(self, taken: "TakenIn") -> None:
        self._run(partial(asked.take_back, taken=taken), self._on_taken_back)

    def _on_taken_back(self, _: object) -> None:
        self._room.news.tell("The directory is as it was.")
        self.changed.emit()

    @Slot()
    def _on_write(self) -> None:
        if self._ready():
            ask_where_to(self._page, "Write the directory to a file", "practices.xlsx", self._write)

    def _write(self, path: str) -> None:
        self._run(partial(asked.write_directory, path=Path(path)), partial(self._on_written, path), lane="beside")

    def _on_written(self, path: str, count: int) -> None:
        self._room.news.tell(f"{counted(count, 'practice')} written to {Path(path).name}.")

    @Slot()
    def _on_merge(self) -> None:
        practice = self._chosen()
        if practice is not None:
            from intake.ui.setup.directory.merge_dialog import MergePractices  # opened seldom

            assert self.desk is not None
            others = self._page.list.rows.practices
            dialog = MergePractices(self._room, self.desk, practice, others, self._page.window())
            dialog.merged.connect(self._on_merged)
            dialog.open()

    @Slot(object, str)
    def _on_merged(self, merged: "Merged", said: str) -> None:
        self._room.news.offer_undo(said, partial(self._unmerge, merged), "merging the practices")
        self.changed.emit()
        if merged.tickets:
            self._run(partial(asked.issue, tickets=merged.tickets), self.issued.emit)

    def _unmerge(self, merged: "Merged") -> None:
        self._run(partial(asked.unmerge, merged=merged), self._on_unmerged)

    def _on_unmerged(self, _: object) -> None:
        self._room.news.tell("They are two practices again.")
        self.changed.emit()

    @Slot()
    def _on_stickers(self) -> None:
        practice = self._chosen()
        if practice is not None:
            from intake.ui.sticker_dialog import StickerDialog  # opened seldom

            dialog = StickerDialog([practice], asked.most_sheets(), self._room.look, self._page.window())
            dialog.field.setText(practice.code)
            dialog.sheets.setFocus()
            dialog.sheets.selectAll()
            dialog.wanted.connect(self._on_sheets)
            dialog.open()

    @Slot(str, int)
    def _on_sheets(self, code: str, sheets: int) -> None:
        self._run(partial(asked.stickers, code=code, sheets=sheets), self.issued.emit, lane="beside")

    @Slot()
    def _on_blank(self) -> None:
        practice = self._chosen()
        if practice is not None:
            self._run(partial(asked.blank, code=practice.code), self.issued.emit)

    def _ready(self) -> bool:
        if not self._page.isVisible():
            return False
        if self.desk is None:
            self._room.news.tell(NOT_OPEN)
        return self.desk is not None

    def _chosen(self) -> Practice | None:
        if not self._ready():
            return None
        if self._page.current is None:
            self._room.news.tell(NONE_CHOSEN)
        return self._page.current

    def _run(self, work: Callable[..., Any], done: Callable[[Any], None], lane: Any = "store") -> None:
        if self.desk is not None:
            self._room.jobs.run(partial(work, self.desk), done, self._on_trouble, lane=lane)

    def _on_trouble(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))
