"""The practices that fit what is typed, two lines each; twenty thousand of them are as quick as twenty."""

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    Signal,
    Slot,
)
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from intake.domain.practice import Practice
from intake.domain.practice_index import PracticeIndex
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.waiting.ring_view import pair

PRACTICE = Qt.ItemDataRole.UserRole
HELP = (
    "The practices that fit what is typed above, by name. ↑ and ↓ choose one, also from the field above; Enter goes to "
    "what is known of it, Esc goes back to the field above."
)


class PracticeModel(QAbstractListModel):
    """The directory as rows: those of its practices that fit.

    Args:
        parent: The owner.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._index = PracticeIndex(())
        self._shown: Sequence[int] = ()
        self._asked = ""

    @property
    def count(self) -> int:
        """How many practices the directory has."""
        return len(self._index.practices)

    def take(self, index: PracticeIndex) -> None:
        """Takes the directory as it was read."""
        self.beginResetModel()
        self._index, self._shown = index, index.found(self._asked)
        self.endResetModel()

    def find(self, text: str) -> None:
        """Shows what fits a text; all where it is empty."""
        self.beginResetModel()
        self._asked, self._shown = text, self._index.found(text)
        self.endResetModel()

    def put(self, practice: Practice) -> None:
        """Takes what is known of one practice now; a new one comes in if it fits."""
        self._index.replace(practice)
        self.find(self._asked)

    def practice(self, code: str) -> Practice | None:
        """A practice of the directory by its code, whether it is shown or not."""
        at = self._index.at(code)
        return None if at is None else self._index.practices[at]

    @property
    def practices(self) -> Sequence[Practice]:
        """The whole directory, by name."""
        return self._index.practices

    def row_of(self, code: str) -> int | None:
        """The row of a practice; None where it is not shown."""
        at = self._index.at(code)
        return next((row for row, shown in enumerate(self._shown) if shown == at), None)

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008  # Qt's own default
        return 0 if parent.isValid() else len(self._shown)

    def data(self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or index.row() >= len(self._shown):
            return None
        practice = self._index.practices[self._shown[index.row()]]
        if role == PRACTICE:
            return practice
        if role == Qt.ItemDataRole.DisplayRole:
            return practice.name
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return ", ".join(filter(None, (practice.name, practice.code, *practice.address[-1:], practice.postcode)))
        return None


class PracticeList(QListView):
    """Shows the practices that fit.

    Args:
        look: For colours, fonts and lengths.
        parent: The owner.
    """

    chosen = Signal(object)
    """The practice of the row that is now the current one; None where there is none."""
    left = Signal()

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._empty = look, ""
        self.rows = PracticeModel(self)
        self.setModel(self.rows)
        self.setItemDelegate(_Row(look, self))
        self.setUniformItemSizes(True)
        self.setAccessibleName("Practices")
        set_help(self, HELP)
        self.setProperty("ring", "row")
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.selectionModel().currentChanged.connect(self._on_current)
        look.changed.connect(self.scheduleDelayedItemsLayout)

    @property
    def current(self) -> Practice | None:
        """The practice that is chosen."""
        index = self.currentIndex()
        return index.data(PRACTICE) if index.isValid() else None

    def show_only(self, text: str) -> None:
        """Shows what fits a text, and chooses the first of it."""
        self.rows.find(text)
        self._choose(0)

    def take(self, index: PracticeIndex) -> None:
        """Takes the directory; the chosen practice stays chosen."""
        before = self.current
        self.rows.take(index)
        self._choose(self.rows.row_of(before.code) if before else 0)

    def put(self, practice: Practice) -> None:
        """Takes what is known of a practice now, and chooses it where it is shown."""
        self.rows.put(practice)
        self._choose(self.rows.row_of(practice.code))

    def choose(self, code: str) -> bool:
        """Chooses a practice; whether it is shown."""
        row = self.rows.row_of(code)
        if row is not None:
            self._choose(row)
        return row is not None

    def move(self, step: int) -> None:
        """Goes so many rows down, or up."""
        count = self.rows.rowCount()
        if count:
            self._choose(min(max(0, self.currentIndex().row() + step), count - 1))

    def say_when_empty(self, words: str) -> None:
        """Says this while there is nothing to show."""
        self._empty = words
        self.setAccessibleDescription(words)
        self.viewport().update()

    @property
    def page_of_rows(self) -> int:
        """How many rows are in sight."""
        return max(1, self.viewport().height() // max(1, self.sizeHintForRow(0)) - 1)

    def _choose(self, row: int | None) -> None:
        if row is not None and 0 <= row < self.rows.rowCount():
            index = self.rows.index(row, 0)
            self.setCurrentIndex(index)
            self.scrollTo(index)
        else:
            self.chosen.emit(None)

    @Slot(QModelIndex, QModelIndex)
    def _on_current(self, now: QModelIndex, before: QModelIndex) -> None:
        if now.isValid():
            self.chosen.emit(now.data(PRACTICE))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self.rows.rowCount():
            return
        painter = QPainter(self.viewport())
        painter.setPen(QColor(self._look.colours.quiet))
        margin = self._look.px(0.8)
        inner = self.viewport().rect().adjusted(margin, margin, -margin, -margin)
        painter.drawText(inner, Qt.TextFlag.TextWordWrap, self._empty)


class _Row(QStyledItemDelegate):
    """Paints a practice: its name and its code; under them where it is."""

    def __init__(self, look: Look, view: QListView) -> None:
        super().__init__(view)
        self._look, self._view = look, view

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        text, small = QFontMetrics(self._look.font()), QFontMetrics(self._look.font("small"))
        return QSize(self._look.px(14), text.height() + small.height() + self._look.px(0.8))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        practice, px, area, colours = index.data(PRACTICE), self._look.px, option.rect, self._look.colours
        painter.save()
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area, QColor(colours.chosen))
        painter.fillRect(QRect(area.left(), area.bottom(), area.width(), 1), QColor(colours.faint))
        if option.state & QStyle.StateFlag.State_HasFocus and self._view.hasFocus():
            painter.setPen(QPen(QColor(colours.focus), 2))
            painter.drawRect(area.adjusted(1, 1, -1, -1))
        text, small = self._look.font(), self._look.font("small")
        ink, quiet = QColor(colours.ink), QColor(colours.quiet)
        inner = area.adjusted(px(0.8), px(0.35), -px(0.6), -px(0.35))
        first = QRect(inner.left(), inner.top(), inner.width(), QFontMetrics(text).height())
        second = QRect(inner.left(), first.bottom() + 1, inner.width(), QFontMetrics(small).height())
        where = "".join(practice.address[-1:])
        pair(painter, first, (practice.name, text, ink), (practice.code, small, quiet))
        pair(painter, second, (where or " ", small, quiet), (practice.postcode, small, quiet))
        painter.restore()
