"""What is not finished, in one list under its headings: the arrow keys choose, Enter goes to where it can be done."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal, Slot
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.waiting.ring_view import pair

if TYPE_CHECKING:
    from intake.ui.day.asked import Line, Section

_ROW = Qt.ItemDataRole.UserRole
HELP = (
    "What has to leave and is not finished, and what is open. ↑ and ↓ choose, Enter goes where something can be done "
    "about it. Esc goes back to Arrivals."
)
_Row = Any
"""A `Line`, or the words of a heading."""


class ThingsModel(QAbstractListModel):
    """The lines under their headings, as rows."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows: list[_Row] = []

    def show_sections(self, sections: "Sequence[Section]") -> None:
        """Takes other lines."""
        rows: list[_Row] = []
        for section in sections:
            count = len(section.lines) + section.more
            rows.append(f"{section.words}: {count:,}" if count else f"{section.words}: {section.empty.lower()}")
            rows += section.lines
            if section.more:
                rows.append(f"and {section.more:,} more")
        if rows == self.rows:
            return
        self.beginResetModel()
        self.rows = rows
        self.endResetModel()

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex | None = None) -> int:
        return 0 if parent is not None and parent.isValid() else len(self.rows)

    def data(self, index: QModelIndex | QPersistentModelIndex, role: int = 0) -> Any:
        row = self.rows[index.row()]
        if role == _ROW:
            return row
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return row if isinstance(row, str) else _said(row)
        return None

    def flags(self, index: QModelIndex | QPersistentModelIndex) -> Qt.ItemFlag:
        if isinstance(self.rows[index.row()], str):
            return Qt.ItemFlag.ItemIsEnabled
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable


class ThingsList(QListView):
    """Shows what is not finished.

    Args:
        look: For colours, fonts and lengths.
        parent: The owner.
    """

    go = Signal(object)
    """Where something can be done about the line that was entered: a `Go`."""

    moved = Signal()
    """A key moved the choice."""

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.is_at_top = True
        """Whether the last key would have moved the choice above the first line."""
        self.things = ThingsModel(self)
        self.setModel(self.things)
        self.setItemDelegate(_Painter(look, self))
        self.setProperty("ring", "row")
        self.setAccessibleName("What is not finished")
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        set_help(self, HELP)
        self.activated.connect(self._on_activated)
        look.changed.connect(self.scheduleDelayedItemsLayout)

    @property
    def chosen(self) -> "Line | None":
        """The line that is chosen."""
        index = self.currentIndex()
        row = index.data(_ROW) if index.isValid() else None
        return None if isinstance(row, str) else row

    def show_sections(self, sections: "Sequence[Section]") -> None:
        """Shows these lines; the one that was chosen stays chosen where it is still there, else the first is."""
        before, at = self.chosen, self.currentIndex().row()
        self.things.show_sections(sections)
        rows = self.things.rows
        places = [place for place, row in enumerate(rows) if not isinstance(row, str)]
        kept = [place for place in places if before is not None and rows[place].title == before.title]
        later = [place for place in places if place >= max(at, 0)]
        for place in (*kept[:1], *later[:1], *places[:1]):
            self.setCurrentIndex(self.things.index(place, 0))
            break

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(Qt.Key(event.key()))
        if step is None or event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            super().keyPressEvent(event)
            return
        at = self.currentIndex().row() + step
        while 0 <= at < self.things.rowCount() and isinstance(self.things.rows[at], str):
            at += step
        self.is_at_top = at < 0
        if 0 <= at < self.things.rowCount():
            self.setCurrentIndex(self.things.index(at, 0))
        elif step < 0:
            self.scrollToTop()
        self.moved.emit()

    def keyboardSearch(self, search: str) -> None:
        """Typing looks for nothing here: a scan must not move the choice."""

    @Slot(QModelIndex)
    def _on_activated(self, index: QModelIndex) -> None:
        if self.chosen is not None and self.chosen.go is not None:
            self.go.emit(self.chosen.go)


def _said(line: "Line") -> str:
    return ", ".join(filter(None, (line.title, line.about, line.where, line.why)))


class _Painter(QStyledItemDelegate):
    """Paints a heading, or a line: what it is and why it is not finished; under it for whom, and where it is."""

    def __init__(self, look: Look, view: QListView) -> None:
        super().__init__(view)
        self._look, self._view = look, view

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        text, small = QFontMetrics(self._look.font()).height(), QFontMetrics(self._look.font("small")).height()
        is_heading = isinstance(index.data(_ROW), str)
        high = text + self._look.px(0.9) if is_heading else text + small + self._look.px(0.7)
        return QSize(self._look.px(14), high)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        row, px, area, colours = index.data(_ROW), self._look.px, option.rect, self._look.colours
        painter.save()
        if isinstance(row, str):
            painter.setFont(self._look.font(bold=True))
            painter.setPen(QColor(colours.ink))
            words = QFontMetrics(painter.font()).elidedText(row, Qt.TextElideMode.ElideRight, area.width() - px(1))
            at = area.adjusted(px(0.5), 0, -px(0.5), -px(0.2))
            painter.drawText(at, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom, words)
        else:
            if option.state & QStyle.StateFlag.State_Selected:
                painter.fillRect(area, QColor(colours.chosen))
            self._line(painter, row, area)
            if option.state & QStyle.StateFlag.State_HasFocus and self._view.hasFocus():
                painter.setPen(QPen(QColor(colours.focus), 2))
                painter.drawRect(area.adjusted(1, 1, -1, -1))
        painter.fillRect(QRect(area.left(), area.bottom(), area.width(), 1), QColor(colours.faint))
        painter.restore()

    def _line(self, painter: QPainter, line: "Line", area: QRect) -> None:
        px, colours = self._look.px, self._look.colours
        box = QRect(area.left() + px(0.5), area.top() + px(0.4), px(0.8), area.height() - px(0.8))
        if line.hex:
            painter.fillRect(box, QColor(line.hex))
            painter.setPen(QPen(QColor(colours.line), 1))
            painter.drawRect(box.adjusted(0, 0, -1, -1))
        inner = area.adjusted(px(1.8), px(0.3), -px(0.6), -px(0.3))
        ink, quiet = QColor(colours.ink), QColor(colours.quiet)
        bold, small = self._look.font(bold=True), self._look.font("small")
        high, low = QFontMetrics(bold).height(), QFontMetrics(small).height()
        first = QRect(inner.left(), inner.top(), inner.width(), high)
        second = QRect(inner.left(), inner.top() + high, inner.width(), low)
        where = QColor(colours.held) if line.pressing else ink
        pair(painter, first, (line.title, bold, ink), (line.where, self._look.font(), where))
        why = line.why.rstrip(".")
        if line.about:
            pair(painter, second, (line.about, small, quiet), (_short(why, second.width(), small), small, where))
        else:
            pair(painter, second, (why, small, where), ("", small, quiet))


def _short(words: str, room: int, font: Any) -> str:
    """So much of the words as leaves a third of the line to what stands left of them."""
    return QFontMetrics(font).elidedText(words, Qt.TextElideMode.ElideRight, room * 2 // 3)
