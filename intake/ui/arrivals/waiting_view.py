"""The list of what waits, most pressing first, and why the chosen one stands where it does."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import (
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
    Slot,
)
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from intake.ui.arrivals.waiting_model import ROW, STATES, WaitingModel, came_of, checked_of, name_of, parcel_of
from intake.ui.findings_list import Level, paint_level
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.parcels.parcel_mark import paint_parcel
from intake.ui.plain import Words, set_edge

if TYPE_CHECKING:
    from intake.desk.arrivals import Waiting

LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


class WaitingView(QWidget):
    """Shows what waits.

    Args:
        look: For colours, fonts and lengths.
        empty: What to say while nothing waits.
        parent: The owner.
    """

    opened = Signal(int)
    dismissed = Signal(int)
    left = Signal()

    def __init__(self, look: Look, empty: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.model = WaitingModel(self)
        self.head = Words("What waits", size="small", ink="quiet")
        self.key = Words("", size="small", ink="quiet")
        self.list = _List(look, empty, self)
        self.list.setModel(self.model)
        self.why = Words("", size="small", ink="quiet", wraps=True)
        set_edge(self.why, "top")
        set_help(
            self.list,
            "What waits to be booked in: what is left of opened parcels, then the most pressing. ↑ and ↓ choose, Enter "
            "opens the chosen one in the form, Delete takes it off the list.",
        )
        self._column = QVBoxLayout(self)
        self._head = QHBoxLayout()
        self._head.addWidget(self.head, 1)
        self._head.addWidget(self.key)
        self._column.addLayout(self._head)
        for part in (self.list, self.why):
            self._column.addWidget(part)
        self.list.activated.connect(self._on_activated)
        self.list.deleted.connect(self._on_deleted)
        self.list.went_away.connect(self.left)
        self.list.selectionModel().currentChanged.connect(self._on_current)
        look.changed.connect(self._fit)
        self._fit()

    @property
    def chosen(self) -> "Waiting | None":
        """The row that is chosen."""
        return self.list.currentIndex().data(ROW)

    def show_rows(self, rows: "Sequence[Waiting]", open_id: int | None = None) -> None:
        """Shows what waits. The chosen row stays chosen; when it has gone, the one in its place is.

        Args:
            rows: The rows, most pressing first.
            open_id: The arrival that is open in the form.
        """
        before, at = self.chosen, self.list.currentIndex().row()
        self.model.show_rows(rows)
        kept = self.model.row_of(before.arrival_id) if before else None
        self._choose(kept if kept is not None else max(at, 0))
        self.show_open(open_id)
        self.head.setText(f"What waits: {len(rows)}" if rows else "What waits")

    def without(self, arrival_id: int) -> None:
        """Takes one row away and chooses the next."""
        at = self.model.row_of(arrival_id)
        self.model.without(arrival_id)
        if at is not None:
            self._choose(at)
        self.head.setText(f"What waits: {len(self.model.rows)}" if self.model.rows else "What waits")

    def show_open(self, arrival_id: int | None) -> None:
        """Marks the arrival that is open in the form."""
        self.list.open_id = arrival_id
        self.list.viewport().update()

    def choose_after(self, arrival_id: int | None) -> None:
        """Chooses the row behind an arrival, or the first."""
        at = self.model.row_of(arrival_id)
        self._choose(0 if at is None else at + 1)

    def take_keys(self) -> None:
        """Takes the keys to the list."""
        self.list.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _choose(self, at: int) -> None:
        count = len(self.model.rows)
        if count:
            index = self.model.index(min(at, count - 1), 0)
            self.list.selectionModel().setCurrentIndex(index, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        self._on_current()

    @Slot(QModelIndex)
    def _on_activated(self, index: QModelIndex) -> None:
        self.opened.emit(index.data(ROW).arrival_id)

    @Slot()
    def _on_deleted(self) -> None:
        if self.chosen is not None:
            self.dismissed.emit(self.chosen.arrival_id)

    @Slot()
    def _on_current(self) -> None:
        chosen = self.chosen
        self.why.setVisible(chosen is not None)
        if chosen is not None:
            checked = f"{checked}." if (checked := checked_of(chosen)) else ""
            self.why.setText(" ".join(filter(None, (chosen.problem, parcel_of(chosen), checked, chosen.why))))
            self.why.set_ink("held" if chosen.problem else "quiet")

    @Slot()
    def _fit(self) -> None:
        thin = self._look.px(0.3)
        self._column.setContentsMargins(0, thin, 0, 0)
        self._column.setSpacing(thin)
        self._head.setContentsMargins(self._look.px(0.8), 0, self._look.px(0.6), 0)
        self.why.setContentsMargins(self._look.px(0.8), thin, self._look.px(0.8), thin)
        self.setMinimumWidth(self._look.px(14))


class _List(QListView):
    deleted = Signal()
    went_away = Signal()

    def __init__(self, look: Look, empty: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._empty = look, empty
        self.open_id: int | None = None
        self.setItemDelegate(_Row(look, self))
        self.setUniformItemSizes(True)
        self.setAccessibleName("What waits")
        self.setProperty("ring", "row")
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        look.changed.connect(self.scheduleDelayedItemsLayout)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Delete and not event.modifiers():
            self.deleted.emit()
        elif event.key() == Qt.Key.Key_Escape:
            self.went_away.emit()
        else:
            super().keyPressEvent(event)

    def keyboardSearch(self, search: str) -> None:
        """Letters do not jump about: they belong to the form."""

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self.model().rowCount():
            return
        painter = QPainter(self.viewport())
        painter.setPen(QColor(self._look.colours.quiet))
        margin = self._look.px(0.8)
        area = self.viewport().rect().adjusted(margin, margin, -margin, -margin)
        painter.drawText(area, Qt.TextFlag.TextWordWrap, self._empty)


class _Row(QStyledItemDelegate):
    """Paints a row: the practice with its state at the right; under it patient and appliances, and how it came."""

    def __init__(self, look: Look, view: _List) -> None:
        super().__init__(view)
        self._look, self._view = look, view

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        text, small = QFontMetrics(self._look.font()), QFontMetrics(self._look.font("small"))
        return QSize(self._look.px(10), text.height() + small.height() + self._look.px(0.7))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        row: Waiting = index.data(ROW)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._ground(painter, option, row)
        side, thin = self._look.px(0.8), self._look.px(0.35)
        inner = option.rect.adjusted(side, thin, -self._look.px(0.6), -thin)
        upper = QRect(inner.topLeft(), QSize(inner.width(), QFontMetrics(self._look.font()).height()))
        lower = QRect(inner.left(), upper.bottom() + 1, inner.width(), inner.bottom() - upper.bottom())
        small, came = QFontMetrics(self._look.font("small")), came_of(row)
        painter.setPen(QColor(self._look.colours.quiet))
        painter.setFont(self._look.font("small"))
        painter.drawText(upper, RIGHT, came)
        taken = small.horizontalAdvance(came)
        if row.parcel is not None:
            size = small.ascent()
            mark = QRectF(upper.right() - taken - size - thin, upper.center().y() - size / 2, size, size)
            paint_parcel(painter, mark, QColor(self._look.colours.quiet))
            taken += size + thin
        left = upper.adjusted(0, 0, -taken - side, 0)
        self._write(painter, left, name_of(row), "text", self._look.colours.ink)
        self._state(painter, lower, row)
        words = " · ".join(filter(None, (row.patient, row.appliances)))
        column = QFontMetrics(self._look.font("small", bold=True)).horizontalAdvance(STATES["clear"]) + self._look.px(2)
        own = self._state_width(row.state) + self._look.px(0.6)
        rest = lower.adjusted(max(column, own), 0, 0, 0)
        self._write(painter, rest, words, "small", self._look.colours.quiet)
        painter.restore()

    def _ground(self, painter: QPainter, option: QStyleOptionViewItem, row: "Waiting") -> None:
        colours, area = self._look.colours, option.rect
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area, QColor(colours.chosen))
        painter.fillRect(area.adjusted(0, area.height() - 1, 0, 0), QColor(colours.faint))
        if row.arrival_id == self._view.open_id:
            painter.fillRect(QRect(area.topLeft(), QSize(self._look.px(0.25), area.height())), QColor(colours.ink))
        if option.state & QStyle.StateFlag.State_HasFocus and self._view.hasFocus():
            painter.setPen(QPen(QColor(colours.focus), 2))
            painter.drawRect(area.adjusted(1, 1, -1, -1))

    def _state_width(self, state: str) -> int:
        word = QFontMetrics(self._look.font("small", bold=True)).horizontalAdvance(STATES[state])
        return word + self._look.px(1.1)

    def _state(self, painter: QPainter, area: QRect, row: "Waiting") -> None:
        """The state as a mark and a word at the left end."""
        colours = self._look.colours
        ink = {"held": colours.held, "clear": colours.ok}.get(row.state, colours.caution)
        side = self._look.px(0.75)
        painter.setFont(self._look.font("small", bold=True))
        painter.setPen(QColor(ink))
        painter.drawText(area.adjusted(self._look.px(1.1), 0, 0, 0), LEFT, STATES[row.state])
        mark = QRectF(area.left(), area.center().y() - side / 2 + 1, side, side)
        if row.state == "clear":
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(ink), max(1.5, side * 0.16)))
            painter.drawEllipse(mark.adjusted(1, 1, -1, -1))
        else:
            level: Level = "stops" if row.state == "held" else "warns"
            paint_level(painter, level, mark, QColor(ink), QColor(colours.surface), self._look)

    def _write(self, painter: QPainter, area: QRect, words: str, size: str, ink: str) -> None:
        font = self._look.font("small" if size == "small" else "text")
        painter.setFont(font)
        painter.setPen(QColor(ink))
        painter.drawText(area, LEFT, QFontMetrics(font).elidedText(words, Qt.TextElideMode.ElideRight, area.width()))
