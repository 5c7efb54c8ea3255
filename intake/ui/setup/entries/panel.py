"""A list of the setup with what it is for above it, and below it what can be typed in the chosen cell, or why not."""

from typing import Any

from PySide6.QtCore import QModelIndex, Signal, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from intake.setup.entry_tables import Table
from intake.ui.help_panel import set_help
from intake.ui.plain import Words
from intake.ui.room import Room
from intake.ui.setup.draft import Draft
from intake.ui.setup.entries.model import EntryModel
from intake.ui.setup.entries.view import EntryView

LOW = 16
"""Below this height, in heights of text, only the table and the line under it are shown."""


class EntryPanel(QWidget):
    """The list.

    Args:
        table: Its columns.
        room: What every place shares.
        draft: The setup while it is being changed.
        whole: Whether it is as high as its rows, rather than as the place it has.
        parent: The owner.
    """

    chosen = Signal(object)
    """The entry of the row that is chosen; None of one that is begun."""

    def __init__(
        self, table: Table, room: Room, draft: Draft, whole: bool = False, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.table, self._room, self._whole = table, room, whole
        self.entries = EntryModel(table, draft, self)
        self.view = EntryView(self.entries, room.look, self)
        self.view.rests = whole
        self.purpose = Words(table.purpose, ink="quiet", wraps=True)
        self.line = Words("", size="small", ink="quiet", wraps=True)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        for part in (self.purpose, self.view, self.line):
            self._column.addWidget(part, 1 if part is self.view and not whole else 0)
        self.setFocusProxy(self.view)
        self.view.selectionModel().currentChanged.connect(self._on_current)
        self.entries.dataChanged.connect(self._tell)
        self.entries.rowsInserted.connect(self._tell)
        self.entries.rowsRemoved.connect(self._tell)
        self.entries.said.connect(room.news.tell)
        self.entries.added.connect(self.view.go_to)
        room.look.changed.connect(self._fit)
        self._fit()

    @property
    def entry(self) -> Any:
        """The entry that is chosen."""
        return self.entries.entry(self.view.row)

    def show_setup(self) -> None:
        """Shows the list as the draft has it; the chosen cell stays."""
        at = self.view.currentIndex()
        row, column = at.row(), at.column()
        self.entries.show_setup()
        if self.entries.rowCount() and not self.view.currentIndex().isValid():
            self.view.go_to(max(row, 0), max(column, 0))
        self._tell()
        self._fit_height()
        self.chosen.emit(self.entry)

    def row_new(self) -> None:
        """Begins a new entry."""
        self.view.go_to(self.entries.begin(self.view.row))
        self.view.setFocus()
        self._fit_height()

    def row_out(self) -> None:
        """Takes the chosen entry out."""
        if self.view.currentIndex().isValid():
            self.entries.take_out(self.view.row)

    def move_row(self, step: int) -> None:
        """Moves the chosen entry."""
        row = self.view.row
        if self.entries.move(row, row + step):
            self.view.go_to(row + step, self.view.currentIndex().column())

    @Slot(QModelIndex, QModelIndex)
    def _on_current(self, now: QModelIndex, before: QModelIndex) -> None:
        if now.row() != before.row():
            self.entries.forget_warning()
        self._tell()
        self.chosen.emit(self.entry)

    @Slot()
    def _tell(self) -> None:
        index = self.view.currentIndex()
        if not index.isValid():
            key = self._room.keys.shown("row-new")
            self.line.setText(f"There is no {self.table.one} yet. {key} begins one." if key else "")
            return
        column, reason = self.entries.column(index), self.entries.reason(index)
        needed = self.entries.still_needed if index.row() >= self.entries.rowCount() - 1 else []
        new = f"A new {self.table.one}. Still needed: {', '.join(needed)}. Esc leaves it. " if needed else ""
        whole = f"{index.data()}. " if self.view.is_cut(index) else ""
        self.line.setText(reason or f"{new}{whole}{column.help}")
        self.line.set_ink("held" if reason else "quiet")
        self.view.setAccessibleDescription(self.line.text())
        set_help(self.view, column.help)
        self._fit_height()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.purpose.setVisible(self._whole or self.height() >= self._room.look.px(LOW))

    def _fit_height(self) -> None:
        if self._whole:
            self.view.setFixedHeight(self.view.whole_height)

    @Slot()
    def _fit(self) -> None:
        self._column.setSpacing(self._room.look.px(0.4))
        self.line.setMinimumHeight(self._room.look.px(2.4))
        self._fit_height()
