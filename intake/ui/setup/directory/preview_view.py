"""The rows of a spreadsheet, and what each would do to the directory."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from intake.domain.directory_columns import NAMES
from intake.domain.wording import in_sentence
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.waiting.ring_view import pair

if TYPE_CHECKING:
    from intake.desk.directory_import import PreviewRow

ROW = Qt.ItemDataRole.UserRole
KINDS = {"faulty": "not read", "double": "there already", "changed": "changed", "new": "new", "same": "the same"}
"""What becomes of a row, in the order in which one wants to see them."""
HELP = "The rows of the file, each with its line in it and what becomes of it. ↑ and ↓ go through them."


class PreviewModel(QAbstractListModel):
    """The rows of one kind, or of all.

    Args:
        parent: The owner.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.rows: Sequence[PreviewRow] = ()

    def show_rows(self, rows: "Sequence[PreviewRow]") -> None:
        """Shows these in place of those before."""
        self.beginResetModel()
        self.rows = rows
        self.endResetModel()

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008  # Qt's own default
        return 0 if parent.isValid() else len(self.rows)

    def data(self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or index.row() >= len(self.rows):
            return None
        row = self.rows[index.row()]
        if role == ROW:
            return row
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return ", ".join(filter(None, (f"line {row.line}", KINDS[row.kind], named(row), told(row))))
        return None


def named(row: "PreviewRow") -> str:
    """The practice of a row, as far as it could be read."""
    return f"{row.practice.name} ({row.practice.code})" if row.practice is not None else ""


def told(row: "PreviewRow") -> str:
    """What a row would do, or why it does nothing."""
    if row.kind == "changed":
        return "; ".join(f"{_field(field)}: {was or 'nothing'} → {now or 'nothing'}" for field, was, now in row.changes)
    if row.reason:
        return str(row.reason)
    where = row.practice.address[-1:] if row.practice is not None else ()
    return ", ".join(filter(None, (*where, row.practice.postcode if row.practice is not None else "")))


def _field(field: str) -> str:
    return in_sentence(NAMES[field])


class PreviewList(QListView):
    """Shows the rows, two lines each.

    Args:
        look: For colours, fonts and lengths.
        parent: The owner.
    """

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._empty = look, ""
        self.rows = PreviewModel(self)
        self.setModel(self.rows)
        self.setItemDelegate(_Row(look, self))
        self.setUniformItemSizes(True)
        self.setAccessibleName("Rows of the file")
        set_help(self, HELP)
        self.setProperty("ring", "row")
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        look.changed.connect(self.scheduleDelayedItemsLayout)

    def show_rows(self, rows: "Sequence[PreviewRow]", empty: str = "") -> None:
        """Shows these rows; with none, says why."""
        self._empty = empty
        self.setAccessibleDescription("" if rows else empty)
        self.rows.show_rows(rows)
        if rows:
            self.setCurrentIndex(self.rows.index(0, 0))
        self.viewport().update()

    @property
    def cut_off(self) -> str:
        """What the current row says, where it has no room for all of it."""
        row = self.currentIndex().data(ROW)
        words = told(row) if row is not None else ""
        room = self.viewport().width() - self._look.px(1.3)
        return words if QFontMetrics(self._look.font()).horizontalAdvance(words) > room else ""

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
    """Paints a row: its practice and its line in the file; under them what it would do."""

    def __init__(self, look: Look, view: QListView) -> None:
        super().__init__(view)
        self._look, self._view = look, view

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        text = QFontMetrics(self._look.font())
        return QSize(self._look.px(14), 2 * text.height() + self._look.px(0.8))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        row, px, area, colours = index.data(ROW), self._look.px, option.rect, self._look.colours
        painter.save()
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area, QColor(colours.chosen))
        painter.fillRect(QRect(area.left(), area.bottom(), area.width(), 1), QColor(colours.faint))
        if option.state & QStyle.StateFlag.State_HasFocus and self._view.hasFocus():
            painter.setPen(QPen(QColor(colours.focus), 2))
            painter.drawRect(area.adjusted(1, 1, -1, -1))
        text, small = self._look.font(), self._look.font("small")
        ink, quiet, held = (QColor(colour) for colour in (colours.ink, colours.quiet, colours.held))
        inner = area.adjusted(px(0.7), px(0.35), -px(0.6), -px(0.35))
        high = QFontMetrics(text).height()
        first = QRect(inner.left(), inner.top(), inner.width(), high)
        head = named(row)
        aside = f"{KINDS[row.kind]} · line {row.line}" if head else KINDS[row.kind]
        pair(painter, first, (head or f"Line {row.line}", text, ink), (aside, small, quiet))
        bad = row.kind in ("faulty", "double")
        pair(painter, first.translated(0, high), (told(row), text, held if bad else quiet), ("", small, quiet))
        painter.restore()
