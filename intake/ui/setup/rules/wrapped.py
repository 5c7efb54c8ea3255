"""Rows of a list whose words break into lines, with the shape of a level before them where they have one."""

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPen
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem

from intake.ui.findings_list import level_colour, paint_level
from intake.ui.look import Look

HEADING = Qt.ItemDataRole.UserRole + 10
"""True for a heading, which cannot be chosen."""
LEVEL = Qt.ItemDataRole.UserRole + 11
"""The level whose shape stands before the words; None for none."""
NOTE = Qt.ItemDataRole.UserRole + 12
"""Small print under the words; empty for none."""
QUIET = Qt.ItemDataRole.UserRole + 13
"""True for what stands back."""
_WRAP = Qt.TextFlag.TextWordWrap


class WrappedRows(QStyledItemDelegate):
    """Paints the rows of a list.

    Args:
        look: For colours, fonts and lengths.
        view: The list.
        only_in_focus: Whether what is chosen stands out only while the list has the focus.
    """

    def __init__(self, look: Look, view: QListView, only_in_focus: bool = False) -> None:
        super().__init__(view)
        self._look, self._view, self._only_in_focus = look, view, only_in_focus
        self._heights: dict[tuple[int, bool, bool, str, str], int] = {}
        look.changed.connect(self._heights.clear)

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        width = self._view.viewport().width()
        return QSize(self._look.px(8), self.height(width, index))

    def height(self, width: int, index: QModelIndex | QPersistentModelIndex) -> int:
        """The height of a row in a list of that width."""
        words, note = str(index.data() or ""), str(index.data(NOTE) or "")
        key = (width, bool(index.data(HEADING)), bool(index.data(LEVEL)), words, note)
        if key not in self._heights:
            _, text, small = self._places(QRect(0, 0, width, 0), index)
            self._heights[key] = max(text.bottom(), small.bottom()) + self._look.px(0.5)
        return self._heights[key]

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        colours, level = self._look.colours, index.data(LEVEL)
        shape, text, small = self._places(option.rect, index)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._ground(painter, option, index)
        if level:
            ink = QColor(level_colour(level, colours))
            paint_level(painter, level, QRectF(shape), ink, QColor(colours.surface), self._look)
        painter.setFont(self._look.font(bold=bool(index.data(HEADING))))
        painter.setPen(QColor(colours.quiet if index.data(QUIET) else colours.ink))
        painter.drawText(text, _WRAP, index.data())
        painter.setFont(self._look.font("small"))
        painter.setPen(QColor(colours.quiet))
        painter.drawText(small, _WRAP, index.data(NOTE) or "")
        painter.restore()

    def _ground(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        colours, area = self._look.colours, option.rect
        is_chosen = option.state & QStyle.StateFlag.State_Selected and not index.data(HEADING)
        if is_chosen and (self._view.hasFocus() or not self._only_in_focus):
            painter.fillRect(area, QColor(colours.chosen))
            if self._view.hasFocus() and option.state & QStyle.StateFlag.State_HasFocus:
                painter.setPen(QPen(QColor(colours.focus), 2))
                painter.drawRect(area.adjusted(1, 1, -1, -1))
                return
        painter.fillRect(QRect(area.left(), area.bottom(), area.width(), 1), QColor(colours.faint))

    def _places(self, area: QRect, index: QModelIndex | QPersistentModelIndex) -> tuple[QRect, QRect, QRect]:
        """Where the shape, the words and the small print stand."""
        px, is_heading = self._look.px, bool(index.data(HEADING))
        font, small = QFontMetrics(self._look.font(bold=is_heading)), QFontMetrics(self._look.font("small"))
        left, top, side = area.left() + px(0.6), area.top() + px(1 if is_heading else 0.45), px(1.05)
        shape = QRect(left, top + (font.height() - side) // 2, side, side)
        begins = left + (side + px(0.6) if index.data(LEVEL) else 0)
        width = max(px(4), area.right() - px(0.6) - begins)
        text = QRect(begins, top, width, _height(font, width, str(index.data() or "")))
        note = str(index.data(NOTE) or "")
        return shape, text, QRect(begins, text.bottom() + px(0.1), width, _height(small, width, note) if note else 0)


def _height(metrics: QFontMetrics, width: int, words: str) -> int:
    return metrics.boundingRect(QRect(0, 0, width, 100_000), _WRAP, words).height()
