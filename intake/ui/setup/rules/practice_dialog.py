"""Picks a practice of the directory for a rule, and where it is wanted the level that the rule has for it."""

from PySide6.QtCore import QEvent, QObject, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QComboBox, QLineEdit, QListWidget, QListWidgetItem, QWidget

from intake.domain.practice_index import PracticeIndex
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.plain import Words
from intake.ui.tall_dialog import TallDialog

LEVELS_OF_ONE = {
    "stops": "Work waits for it",
    "asks": "The practice is asked, work may start",
    "warns": "A caution to read",
    "never": "It does not hold",
}
SHOWN = 50
"""Practices that are listed at most."""


class PracticeDialog(TallDialog):
    """Picks a practice.

    Args:
        title: What it is picked for.
        told: What that means.
        index: The directory.
        code: The code of the practice that is picked so far; empty for a new one.
        level: The level that is picked so far; None where no level is asked for.
        look: For lengths.
        parent: The window over which it opens.
    """

    taken = Signal(str, str)
    """The code of the practice, and the level; empty where none is asked for."""

    def __init__(
        self, title: str, told: str, index: PracticeIndex, code: str, level: str | None, look: Look, parent: QWidget
    ) -> None:
        super().__init__(title, told, "&Take it  Enter", look, parent=parent)
        self._index = index
        self.field = QLineEdit(code, self)
        self.field.setAccessibleName("Practice")
        self.field.setPlaceholderText("code, name, town or telephone")
        set_help(self.field, "Type what is known of the practice; ↑ and ↓ choose among those that fit.")
        self.field.installEventFilter(self)
        self.list = QListWidget(self)
        self.list.setAccessibleName("Practices that fit")
        self.list.setFixedHeight(look.px(12))
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        label = Words("&Practice", ink="quiet")
        label.setBuddy(self.field)
        for part in (label, self.field, self.list):
            self.add(part)
        self.level = QComboBox(self)
        self.level.setAccessibleName("Level for this practice")
        set_help(self.level, "How grave the rule is for this practice, whatever it is for the others.")
        for value, words in LEVELS_OF_ONE.items():
            self.level.addItem(words, value)
        self.level.setCurrentIndex(max(0, self.level.findData(level)))
        self._asks_level = level is not None
        if self._asks_level:
            for_it = Words("&For it", ink="quiet")
            for_it.setBuddy(self.level)
            self.add(for_it)
            self.add(self.level)
        else:
            self.level.hide()
        self.field.textChanged.connect(self._find)
        self._find()
        self.field.selectAll()
        self.field.setFocus()
        self.fit()

    @Slot()
    def go_on(self) -> None:
        """Takes the practice that is chosen."""
        item = self.list.currentItem()
        if item is None:
            self.refuse("No practice of the directory fits. Enter it on the page Directory first.")
            self.fit()
            return
        level = str(self.level.currentData()) if self._asks_level else ""
        self.taken.emit(item.data(Qt.ItemDataRole.UserRole), level)
        self.accept()

    @Slot()
    def _find(self) -> None:
        self.refuse("")
        self.list.clear()
        for at in list(self._index.found(self.field.text()))[:SHOWN]:
            practice = self._index.practices[at]
            town = ", ".join(filter(None, (*practice.address[-1:], practice.postcode)))
            item = QListWidgetItem(f"{practice.name} ({practice.code})" + (f", {town}" if town else ""))
            item.setData(Qt.ItemDataRole.UserRole, practice.code)
            self.list.addItem(item)
        self.list.setCurrentRow(0)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self.field and event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            step = (event.key() == Qt.Key.Key_Down) - (event.key() == Qt.Key.Key_Up)
            if step and self.list.count():
                self.list.setCurrentRow(min(max(0, self.list.currentRow() + step), self.list.count() - 1))
                return True
        return super().eventFilter(watched, event)
