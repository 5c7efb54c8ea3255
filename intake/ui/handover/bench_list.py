"""The benches of the lab, each with its number to type and how many boxes it has."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal, Slot
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QPainter
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.waiting.ring_view import pair

COUNT = Qt.ItemDataRole.UserRole
HELP = (
    "The benches, each with the boxes that it has or gets next. ↑ and ↓ choose, a digit chooses at once, Enter goes "
    "back to the field. A bench’s code chooses it from anywhere."
)


class BenchList(QListWidget):
    """Shows the benches and which one is chosen.

    Args:
        look: For colours, fonts and lengths.
        benches: Their names, in the order in which they are numbered.
        parent: The owner.
    """

    chosen = Signal(str)
    """The bench that was chosen by keys or by the mouse."""
    left = Signal()
    """The keys go back to the field."""

    def __init__(self, look: Look, benches: Sequence[str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.benches: tuple[str, ...] = ()
        self.setItemDelegate(_Row(look, self))
        self.setUniformItemSizes(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setProperty("ring", "row")
        self.setAccessibleName("Bench")
        set_help(self, HELP)
        self.set_benches(tuple(benches))
        self.currentRowChanged.connect(self._on_row)
        self.itemClicked.connect(self._on_clicked)
        look.changed.connect(self._fit)
        self._fit()

    def set_benches(self, benches: tuple[str, ...]) -> None:
        """Takes the benches of a setup; the one that is chosen stays chosen where it still is one of them."""
        if benches == self.benches:
            return
        chosen, self.benches = self.bench, benches
        self.blockSignals(True)
        self.clear()
        for number, bench in enumerate(benches, start=1):
            item = QListWidgetItem(bench, self)
            item.setData(COUNT, 0)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{number}, {bench}, no boxes")
        self.setCurrentRow(-1)
        self.blockSignals(False)
        if chosen:
            self.show_bench(chosen)
            if chosen not in benches:
                self.chosen.emit("")

    @property
    def bench(self) -> str:
        """The bench that is chosen; empty while none is."""
        item = self.currentItem()
        return item.text() if item is not None else ""

    def show_bench(self, bench: str) -> None:
        """Chooses a bench, and tells nobody."""
        self.blockSignals(True)
        self.setCurrentRow(self.benches.index(bench) if bench in self.benches else -1)
        self.blockSignals(False)
        self.viewport().update()

    def count_of(self, bench: str) -> int:
        """How many boxes a bench has."""
        return int(self.item(self.benches.index(bench)).data(COUNT))

    def show_counts(self, counts: Mapping[str, int]) -> None:
        """Shows how many boxes each bench has."""
        for row, bench in enumerate(self.benches):
            item, count = self.item(row), counts.get(bench, 0)
            if item.data(COUNT) != count:
                item.setData(COUNT, count)
                told = f"{count or 'no'} {'box' if count == 1 else 'boxes'}"
                item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{row + 1}, {bench}, {told}")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        typed = event.text()
        if event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            super().keyPressEvent(event)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Escape):
            self.left.emit()
        elif typed.isdecimal() and 1 <= int(typed) <= len(self.benches):
            self.setCurrentRow(int(typed) - 1)
        else:
            super().keyPressEvent(event)

    @Slot(int)
    def _on_row(self, row: int) -> None:
        if row >= 0:
            self.chosen.emit(self.benches[row])

    @Slot(QListWidgetItem)
    def _on_clicked(self, item: QListWidgetItem) -> None:
        self.left.emit()

    @Slot()
    def _fit(self) -> None:
        self.setMinimumWidth(self._look.px(13))
        self.scheduleDelayedItemsLayout()


class _Row(QStyledItemDelegate):
    """Paints one bench: its number, its name, its count."""

    def __init__(self, look: Look, view: QListWidget) -> None:
        super().__init__(view)
        self._look = look

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(self._look.px(10), QFontMetrics(self._look.font()).height() + self._look.px(0.9))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        colours, px, area = self._look.colours, self._look.px, option.rect
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        painter.save()
        if chosen:
            painter.fillRect(area, QColor(colours.chosen))
            painter.fillRect(QRect(area.left(), area.top(), px(0.25), area.height()), QColor(colours.focus))
        painter.fillRect(QRect(area.left(), area.bottom(), area.width(), 1), QColor(colours.faint))
        inner = area.adjusted(px(0.8), 0, -px(0.8), 0)
        quiet, ink = QColor(colours.quiet), QColor(colours.ink)
        small, font = self._look.font("small"), self._look.font(bold=chosen)
        painter.setFont(small)
        painter.setPen(quiet)
        painter.drawText(inner, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, str(index.row() + 1))
        count = index.data(COUNT)
        pair(
            painter,
            inner.adjusted(px(1.6), 0, 0, 0),
            (str(index.data()), font, ink),
            (str(count) if count else "", font, ink),
        )
        painter.restore()
