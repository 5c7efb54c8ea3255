"""The ring list: whom to ring now, and under it why the chosen practice stands where it does."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QRectF, QSize, Qt, Signal, Slot
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QVBoxLayout, QWidget

from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.lookup.search_field import SearchField
from intake.ui.plain import Words, set_edge
from intake.ui.waiting.ring_model import LINE, RingModel, when_words
from intake.ui.waiting.standing_marks import paint_standing

if TYPE_CHECKING:
    from intake.desk.ring_list import RingLine

HELP = (
    "Whom to ring, the most pressing first. ↑ and ↓ choose, Enter takes the practice’s card. A few letters of a "
    "practice’s name, code or telephone number show those alone; Esc shows all again."
)
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


class RingView(QWidget):
    """Shows whom to ring.

    Args:
        look: For colours, fonts and lengths.
        empty: What to say while there is nobody to ring.
        parent: The owner.
    """

    chosen = Signal(str)
    """The key of the practice that is now the current one; empty when there is none."""
    entered = Signal()
    picked = Signal()
    """A hand on the mouse took a practice."""

    def __init__(self, look: Look, empty: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.model = RingModel(self)
        self.field = SearchField(self)
        self.list = _List(look, empty, self)
        self.list.setModel(self.model)
        self._label = Words("P&ractice", size="small", ink="quiet")
        self._label.setBuddy(self.field)
        self.field.setAccessibleName("Practice")
        self.field.setPlaceholderText("all, the most pressing first")
        set_help(self.field, HELP)
        self.count = Words("", size="small", ink="quiet")
        self.why = Words("", size="small", ink="quiet", wraps=True)
        set_edge(self.why, "top")
        self._column = QVBoxLayout(self)
        for part in (self._label, self.field, self.count, self.list, self.why):
            self._column.addWidget(part)
        self._column.setStretch(3, 1)
        self.field.textEdited.connect(self._on_typed)
        self.field.moved.connect(self.move)
        self.field.paged.connect(self._on_paged)
        self.field.entered.connect(self.entered)
        self.list.clicked.connect(self.picked)
        self.list.doubleClicked.connect(self.entered)
        self.list.selectionModel().currentChanged.connect(self._on_current)
        look.changed.connect(self._fit)
        self._fit()

    @property
    def current(self) -> "RingLine | None":
        """The practice that is chosen."""
        index = self.list.currentIndex()
        return index.data(LINE) if index.isValid() else None

    def show_lines(self, lines: "Sequence[RingLine]") -> None:
        """Shows whom to ring. The chosen practice stays chosen; when it has gone, the one in its place is."""
        self._changing(lambda: self.model.show_lines(lines))

    def put(self, key: str, line: "RingLine | None") -> None:
        """Puts one practice where it belongs now."""
        self._changing(lambda: self.model.put(key, line))

    def to_first(self) -> None:
        """Chooses the practice to ring first."""
        self._choose(0)

    def show_practice(self, key: str) -> bool:
        """Chooses a practice, whatever was searched for; whether it is in the list."""
        self.clear_search()
        row = self.model.row_of(key)
        if row is not None:
            self._choose(row)
        return row is not None

    def clear_search(self) -> bool:
        """Shows all again; gives whether anything was typed."""
        typed = bool(self.field.text())
        if typed:
            self.field.clear()
            self._on_typed("")
        return typed

    @Slot(int)
    def move(self, rows: int) -> None:
        """Chooses a row further down, or up."""
        self._choose(self.list.currentIndex().row() + rows)

    @Slot(int)
    def _on_paged(self, pages: int) -> None:
        row = max(1, self.list.sizeHintForRow(0))
        self.move(pages * max(1, self.list.viewport().height() // row - 1))

    @Slot(str)
    def _on_typed(self, text: str) -> None:
        self._changing(lambda: self.model.narrow(text))

    def _changing(self, change: object) -> None:
        """Lets the rows change, with the same practice chosen afterwards where it is still there."""
        before, at = self.current, self.list.currentIndex().row()
        self.list.selectionModel().blockSignals(True)
        change()  # type: ignore[operator]
        kept = self.model.row_of(before.key) if before else None
        self._choose(kept if kept is not None else max(at, 0))
        self.list.selectionModel().blockSignals(False)
        self._show()
        self.list.scrollTo(self.list.currentIndex())
        now = self.current
        if (now and now.key) != (before and before.key):
            self.chosen.emit(now.key if now else "")

    def _choose(self, at: int) -> None:
        count = self.model.rowCount()
        if count:
            self.list.setCurrentIndex(self.model.index(min(max(0, at), count - 1), 0))

    @Slot(QModelIndex)
    def _on_current(self, index: QModelIndex) -> None:
        self._show()
        if index.isValid():
            self.chosen.emit(index.data(LINE).key)

    def _show(self) -> None:
        line, rows = self.current, self.model.rows
        now = sum(each.can_ring for each in rows)
        self.count.setText(f"{len(rows)} to reach, {now} of them now" if rows else "")
        self.count.setVisible(bool(rows))
        self.why.setVisible(line is not None)
        if line is not None:
            write = f" In writing: {line.write}." if line.write else ""
            self.why.setText(f"{line.why}{write}")
        self.list.viewport().update()

    @Slot()
    def _fit(self) -> None:
        px = self._look.px
        self._column.setContentsMargins(px(0.8), px(0.6), px(0.4), 0)
        self._column.setSpacing(px(0.3))
        self.why.setContentsMargins(px(0.4), px(0.3), px(0.4), px(0.4))
        self.setMinimumWidth(px(16))


class _List(QListView):
    def __init__(self, look: Look, empty: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._empty = look, empty
        self.setItemDelegate(_Row(look, self))
        self.setUniformItemSizes(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName("Whom to ring")
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        look.changed.connect(self.scheduleDelayedItemsLayout)

    def say_when_empty(self, words: str) -> None:
        """Says this while there is nobody to show."""
        self._empty = words
        self.setAccessibleDescription(words)
        self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self.model().rowCount():
            return
        painter = QPainter(self.viewport())
        painter.setPen(QColor(self._look.colours.quiet))
        margin = self._look.px(0.8)
        inner = self.viewport().rect().adjusted(margin, margin, -margin, -margin)
        painter.drawText(inner, Qt.TextFlag.TextWordWrap, self._empty)


class _Row(QStyledItemDelegate):
    """Paints one practice: name and when to ring; what is open and until when; whether it is open, or why to write."""

    def __init__(self, look: Look, view: QListView) -> None:
        super().__init__(view)
        self._look, self._view = look, view

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        text, small = QFontMetrics(self._look.font()), QFontMetrics(self._look.font("small"))
        return QSize(self._look.px(14), text.height() + 2 * small.height() + self._look.px(0.9))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        line, px, area = index.data(LINE), self._look.px, option.rect
        colours = self._look.colours
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area, QColor(colours.chosen))
            painter.fillRect(QRect(area.left(), area.top(), px(0.25), area.height()), QColor(colours.focus))
        painter.fillRect(QRect(area.left(), area.bottom(), area.width(), 1), QColor(colours.faint))
        side = px(1.1)
        paint_standing(
            painter, line.standing, QRectF(area.left() + px(0.7), area.top() + px(0.55), side, side), self._look
        )
        self._words(painter, line, area.adjusted(px(2.4), px(0.4), -px(0.6), -px(0.4)))
        painter.restore()

    def _words(self, painter: QPainter, line: "RingLine", area: QRect) -> None:
        ink, quiet = QColor(self._look.colours.ink), QColor(self._look.colours.quiet)
        text, bold, small = self._look.font(), self._look.font(bold=True), self._look.font("small")
        high, low = QFontMetrics(text).height(), QFontMetrics(small).height()
        first = QRect(area.left(), area.top(), area.width(), high)
        second = QRect(area.left(), first.bottom() + 1, area.width(), low)
        third = second.translated(0, low)
        when = bold if line.can_ring else text
        at = line.when if line.when and not line.can_ring else when_words(line)
        middle = Qt.TextElideMode.ElideMiddle  # of long names alike the end tells which
        pair(painter, first, (line.practice, text, ink), (at, when, ink if line.can_ring else quiet), middle)
        pair(painter, second, (line.told, small, ink), (f"by {line.reply_by}" if line.reply_by else "", small, ink))
        pair(painter, third, ((line.write and f"Write: {line.write}") or line.open, small, quiet), ("", small, quiet))


def pair(
    painter: QPainter,
    area: QRect,
    left: tuple,
    right: tuple,
    elide: Qt.TextElideMode = Qt.TextElideMode.ElideRight,
) -> None:
    """Words at either end of a line; the left ones give way, up to two fifths of it."""
    words, font, ink = right
    words = QFontMetrics(font).elidedText(words, elide, area.width() * 3 // 5) if left[0] else words
    painter.setFont(font)
    painter.setPen(ink)
    painter.drawText(area, _RIGHT, words)
    taken = QFontMetrics(font).horizontalAdvance(words + "  ") if words else 0
    words, font, ink = left
    painter.setFont(font)
    painter.setPen(ink)
    room = area.adjusted(0, 0, -taken, 0)
    painter.drawText(room, _LEFT, QFontMetrics(font).elidedText(words, elide, room.width()))
