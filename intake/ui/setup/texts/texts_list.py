"""The texts of the setup under their headings, as they are in the language in view."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QModelIndex, Qt, Signal, Slot
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QResizeEvent, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QAbstractItemView, QListView, QWidget

from intake.domain.texts import Text
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.setup.rules.wrapped import HEADING, NOTE, QUIET, WrappedRows

PLACE = Qt.ItemDataRole.UserRole
HELP = "The texts that the setup has. ↑ and ↓ choose one, Enter goes to it, Esc goes back to the field above."
MOST = 160
"""Signs of a text that the list shows."""


@dataclass(frozen=True)
class TextRow:
    """One text as it is listed.

    Attributes:
        text: The text.
        heading: What it stands under.
        name: What it is called.
        shown: Its words, in the language in view.
        note: Its name, and what of it is not translated.
        found_by: Everything that it can be found by, folded.
        stands_back: Whether it is the lab's own while another language is in view.
    """

    text: Text
    heading: str
    name: str
    shown: str
    note: str
    found_by: str
    stands_back: bool


class TextsList(QListView):
    """Shows the texts that fit.

    Args:
        look: For colours, fonts and lengths.
        parent: The owner.
    """

    chosen = Signal()
    """Another text is chosen, or none."""
    opened = Signal()
    """Enter, or a double click, on the text that is chosen."""
    left = Signal()

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._empty = look, ""
        self._shown: tuple[TextRow, ...] = ()
        self._filling = False
        self._model = QStandardItemModel(self)
        self.setModel(self._model)
        self.setItemDelegate(WrappedRows(look, self))
        self.setAccessibleName("Texts")
        set_help(self, HELP)
        self.setProperty("ring", "row")
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)  # its coming would break lines anew
        self.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.selectionModel().currentChanged.connect(self._on_current)
        self.activated.connect(self._on_activated)
        look.changed.connect(self.scheduleDelayedItemsLayout)

    @property
    def row(self) -> TextRow | None:
        """The text that is chosen."""
        row: TextRow | None = self.currentIndex().data(PLACE)
        return row

    def show_rows(self, rows: Sequence[TextRow]) -> None:
        """Shows these texts under their headings; the one that is chosen stays chosen, by its place."""
        if tuple(rows) == self._shown:
            return
        place, before = (self.row.text.place if self.row else None), self.currentIndex().row()
        self._shown, self._filling = tuple(rows), True
        self._model.clear()
        heading = ""
        for each in rows:
            if each.heading != heading:
                heading = each.heading
                self._model.appendRow(_heading(heading))
            self._model.appendRow(_item(each))
        self._filling = False
        of_texts = [row for row in range(self._model.rowCount()) if self._at(row) is not None]
        same = [row for row in of_texts if self._at(row) == place]
        near = sorted(same or of_texts, key=lambda row: abs(row - before))
        self.setCurrentIndex(self._model.index(near[0], 0) if near else QModelIndex())
        self.chosen.emit()
        self.viewport().update()

    def choose_first(self) -> None:
        """Chooses the first text that is listed."""
        first = next((row for row in range(self._model.rowCount()) if self._at(row) is not None), None)
        if first is not None:
            self.setCurrentIndex(self._model.index(first, 0))
            self.scrollToTop()

    def say_when_empty(self, words: str) -> None:
        """Says this while there is nothing to show."""
        self._empty = words
        self.viewport().update()

    def _at(self, row: int) -> object:
        shown: TextRow | None = self._model.index(row, 0).data(PLACE)
        return shown.text.place if shown is not None else None

    @Slot(QModelIndex)
    def _on_current(self, index: QModelIndex) -> None:
        if not self._filling:
            self.chosen.emit()

    @Slot(QModelIndex)
    def _on_activated(self, index: QModelIndex) -> None:
        if self.row is not None:
            self.opened.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The arrows go from text to text, over the headings."""
        step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(Qt.Key(event.key()))
        if step is None or event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            super().keyPressEvent(event)
            return
        at = self.currentIndex().row() + step
        while 0 <= at < self._model.rowCount() and self._at(at) is None:
            at += step
        if 0 <= at < self._model.rowCount():
            self.setCurrentIndex(self._model.index(at, 0))
        elif step < 0:
            self.scrollToTop()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if not self._model.rowCount() and self._empty:
            painter, margin = QPainter(self.viewport()), self._look.px(1)
            painter.setPen(QColor(self._look.colours.quiet))
            painter.setFont(self._look.font())
            area = self.viewport().rect().adjusted(margin, margin, -margin, -margin)
            painter.drawText(area, Qt.TextFlag.TextWordWrap, self._empty)


def _heading(words: str) -> QStandardItem:
    item = QStandardItem(words)
    item.setData(True, HEADING)
    item.setFlags(Qt.ItemFlag.ItemIsEnabled)
    return item


def _item(row: TextRow) -> QStandardItem:
    item = QStandardItem(row.shown if len(row.shown) <= MOST else f"{row.shown[:MOST].rstrip()} …")
    for role, value in ((PLACE, row), (NOTE, row.note), (QUIET, row.stands_back)):
        item.setData(value, role)
    item.setData(f"{row.note}: {row.shown}", Qt.ItemDataRole.AccessibleTextRole)
    return item
