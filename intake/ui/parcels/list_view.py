"""The parcels that are not finished: what is stopped first, then the oldest."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
    Slot,
)
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QVBoxLayout, QWidget

from intake.domain.written_dates import shown_moment
from intake.ui.findings_list import paint_level
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.parcels.parcel_mark import paint_parcel
from intake.ui.plain import Words
from intake.ui.waiting.ring_view import pair

if TYPE_CHECKING:
    from intake.desk.parcels import ParcelLine

LINE = Qt.ItemDataRole.UserRole
NO_LABEL, NOBODY = "No label", "Practice not known"
STOPPED = "STOPPED"
HELP = (
    "The parcels of which something has neither a case nor a reason why it has none; what is stopped stands first, "
    "then the oldest. ↑ and ↓ choose, Enter goes to the card of the chosen one, F4 opens its next case, Esc goes back "
    "to the form."
)


class ParcelList(QWidget):
    """Shows the parcels that are not finished.

    Args:
        look: For colours, fonts and lengths.
        empty: What to say while there is none.
        parent: The owner.
    """

    chosen = Signal(int)
    """The parcel that the keys have gone to, while the list has them."""
    opened = Signal(int)
    left = Signal()

    def __init__(self, look: Look, empty: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self.model = ParcelModel(self)
        self.head = Words("", size="small", ink="quiet")
        self.key = Words("", size="small", ink="quiet")
        self.list = _List(look, empty, self)
        self.list.setModel(self.model)
        set_help(self.list, HELP)
        self._column = QVBoxLayout(self)
        self._column.addWidget(self.head)
        self._column.addWidget(self.list, 1)
        self.list.activated.connect(self._on_activated)
        self.list.clicked.connect(self._on_clicked)
        self.list.took_keys.connect(self._on_current)
        self.list.left.connect(self.left)
        self.list.selectionModel().currentChanged.connect(self._on_current)
        look.changed.connect(self._fit)
        self._fit()
        self._count()

    @property
    def current(self) -> "ParcelLine | None":
        """The line that is chosen."""
        index = self.list.currentIndex()
        return index.data(LINE) if index.isValid() else None

    def show_lines(self, lines: "Sequence[ParcelLine]") -> None:
        """Shows these parcels; the chosen one stays chosen, or the one in its place is."""
        before, at = self.current, max(0, self.list.currentIndex().row())
        self.model.show_lines(lines)
        kept = self.model.row_of(before.parcel_id) if before is not None else None
        self._choose(at if kept is None else kept)
        self._count()

    def choose(self, parcel_id: int) -> bool:
        """Chooses a parcel; whether it is in the list."""
        row = self.model.row_of(parcel_id)
        if row is not None:
            self._choose(row)
        return row is not None

    def take_keys(self) -> None:
        """Takes the keys to the list."""
        self.list.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def name_key(self, key: str) -> None:
        """Says which key goes to the list."""
        self._shown_key = key
        self._count()

    _shown_key = ""

    def _count(self) -> None:
        count = len(self.model.lines)
        words = f"Not finished: {count}" if count else "Not finished"
        self.head.setText(f"{words}  {self._shown_key}".rstrip())

    def _choose(self, at: int) -> None:
        count = len(self.model.lines)
        if count:
            self.list.setCurrentIndex(self.model.index(min(at, count - 1), 0))

    @Slot(QModelIndex)
    def _on_activated(self, index: QModelIndex) -> None:
        self.opened.emit(index.data(LINE).parcel_id)

    @Slot(QModelIndex)
    def _on_clicked(self, index: QModelIndex) -> None:
        self.chosen.emit(index.data(LINE).parcel_id)

    @Slot()
    def _on_current(self) -> None:
        if self.list.hasFocus() and self.current is not None:
            self.chosen.emit(self.current.parcel_id)

    @Slot()
    def _fit(self) -> None:
        px = self._look.px
        self._column.setContentsMargins(0, px(0.3), 0, 0)
        self._column.setSpacing(px(0.3))
        self.head.setContentsMargins(px(0.8), 0, px(0.6), 0)
        self.setMinimumWidth(px(16))


class ParcelModel(QAbstractListModel):
    """The parcels as rows, what is stopped first.

    Args:
        parent: The owner.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.lines: tuple[ParcelLine, ...] = ()

    def show_lines(self, lines: "Sequence[ParcelLine]") -> None:
        """Shows these lines in place of those before."""
        ordered = tuple(sorted(lines, key=lambda line: line.state != "stopped"))
        if ordered != self.lines:
            self.beginResetModel()
            self.lines = ordered
            self.endResetModel()

    def row_of(self, parcel_id: int) -> int | None:
        """The row of a parcel; None when it is not there."""
        return next((at for at, line in enumerate(self.lines) if line.parcel_id == parcel_id), None)

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008  # Qt's own default
        return 0 if parent.isValid() else len(self.lines)

    def data(self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or index.row() >= len(self.lines):
            return None
        line = self.lines[index.row()]
        if role == LINE:
            return line
        if role == Qt.ItemDataRole.DisplayRole:
            return line.practice or NOBODY
        return said_of(line) if role == Qt.ItemDataRole.AccessibleTextRole else None


def said_of(line: "ParcelLine") -> str:
    """A row in words, for those who hear it."""
    stopped = STOPPED if line.state == "stopped" else ""
    parts = (stopped, line.practice or NOBODY, line.label or NO_LABEL, line.service, line.says, shown_moment(line.at))
    return ", ".join(filter(None, parts))


class _List(QListView):
    left = Signal()
    took_keys = Signal()

    def __init__(self, look: Look, empty: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._empty = look, empty
        self.setItemDelegate(_Row(look, self))
        self.setUniformItemSizes(True)
        self.setAccessibleName("Parcels that are not finished")
        self.setAccessibleDescription(empty)
        self.setProperty("ring", "row")
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        look.changed.connect(self.scheduleDelayedItemsLayout)

    def say_when_empty(self, words: str) -> None:
        """Says this while there is nothing to show."""
        self._empty = words
        self.setAccessibleDescription(words)
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        elif event.text().isalnum() and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            event.ignore()  # letters do not jump about: they are the single keys of the place
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: Any) -> None:
        super().focusInEvent(event)
        self.took_keys.emit()

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
    """Paints a parcel: whose it is and since when; its label, or that it is stopped; what is to be done next."""

    def __init__(self, look: Look, view: QListView) -> None:
        super().__init__(view)
        self._look, self._view = look, view

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        text, small = QFontMetrics(self._look.font()), QFontMetrics(self._look.font("small"))
        return QSize(self._look.px(14), text.height() + 2 * small.height() + self._look.px(0.9))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        line, px, area, colours = index.data(LINE), self._look.px, option.rect, self._look.colours
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area, QColor(colours.chosen))
        painter.fillRect(QRect(area.left(), area.bottom(), area.width(), 1), QColor(colours.faint))
        if option.state & QStyle.StateFlag.State_HasFocus and self._view.hasFocus():
            painter.setPen(QPen(QColor(colours.focus), 2))
            painter.drawRect(area.adjusted(1, 1, -1, -1))
        stopped, side = line.state == "stopped", px(1.1)
        mark = QRectF(area.left() + px(0.7), area.top() + px(0.5), side, side)
        if stopped:
            paint_level(painter, "stops", mark, QColor(colours.held), QColor(colours.surface), self._look)
        else:
            paint_parcel(painter, mark, QColor(colours.quiet))
        self._words(painter, line, area.adjusted(px(2.4), px(0.4), -px(0.6), -px(0.4)), stopped)
        painter.restore()

    def _words(self, painter: QPainter, line: "ParcelLine", area: QRect, stopped: bool) -> None:
        colours, text, small = self._look.colours, self._look.font(), self._look.font("small")
        ink, quiet = QColor(colours.ink), QColor(colours.quiet)
        high, low = QFontMetrics(text).height(), QFontMetrics(small).height()
        first = QRect(area.left(), area.top(), area.width(), high)
        second = QRect(area.left(), first.bottom() + 1, area.width(), low)
        third = second.translated(0, low)
        middle = Qt.TextElideMode.ElideMiddle
        state = (STOPPED, self._look.font("small", bold=True), QColor(colours.held)) if stopped else ("", small, quiet)
        pair(painter, first, (line.practice or NOBODY, text, ink), (f"{line.at:%H:%M}", small, quiet), middle)
        pair(painter, second, (line.label or NO_LABEL, small, quiet), state, middle)
        caution = QColor(colours.held if stopped else colours.caution if line.to_disinfect else colours.ink)
        pair(painter, third, (line.says, small, caution), ("", small, quiet))
