"""Asks which case is the same as the one on the card, and shows what comes of merging the two."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit, QListWidget, QListWidgetItem, QWidget

from intake.domain.job_number import JobNumber
from intake.domain.scan_codes import ScanCode
from intake.domain.wording import listed
from intake.ui.look import Look
from intake.ui.plain import Words
from intake.ui.reason_dialog import ReasonField
from intake.ui.tall_dialog import TallDialog
from intake.ui.tick import Tick

if TYPE_CHECKING:
    from intake.desk.likeness import Likely
    from intake.desk.merge import MergeLook

USUAL = ("booked in twice", "by post and as scans", "the practice sent it again")
CHOOSE = "Choose the case that is the same, or type its number."
NO_LIKELY = "Nothing here looks like the same. Type the number of the other case."
ROWS = 3
"""So many of them show; the rest scrolls."""


class NumberField(QLineEdit):
    """A field from which the list under it is gone through."""

    moved = Signal(int)
    """Up or Down: by -1 or 1."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = (event.key() == Qt.Key.Key_Down) - (event.key() == Qt.Key.Key_Up)
        if step:
            self.moved.emit(step)
        else:
            super().keyPressEvent(event)


class MergeDialog(TallDialog):
    """The case on the card stands; the other one is chosen, and what differs is shown before anything is done.

    Args:
        told: What merging means, in a sentence.
        likely: What may be the same, likeliest first.
        look: For lengths.
        parent: The window over which it opens.
    """

    looked = Signal(str)
    """The number, or what else was typed, of the case that is to be looked at."""
    given = Signal(object, str, bool)
    """The `MergeLook`, why the two are the same, and whether the practice is asked about what differs."""

    def __init__(self, told: str, likely: "Sequence[Likely]", look: Look, parent: QWidget | None = None) -> None:
        super().__init__("Merge with another case", told, "&Merge them  Enter", look, 44, parent)
        self.found: MergeLook | None = None
        self.field = NumberField(self.middle)
        self.field.setAccessibleName("Which case is the same?")
        self.field.setPlaceholderText("type its number, scan its ticket, or choose one below")
        self.field.setMaxLength(60)
        self.field.textEdited.connect(self._on_typed)
        self.field.moved.connect(self._on_moved)
        self.list = QListWidget(self.middle)
        self.list.setAccessibleName("What may be the same")
        self.list.setWordWrap(True)
        self.list.setTextElideMode(Qt.TextElideMode.ElideNone)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.itemActivated.connect(self.go_on)
        self.taken, self.differs = Words(wraps=True), Words(wraps=True, ink="caution")
        self.asks = Tick("As&k the practice which of them holds", self.middle)
        self.why = ReasonField(USUAL, look, self.middle)
        self.why.went_on.connect(self.go_on)
        self._fill(likely, look)
        self.show_look(None)
        self.list.currentRowChanged.connect(self._on_row)
        self.list.setCurrentRow(0 if likely else -1)
        self.field.setFocus()
        self.fit()

    @property
    def words(self) -> str:
        """Which case is meant: what was typed, else the one that is chosen."""
        item = self.list.currentItem()
        return self.field.text().strip() or (str(item.data(Qt.ItemDataRole.UserRole)) if item is not None else "")

    def take_code(self, code: ScanCode) -> bool:
        """Takes the ticket of the other case that is scanned; whether it was one."""
        if code.kind != "ticket":
            return False
        self.field.setText(JobNumber(code.value).shown)
        self._on_typed(self.field.text())
        return True

    def look_again(self) -> None:
        """Asks for what comes of the case that is meant."""
        self.show_look(None)
        if self.words:
            self.looked.emit(self.words)

    def show_look(self, found: "MergeLook | None", problem: str = "") -> None:
        """Shows what comes of it, or why nothing can."""
        self.found = found
        self.refuse(problem)
        taken = f"It gets: {listed(list(found.taken))}." if found and found.taken else ""
        self.taken.setText(taken or ("It has everything that the other one has." if found else ""))
        lines = [each.said for each in found.differs] if found else []
        self.differs.setText("\n".join(lines))
        self.asks.setChecked(bool(lines))
        for part, shown in ((self.taken, found is not None), (self.differs, bool(lines)), (self.asks, bool(lines))):
            part.setVisible(shown)
        self.fit()

    @Slot()
    def go_on(self) -> None:
        if self.found is None:
            if not self.refused.text():
                self.refuse(CHOOSE)
        elif self.why.reason:
            self.given.emit(self.found, self.why.reason, self.asks.isChecked())
            self.accept()

    @Slot(int)
    def _on_moved(self, step: int) -> None:
        if self.list.count():
            self.field.clear()
            self.list.setCurrentRow(min(max(0, self.list.currentRow() + step), self.list.count() - 1))

    @Slot(str)
    def _on_typed(self, text: str) -> None:
        if text.strip():
            self.list.setCurrentRow(-1)
            self.look_again()
        elif self.list.count():
            self.list.setCurrentRow(0)
        else:
            self.show_look(None)

    @Slot(int)
    def _on_row(self, row: int) -> None:
        if row >= 0:
            self.look_again()

    def _fill(self, likely: "Sequence[Likely]", look: Look) -> None:
        label = Words("Whi&ch case is the same?", bold=True)
        label.setBuddy(self.field)
        for each in likely:
            item = QListWidgetItem(each.said, self.list)
            item.setData(Qt.ItemDataRole.UserRole, each.number)
        self.list.setCurrentRow(-1)
        self.list.setVisible(bool(likely))
        self.list.setFixedHeight(look.px(4) * min(max(1, len(likely)), ROWS) + look.px(0.6))
        none = () if likely else (Words(NO_LIKELY, ink="quiet", wraps=True),)
        for part in (label, self.field, *none, self.list, self.taken, self.differs, self.asks, self.why):
            self.add(part)
