"""The card as a list: the cases with their questions in the order to say them, then all else that is known."""

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt, Signal, Slot
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPen, QResizeEvent, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QAbstractItemView, QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from intake.ui.findings_list import level_colour, paint_level
from intake.ui.look import Look
from intake.ui.waiting.script import Line

_LINE = Qt.ItemDataRole.UserRole
_WRAP = Qt.TextFlag.TextWordWrap


class ScriptView(QListView):
    """Shows the lines of a card; a click on one that can be typed into goes there.

    Args:
        look: For colours, fonts and lengths.
        parent: The owner.
    """

    chosen = Signal(str)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._lines: tuple[Line, ...] = ()
        self._rows = QStandardItemModel(self)
        self.setModel(self._rows)
        self.setItemDelegate(_Row(look, self))
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName("Everything on the card")
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.clicked.connect(self._on_clicked)
        look.changed.connect(self.scheduleDelayedItemsLayout)

    @property
    def lines(self) -> tuple[Line, ...]:
        """The lines that are shown."""
        return self._lines

    def show_lines(self, lines: Sequence[Line], at: str) -> None:
        """Shows these lines, and marks the one with this id."""
        if tuple(lines) != self._lines:
            self._write(tuple(lines))
        row = next((row for row, line in enumerate(self._lines) if line.id and line.id == at), None)
        index = self._rows.index(row, 0) if row is not None else QModelIndex()
        self.setCurrentIndex(index)
        if index.isValid():
            self.scrollTo(index, QAbstractItemView.ScrollHint.PositionAtCenter)
        else:
            self.clearSelection()

    def _write(self, lines: tuple[Line, ...]) -> None:
        """Writes into the rows that are there, so that a key stroke moves nothing."""
        self._lines = lines
        for row, line in enumerate(lines):
            if row == self._rows.rowCount():
                self._rows.appendRow(QStandardItem())
            if self._rows.item(row).data(_LINE) != line:
                _fill(self._rows.item(row), line)
        self._rows.removeRows(len(lines), self._rows.rowCount() - len(lines))

    @Slot(QModelIndex)
    def _on_clicked(self, index: QModelIndex) -> None:
        if (line := index.data(_LINE)) and line.id:
            self.chosen.emit(line.id)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()


def _fill(item: QStandardItem, line: Line) -> None:
    item.setText(line.text)
    item.setData(line, _LINE)
    level = line.level.capitalize() if line.level else ""
    item.setData(
        ", ".join(filter(None, (level, line.text, line.small, line.aside))), Qt.ItemDataRole.AccessibleTextRole
    )
    can = Qt.ItemFlag.ItemIsEnabled
    item.setFlags(can | Qt.ItemFlag.ItemIsSelectable if line.id else can)


class _Row(QStyledItemDelegate):
    """Paints a line: its mark, its words with how it stands at the right end, and small print under them."""

    def __init__(self, look: Look, view: QListView) -> None:
        super().__init__(view)
        self._look, self._view = look, view

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        width = self._view.viewport().width()
        _, words, small = self._places(QRect(0, 0, width, 0), index.data(_LINE))
        return QSize(width, max(words.bottom(), small.bottom()) + 1 + self._look.px(0.35))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        line, colours, area = index.data(_LINE), self._look.colours, option.rect
        mark, words, small = self._places(area, line)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area, QColor(colours.chosen))
            painter.fillRect(QRect(area.left(), area.top(), self._look.px(0.25), area.height()), QColor(colours.focus))
        if line.kind in ("head", "case"):
            painter.fillRect(QRect(area.left(), area.top(), area.width(), 1), QColor(colours.faint))
        if line.level:
            ink = QColor(level_colour(line.level, colours))
            paint_level(painter, line.level, QRectF(mark), ink, QColor(colours.surface), self._look)
        painter.setFont(self._font(line))
        painter.setPen(QColor(colours.quiet if line.kind == "head" else colours.ink))
        painter.drawText(words, _WRAP, line.text)
        self._aside(painter, line, words, area)
        painter.setFont(self._look.font("small"))
        painter.setPen(QColor(colours.quiet))
        painter.drawText(small, _WRAP, line.small)
        painter.restore()

    def _aside(self, painter: QPainter, line: Line, words: QRect, area: QRect) -> None:
        """How it stands, at the right end of the first row."""
        font = self._look.font("small", bold=line.kind == "case")
        painter.setFont(font)
        held = line.aside == "HOLD"
        painter.setPen(QPen(QColor(self._look.colours.held if held else self._look.colours.ink)))
        right = QRect(words.right(), words.top(), area.right() - self._look.px(0.6) - words.right(), words.height())
        told = QFontMetrics(font).elidedText(line.aside, Qt.TextElideMode.ElideRight, right.width())
        painter.drawText(right, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop, told)

    def _font(self, line: Line) -> QFont:
        return self._look.font("small" if line.kind == "head" else "text", bold=line.kind in ("case", "head"))

    def _places(self, area: QRect, line: Line) -> tuple[QRect, QRect, QRect]:
        """Where the mark, the words and the small print stand."""
        px, side = self._look.px, self._look.px(1.05)
        top = area.top() + px(0.7 if line.kind in ("head", "case") else 0.35)
        left = area.left() + px(0.8 if line.kind in ("head", "case") else 1)
        mark = QRect(left, top + px(0.1), side, side)
        if line.kind in ("asking", "line"):
            left += side + px(0.6)
        room = area.right() - px(0.6) - left
        taken = min(room // 2, QFontMetrics(self._look.font("small")).horizontalAdvance(line.aside) + px(1.5))
        words = _laid(QRect(left, top, room - (taken if line.aside else 0), 0), self._font(line), line.text)
        small = _laid(QRect(left, words.bottom() + 1, room, 0), self._look.font("small"), line.small)
        return mark, words, small


def _laid(area: QRect, font: QFont, words: str) -> QRect:
    """The area, as high as the words need it."""
    high = QFontMetrics(font).boundingRect(QRect(0, 0, max(1, area.width()), 100_000), _WRAP, words).height()
    return QRect(area.left(), area.top(), max(1, area.width()), high if words else 0)
