"""The list of all keys, where each can be changed."""

from collections.abc import Callable

from PySide6.QtCore import QSize, Qt, Slot
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QHBoxLayout,
    QHeaderView,
    QKeySequenceEdit,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from intake.ui.keys import KeyRefused, Keys
from intake.ui.look import Look
from intake.ui.plain import Words


class KeysDialog(QDialog):
    """Lists every action with its key; a key is pressed to change it.

    Args:
        keys: The keys to show and change.
        look: For lengths.
        parent: The window over which it opens.
    """

    def __init__(self, keys: Keys, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Keys")
        self._keys = keys
        self.table = QTableWidget(len(keys.table), 2, self)
        self.key = QKeySequenceEdit(self)
        self.answer = Words(" ", ink="quiet", wraps=True)
        self._lay_out(look)
        self._fill()
        self.table.currentCellChanged.connect(self._on_row)
        self.table.setCurrentCell(0, 0)
        keys.changed.connect(self._fill)

    def _lay_out(self, look: Look) -> None:
        self.table.setHorizontalHeaderLabels(["What it does", "Key"])
        self.table.setAccessibleName("Keys")
        self.table.verticalHeader().hide()
        self.table.verticalHeader().setDefaultSectionSize(look.px(2))
        self.table.setShowGrid(False)
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setTabKeyNavigation(False)
        self.table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.table.horizontalHeader().setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
        self.table.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        self.key.setMaximumSequenceLength(1)
        self.key.setAccessibleName("New key")
        label = Words("&New key")
        label.setBuddy(self.key)
        row = QHBoxLayout()
        row.addWidget(label)
        row.addWidget(self.key, 1)
        for words, slot in (
            ("&Use it", self.take),
            ("N&o key", self.free),
            ("As it &came", self.as_it_came),
            ("C&lose", self.accept),
        ):
            button = QPushButton(words, self)
            button.setAutoDefault(False)
            button.clicked.connect(slot)
            row.addWidget(button)
        column = QVBoxLayout(self)
        margin = look.px(1)
        column.setContentsMargins(margin, margin, margin, margin)
        column.setSpacing(look.px(0.7))
        column.addWidget(self.table, 1)
        column.addLayout(row)
        column.addWidget(self.answer)
        room = self.screen().availableSize() - QSize(look.px(1), look.px(3))  # for its frame
        self.resize(QSize(look.px(44), look.px(34)).boundedTo(room))

    @Slot()
    def take(self) -> None:
        """Gives the chosen action the key that was pressed."""
        self._change(self.key.keySequence().toString(QKeySequence.SequenceFormat.PortableText))

    @Slot()
    def free(self) -> None:
        """Takes the chosen action's key away."""
        self._change("")

    @Slot()
    def as_it_came(self) -> None:
        """Gives the chosen action its first key back."""
        self._try(lambda: self._keys.as_it_came(self._chosen))

    def _change(self, key: str) -> None:
        self._try(lambda: self._keys.choose(self._chosen, key))

    def _try(self, change: Callable[[], None]) -> None:
        try:
            change()
        except KeyRefused as refused:
            self.answer.set_ink("held")
            self.answer.setText(str(refused))
            return
        key = self._keys.shown(self._chosen) or "no key"
        self.answer.set_ink("ok")
        self.answer.setText(f"“{self._keys.words(self._chosen)}” has {key} now.")

    @property
    def _chosen(self) -> str:
        return self._keys.table[max(0, self.table.currentRow())].id

    @Slot()
    def _on_row(self) -> None:
        self.key.clear()
        self.answer.set_ink("quiet")
        self.answer.setText(f"Press the new key for “{self._keys.words(self._chosen)}”, then “Use it”.")

    @Slot()
    def _fill(self) -> None:
        for at, row in enumerate(self._keys.table):
            self.table.setItem(at, 0, QTableWidgetItem(self._keys.words(row.id)))
            self.table.setItem(at, 1, QTableWidgetItem(self._keys.shown(row.id)))
