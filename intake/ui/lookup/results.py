"""The list of what was found: one job in two lines, the box's colour at its left edge."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal, Slot
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent, QPen, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QAbstractItemView, QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from intake.ui.look import Look

if TYPE_CHECKING:
    from intake.desk.look_up import Found

_FOUND = Qt.ItemDataRole.UserRole
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


class Results(QListView):
    """Shows what was found.

    Args:
        look: For colours, fonts and lengths.
        empty: What to say while nothing was looked for.
        parent: The owner.
    """

    chosen = Signal(object)
    """The `Found` of the row that is now the current one."""

    def __init__(self, look: Look, empty: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look, self._said = look, empty
        self._rows = QStandardItemModel(self)
        self.setModel(self._rows)
        self.setItemDelegate(_Row(look, self))
        self.setAccessibleName("Found")
        self.setUniformItemSizes(True)
        self.setProperty("ring", "row")
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.selectionModel().currentChanged.connect(self._on_current)
        look.changed.connect(self.scheduleDelayedItemsLayout)

    @property
    def current(self) -> "Found | None":
        """The job that is chosen."""
        index = self.currentIndex()
        return index.data(_FOUND) if index.isValid() else None

    def show_found(self, found: "Sequence[Found]", said: str = "", chosen: str = "", choose: bool = True) -> None:
        """Shows these jobs; with none, says why.

        The job of the number `chosen` is chosen, else the first; none where the desk has to `choose` by itself.
        """
        self._said = said
        self._rows.clear()
        for each in found:
            self._rows.appendRow(_item(each))
        if found and choose:
            at = next((row for row, each in enumerate(found) if each.number == chosen), 0)
            self.setCurrentIndex(self._rows.index(at, 0))
        self.setAccessibleDescription(said)
        self.viewport().update()

    def move(self, rows: int) -> None:
        """Chooses a row further down, or up."""
        count = self._rows.rowCount()
        if count:
            row = min(max(0, self.currentIndex().row() + rows), count - 1)
            self.setCurrentIndex(self._rows.index(row, 0))

    @Slot(QModelIndex, QModelIndex)
    def _on_current(self, now: QModelIndex, before: QModelIndex) -> None:
        if now.isValid():
            self.chosen.emit(now.data(_FOUND))

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if not self._rows.rowCount():
            painter = QPainter(self.viewport())
            painter.setPen(QColor(self._look.colours.quiet))
            painter.setFont(self._look.font())
            margin = self._look.px(1)
            inner = self.viewport().rect().adjusted(margin, margin, -margin, -margin)
            painter.drawText(inner, Qt.TextFlag.TextWordWrap, self._said)


def _leaves(found: "Found") -> str:
    """The day of leaving; of a late job the day that it misses; of one that is done with the day that it was for."""
    if found.where == "finished" or found.state == "withdrawn":
        return f"for {found.must_leave}"
    return f"late for {found.must_leave}" if found.late else f"leaves {found.must_leave}"


def _item(found: "Found") -> QStandardItem:
    item = QStandardItem(found.shown)
    item.setData(found, _FOUND)
    leaves = f", {_leaves(found)}" if found.must_leave else ""
    where = f", {found.where}" if found.where else ""
    near = f", near: {found.near}" if found.near else ""
    said = (
        f"{found.shown}, {found.patient}, {found.practice}, {found.category}, {found.colour} box, "
        f"{found.state}{where}{leaves}{near}"
    )
    item.setData(said, Qt.ItemDataRole.AccessibleTextRole)
    return item


class _Row(QStyledItemDelegate):
    """Paints one job: number and state or bench, patient and day; under them practice and box, or what is near."""

    def __init__(self, look: Look, view: QListView) -> None:
        super().__init__(view)
        self._look, self._view = look, view

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        lines = QFontMetrics(self._look.font()).height() * 2 + QFontMetrics(self._look.font("small")).height()
        return QSize(self._look.px(18), lines + self._look.px(0.9))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        found: Found = index.data(_FOUND)
        colours, px, area = self._look.colours, self._look.px, option.rect
        painter.save()
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area, QColor(colours.chosen))
        box = QRect(area.left() + px(0.5), area.top() + px(0.5), px(0.9), area.height() - px(1))
        painter.fillRect(box, QColor(found.hex))
        painter.setPen(QPen(QColor(colours.line), 1))
        painter.drawRect(box.adjusted(0, 0, -1, -1))
        painter.fillRect(QRect(area.left(), area.bottom(), area.width(), 1), QColor(colours.faint))
        self._paint_words(painter, found, area.adjusted(px(1.9), px(0.4), -px(0.7), -px(0.5)))
        if option.state & QStyle.StateFlag.State_HasFocus and self._view.hasFocus():
            painter.setPen(QPen(QColor(colours.focus), 2))
            painter.drawRect(area.adjusted(1, 1, -1, -1))
        painter.restore()

    def _paint_words(self, painter: QPainter, found: "Found", area: QRect) -> None:
        ink, quiet = QColor(self._look.colours.ink), QColor(self._look.colours.quiet)
        state = QColor(self._look.colours.held) if found.state == "held" else ink
        text, bold, small = self._look.font(), self._look.font(bold=True), self._look.font("small")
        high, low = QFontMetrics(text).height(), QFontMetrics(small).height()
        first = QRect(area.left(), area.top(), area.width(), high)
        second, third = first.translated(0, high), QRect(area.left(), area.top() + 2 * high, area.width(), low)
        leaves = _leaves(found) if found.must_leave else "no day"
        _pair(painter, first, (found.shown, bold, ink), (found.where or found.state, bold, state))
        _pair(painter, second, (found.patient or "no label", text, ink), (leaves, text, ink))
        caution = QColor(self._look.colours.caution)
        under = (found.practice or "no practice", small, quiet)
        if found.near:
            under = (f"near: {found.near} · {found.practice}", small, caution)
        _pair(painter, third, under, (f"{found.category}, {found.colour}", small, quiet))


def _pair(painter: QPainter, area: QRect, left: tuple, right: tuple) -> None:
    """Words at either end of a line; the left ones give way."""
    words, font, ink = right
    painter.setFont(font)
    painter.setPen(ink)
    painter.drawText(area, _RIGHT, words)
    taken = QFontMetrics(font).horizontalAdvance(words + "  ")
    words, font, ink = left
    painter.setFont(font)
    painter.setPen(ink)
    room = area.adjusted(0, 0, -taken, 0)
    painter.drawText(room, _LEFT, QFontMetrics(font).elidedText(words, Qt.TextElideMode.ElideRight, room.width()))
