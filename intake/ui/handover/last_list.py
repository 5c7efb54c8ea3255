"""The last scans with their answers, the newest first."""

from collections import deque
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRect,
    QRectF,
    QSize,
    Qt,
)
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from intake.ui.handover.answer_view import Shown
from intake.ui.handover.sign import colour_of, paint_sign
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.waiting.ring_view import pair

MOST = 500
"""So many answers are kept in view."""
LINE = Qt.ItemDataRole.UserRole
EMPTY = "What is scanned stands here with its answer, the newest first."
HELP = (
    "The last scans with their answers and times, the newest first. F8 takes back the newest yes, then the one before."
)


@dataclass(frozen=True)
class Line:
    """One answer with its time; `undone` once it was taken back."""

    shown: Shown
    at: datetime
    undone: bool = False

    @property
    def told(self) -> str:
        """The answer in one line."""
        return f"{self.at:%H:%M:%S}, {self.shown.spoken}{' Taken back.' if self.undone else ''}"


class Lines(QAbstractListModel):
    """The answers, newest first."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.lines: deque[Line] = deque(maxlen=MOST)

    def add(self, line: Line) -> None:
        """Puts an answer on top."""
        if len(self.lines) == MOST:
            self.beginRemoveRows(QModelIndex(), MOST - 1, MOST - 1)
            self.lines.pop()
            self.endRemoveRows()
        self.beginInsertRows(QModelIndex(), 0, 0)
        self.lines.appendleft(line)
        self.endInsertRows()

    def mark_undone(self, shown: Shown) -> None:
        """Marks the answer that was taken back."""
        for row, line in enumerate(self.lines):
            if line.shown is shown:
                self.lines[row] = Line(line.shown, line.at, undone=True)
                self.dataChanged.emit(self.index(row), self.index(row))

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex | None = None) -> int:
        return 0 if parent is not None and parent.isValid() else len(self.lines)

    def data(self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        line = self.lines[index.row()]
        if role == LINE:
            return line
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return line.told
        return None


class LastList(QListView):
    """Shows the last scans.

    Args:
        look: For colours, fonts and lengths.
        parent: The owner.
    """

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.lines = Lines(self)
        self.setModel(self.lines)
        self.setItemDelegate(_Row(look, self))
        self.setUniformItemSizes(True)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.setProperty("ring", "row")
        self.setAccessibleName("Last scans")
        self.setAccessibleDescription(EMPTY)
        set_help(self, HELP)
        look.changed.connect(self.scheduleDelayedItemsLayout)

    def add(self, shown: Shown, at: datetime) -> None:
        """Puts an answer on top."""
        self.lines.add(Line(shown, at))
        self.scrollToTop()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self.lines.lines:
            return
        painter = QPainter(self.viewport())
        painter.setPen(QColor(self._look.colours.quiet))
        margin = self._look.px(0.8)
        painter.drawText(
            self.viewport().rect().adjusted(margin, margin, -margin, -margin), Qt.TextFlag.TextWordWrap, EMPTY
        )


class _Row(QStyledItemDelegate):
    """Paints one answer: its sign, word, number and time; under it what was said."""

    def __init__(self, look: Look, view: QListView) -> None:
        super().__init__(view)
        self._look = look

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        high = QFontMetrics(self._look.font()).height() + QFontMetrics(self._look.font("small")).height()
        return QSize(self._look.px(14), high + self._look.px(0.7))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        line: Line = index.data(LINE)
        colours, px, area, shown = self._look.colours, self._look.px, option.rect, line.shown
        painter.save()
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area, QColor(colours.chosen))
        painter.fillRect(QRect(area.left(), area.bottom(), area.width(), 1), QColor(colours.faint))
        side = px(1.2)
        paint_sign(painter, shown.answer, QRectF(area.left() + px(0.8), area.top() + px(0.5), side, side), colours)
        self._patch(painter, shown, QRect(area.left() + px(2.6), area.top() + px(0.5), px(0.5), area.height() - px(1)))
        inner = area.adjusted(px(3.6), px(0.3), -px(0.8), -px(0.3))
        text, small = self._look.font(), self._look.font("small")
        high = QFontMetrics(text).height()
        ink, quiet = QColor(colours.ink), QColor(colours.quiet)
        word = QColor(colour_of(shown.answer, colours)) if not line.undone else quiet
        painter.setFont(self._look.font(bold=True))
        painter.setPen(word)
        said = "TAKEN BACK" if line.undone else shown.word
        first = QRect(inner.left(), inner.top(), inner.width(), high)
        painter.drawText(first, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, said)
        taken = QFontMetrics(self._look.font(bold=True)).horizontalAdvance(said + "   ")
        pair(painter, first.adjusted(taken, 0, 0, 0), (shown.number, text, ink), (f"{line.at:%H:%M:%S}", small, quiet))
        second = QRect(inner.left(), first.bottom() + 1, inner.width(), QFontMetrics(small).height())
        pair(painter, second, (f"{shown.said} {shown.note}".strip(), small, ink), (shown.whose, small, quiet))
        painter.restore()

    def _patch(self, painter: QPainter, shown: Shown, area: QRect) -> None:
        """A strip of the box's colour; its name stands in the answer."""
        if shown.hex:
            painter.fillRect(area, QColor(shown.hex))
            painter.setPen(QColor(self._look.colours.line))
            painter.drawRect(area)
