"""Asks into which practice another is merged, and says what moves before anything does."""

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

from intake.domain.practice import Practice
from intake.domain.practice_search import search_practices
from intake.domain.scan_codes import ScanCode
from intake.errors import IntakeError
from intake.ui.help_panel import set_help
from intake.ui.latest import Latest
from intake.ui.lookup.merge_dialog import NumberField
from intake.ui.plain import Words
from intake.ui.room import Room
from intake.ui.setup.directory import asked
from intake.ui.tall_dialog import TallDialog

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.merging_practices import Merge, Merged

TOLD = (
    "{name} ({code}) becomes part of another practice. Everything that is known of it goes there, nothing is lost, and "
    "its code is found as one of the other’s. It can be taken back."
)
CHOOSE = "Choose the practice that stays."
NONE = "No other practice fits."
MOST = 50
"""So many that fit are listed."""
ROWS = 5
"""So many of them show; the rest scrolls."""


class MergePractices(TallDialog):
    """The practice that stays is found by a few letters; what moves to it stands below.

    Args:
        room: What every place shares.
        desk: Whose directory it is.
        goes: The practice that becomes part of the other.
        practices: The directory.
        parent: The window over which it opens.
    """

    merged = Signal(object, str)
    """What was merged, and what to say of it."""

    def __init__(
        self, room: Room, desk: "Desk", goes: Practice, practices: Sequence[Practice], parent: QWidget | None = None
    ) -> None:
        told = TOLD.format(name=goes.name, code=goes.code)
        super().__init__("Merge two practices", told, "&Merge them  Enter", room.look, 44, parent)
        self._room, self._desk, self._goes = room, desk, goes
        self._others = [practice for practice in practices if practice.code != goes.code]
        self._looks = Latest(room.jobs)
        self.found: Merge | None = None
        self.field = NumberField(self.middle)
        self.field.setAccessibleName("Which practice stays?")
        self.field.setPlaceholderText("type a few letters of it, scan its sticker, or choose one below")
        set_help(self.field, "The practice that stays in the directory, with everything of both. ↑ and ↓ choose.")
        self.list = QListWidget(self.middle)
        self.list.setAccessibleName("Practices that fit")
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.moves = Words(wraps=True)
        label = Words("Which practice s&tays?", bold=True)
        label.setBuddy(self.field)
        for part in (label, self.field, self.list, self.moves):
            self.add(part)
        self.list.setFixedHeight(room.look.px(1.6) * ROWS)
        self.field.textEdited.connect(self._on_typed)
        self.field.moved.connect(self._on_moved)
        self.list.currentRowChanged.connect(self._on_row)
        self.list.itemActivated.connect(self.go_on)
        self._on_typed(goes.name)
        self.field.setFocus()
        self.fit()

    def take_code(self, code: ScanCode) -> bool:
        """A sticker that is scanned names the practice that stays."""
        if code.kind != "practice":
            return False
        self.field.setText(next((p.code for p in self._others if p.code.upper() == code.value), code.value))
        self._on_typed(self.field.text())
        return True

    @property
    def stays(self) -> str:
        """The code of the practice that stays; empty while none is chosen."""
        item = self.list.currentItem()
        return str(item.data(Qt.ItemDataRole.UserRole)) if item is not None else ""

    @Slot()
    def go_on(self) -> None:
        if self.found is None:
            self.refuse(self.refused.text() or (CHOOSE if self._others else NONE))
            return
        self._looks.forget()
        self.go_button.setEnabled(False)
        self._room.jobs.run(partial(asked.merge, self._desk, self.found), self._on_merged, self._on_trouble)

    def done(self, result: int) -> None:
        self._looks.forget()
        super().done(result)

    @Slot(str)
    def _on_typed(self, text: str) -> None:
        """What fits; while nothing is typed, what is called like it: two entries of one practice mostly are."""
        words = text.strip() or self._goes.name
        fitting = search_practices(words, self._others)
        if not fitting and not self.field.text().strip():
            fitting = search_practices(words.split()[0], self._others)
        self.list.blockSignals(True)
        self.list.clear()
        for practice in fitting[:MOST]:
            where = ", ".join(filter(None, (*practice.address[-1:], practice.postcode)))
            item = QListWidgetItem("  ·  ".join(filter(None, (practice.name, practice.code, where))), self.list)
            item.setData(Qt.ItemDataRole.UserRole, practice.code)
        self.list.setCurrentRow(0 if fitting else -1)
        self.list.blockSignals(False)
        self._look_again()

    @Slot(int)
    def _on_moved(self, step: int) -> None:
        if self.list.count():
            self.list.setCurrentRow(min(max(0, self.list.currentRow() + step), self.list.count() - 1))

    @Slot(int)
    def _on_row(self, row: int) -> None:
        self._look_again()

    def _look_again(self) -> None:
        self._show(None, "" if self.stays or not self.field.text().strip() else NONE)
        if self.stays:
            work = partial(asked.what_merges, self._desk, self._goes.code, self.stays)
            self._looks.ask(work, self._show, self._on_trouble)

    def _show(self, found: "Merge | None", problem: str = "") -> None:
        self.found = found
        self.refuse(problem)
        self.moves.setText(found.said if found is not None else "")
        self.moves.setVisible(found is not None)
        self.go_button.setEnabled(found is not None)
        self.fit()

    def _on_merged(self, merged: "Merged") -> None:
        self.merged.emit(merged, merged.said)
        self.accept()

    def _on_trouble(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            self.reject()
            raise problem
        self._show(None, str(problem))
