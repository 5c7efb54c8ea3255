"""A few entries of a rule, one under the other, and under them the row that picks another one."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.setup.rules.wrapped import QUIET, WrappedRows


class PickList(QListWidget):
    """Entries in words. Enter changes the one that is chosen, or picks another; Del takes it out.

    Args:
        name: What a screen reader calls it.
        more: The words of the last row.
        told: Its help.
        look: For lengths.
        parent: The owner.
    """

    picked = Signal(int)
    """An entry is to be changed: its place; a new one is wanted at the place behind the last."""
    taken_out = Signal(int)

    def __init__(self, name: str, more: str, told: str, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._more, self._rows, self._look = more, WrappedRows(look, self, only_in_focus=True), look
        self.setItemDelegate(self._rows)
        self.setProperty("ring", "row")
        self.setAccessibleName(name)
        set_help(self, told)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.itemActivated.connect(self._on_activated)
        self.itemClicked.connect(self._on_clicked)
        look.changed.connect(self._fit)
        self.show_entries(())

    @property
    def entries(self) -> list[str]:
        """The entries, without the last row."""
        return [self.item(row).text() for row in range(self.count() - 1)]

    def show_entries(self, entries: Sequence[str]) -> None:
        """Shows these entries; what is chosen stays chosen by its place."""
        if self.count() and self.entries == list(entries):
            return
        row = max(0, self.currentRow())
        self.clear()
        self.addItems(list(entries))
        more = QListWidgetItem(self._more)
        more.setData(QUIET, True)
        self.addItem(more)
        self.setCurrentRow(min(row, len(entries)))
        self._fit()

    def show_whole(self, words: str, stands_back: bool) -> None:
        """Has the last row tell all that is chosen; it stands back where nothing is."""
        self._more, last = words, self.item(self.count() - 1)
        last.setText(words)
        last.setData(QUIET, stands_back)
        self._fit()

    def pick_more(self) -> None:
        """Picks another entry."""
        self.picked.emit(self.count() - 1)

    def take_out(self) -> None:
        """Takes the entry out that is chosen."""
        if self.currentRow() < self.count() - 1:
            self.taken_out.emit(self.currentRow())

    @Slot(QListWidgetItem)
    def _on_activated(self, item: QListWidgetItem) -> None:
        self.picked.emit(self.row(item))

    @Slot(QListWidgetItem)
    def _on_clicked(self, item: QListWidgetItem) -> None:
        if self.row(item) == self.count() - 1:
            self.pick_more()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Delete:
            self.take_out()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.modifiers():
            self.picked.emit(max(0, self.currentRow()))
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.viewport().update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    @Slot()
    def _fit(self) -> None:
        """As high as its rows: what lies around it scrolls."""
        width = self.viewport().width()
        high = sum(self._rows.height(width, self.model().index(row, 0)) for row in range(self.count()))
        wanted = high + 2 * self.frameWidth()
        if wanted != self.height() or self.minimumHeight() != wanted:
            self.setFixedHeight(wanted)
            self.scheduleDelayedItemsLayout()
