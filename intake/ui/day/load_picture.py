"""The picture of the load: a day a column, a bench a row, in each cell what is asked against what the bench can do."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import (
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
    Slot,
)
from PySide6.QtGui import QBrush, QColor, QFontMetrics, QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QSizePolicy,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from intake.ui.day.load_model import CELL, LoadModel, cell_lines
from intake.ui.help_panel import set_help
from intake.ui.look import Look

if TYPE_CHECKING:
    from intake.desk.load import Load, LoadCell, LoadLine

HELP = (
    "What the routes of the open jobs ask of each bench, on the day by which it has to be done with them. ← and → "
    "choose the day, ↑ and ↓ the bench; Enter goes to its jobs, Esc comes back. The bar is what is asked, the line "
    "across it what the bench finishes in a day; what is hatched is more than that, an open bar on top is held. Closed "
    "days are narrow."
)


class LoadPicture(QTableView):
    """Shows the load; the arrow keys choose a bench and a day.

    Args:
        look: For colours, fonts and lengths.
        parent: The owner.
    """

    chosen = Signal()
    """Another bench or day is chosen."""
    entered = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.cells = LoadModel(self)
        self.setModel(self.cells)
        self.setItemDelegate(_Cell(look, self))
        self.setAccessibleName("Load of the benches")
        set_help(self, HELP)
        self.setProperty("ring", "row")
        self.setShowGrid(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setTabKeyNavigation(False)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.setHorizontalHeader(_Header(look, Qt.Orientation.Horizontal, self))
        self.setVerticalHeader(_Header(look, Qt.Orientation.Vertical, self))
        self.selectionModel().currentChanged.connect(self._on_current)
        look.changed.connect(self._fit)
        self._fit()

    @property
    def current(self) -> "tuple[LoadLine, LoadCell] | None":
        """The bench and the day that are chosen."""
        index = self.currentIndex()
        cell = self.cells.cell(index) if index.isValid() else None
        return None if cell is None else (self.cells.line(index.row()), cell)

    def show_load(self, load: "Load") -> None:
        """Shows a load; the bench and the day that were chosen stay chosen where they are still there."""
        before = self.current
        self.selectionModel().blockSignals(True)
        self.cells.show_load(load)
        names = [line.bench for line in load.benches]
        row = names.index(before[0].bench) if before and before[0].bench in names else 0
        days = [day.day for day in load.days]
        column = days.index(before[1].day) if before and before[1].day in days else 0
        if names:
            self.setCurrentIndex(self.cells.index(row, column))
        self.selectionModel().blockSignals(False)
        self._fit()
        self.chosen.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.modifiers() & ~_PAD:
            self.entered.emit()
            return
        if event.key() == Qt.Key.Key_Escape:
            event.ignore()  # the place knows where back is
            return
        super().keyPressEvent(event)

    def keyboardSearch(self, search: str) -> None:
        """Typing looks for nothing here: a scan must not move the choice."""

    def sizeHint(self) -> QSize:
        rows = self.cells.rowCount() * self.verticalHeader().defaultSectionSize()
        return QSize(self._look.px(50), self.horizontalHeader().height() + rows + self._look.px(1))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._look.px(18), self._look.px(9))

    def resizeEvent(self, event: Any) -> None:
        super().resizeEvent(event)
        self._fit()

    @Slot(QModelIndex, QModelIndex)
    def _on_current(self, now: QModelIndex, before: QModelIndex) -> None:
        if now.isValid():
            self.chosen.emit()

    @Slot()
    def _fit(self) -> None:
        """As wide as there is room, never narrower than what stands in a cell; closed days a fifth of a worked one."""
        px, columns = self._look.px, range(self.cells.columnCount())
        self.setStyleSheet(f"QTableCornerButton::section {{ background: {self._look.colours.ground}; border: none; }}")
        small = QFontMetrics(self._look.font("small", bold=True))
        self.horizontalHeader().setFixedHeight(2 * small.height() + px(0.5))
        self.verticalHeader().setFixedWidth(px(9.6))
        self.verticalHeader().setDefaultSectionSize(max(px(2.7), 2 * small.height() + px(0.3)))
        closed, words = px(0.8), max((small.horizontalAdvance(words) for words in self._words()), default=0)
        shut = sum(self.cells.is_closed(column) for column in columns)
        worked = len(columns) - shut
        if worked:
            room = self.viewport().width() - shut * closed
            each = max(room // worked, words + px(2.2))
            for column in columns:
                self.setColumnWidth(column, closed if self.cells.is_closed(column) else each)
        self.updateGeometry()

    def _words(self) -> Iterator[str]:
        """Everything that is written in cells and over them."""
        yield "30 Nov"
        for line in self.cells.load.benches if self.cells.load is not None else ():
            for cell in line.cells:
                yield from cell_lines(cell)


_PAD = Qt.KeyboardModifier.KeypadModifier


class _Header(QHeaderView):
    """The days over the picture, or the benches left of it, in two lines."""

    def __init__(self, look: Look, orientation: Qt.Orientation, parent: QWidget) -> None:
        super().__init__(orientation, parent)
        self._look = look
        self.setSectionsClickable(False)
        self.setHighlightSections(False)
        self.setMinimumSectionSize(1)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        colours, px = self._look.colours, self._look.px
        upright = self.orientation() == Qt.Orientation.Vertical
        words = str(self.model().headerData(section, self.orientation(), Qt.ItemDataRole.DisplayRole) or "")
        painter.save()
        painter.fillRect(rect, QColor(colours.ground))
        painter.setPen(QPen(QColor(colours.faint), 1))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        high = QFontMetrics(self._look.font("small")).height()
        inner = rect.adjusted(px(0.4), 0, -px(0.3), 0)
        top = rect.top() + (rect.height() - 2 * high) // 2
        for at, line in enumerate(words.split("\n")):
            painter.setFont(self._look.font("small", bold=upright and not at))
            late = upright and at and "late" in line
            painter.setPen(QColor(colours.held if late else colours.quiet if upright and at else colours.ink))
            shown = painter.fontMetrics().elidedText(line, Qt.TextElideMode.ElideRight, inner.width())
            painter.drawText(QRect(inner.left(), top + at * high, inner.width(), high), _LEFT, shown)
        painter.restore()


class _Cell(QStyledItemDelegate):
    """Paints a cell: the numbers in words at the left, the bar with the line of the capacity at the right."""

    def __init__(self, look: Look, view: LoadPicture) -> None:
        super().__init__(view)
        self._look, self._view = look, view

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        cell, colours, area = index.data(CELL), self._look.colours, option.rect
        painter.save()
        if cell is None:
            painter.fillRect(area, QBrush(QColor(colours.faint), Qt.BrushStyle.BDiagPattern))
        else:
            is_chosen = bool(option.state & QStyle.StateFlag.State_Selected)
            if is_chosen:
                painter.fillRect(area, QColor(colours.chosen))
            self._words(painter, cell, area)
            self._bar(painter, cell, area, self._view.cells.scale(index.row()))
            if is_chosen and self._view.hasFocus():
                painter.setPen(QPen(QColor(colours.focus), 2))
                painter.drawRect(area.adjusted(1, 1, -1, -1))
        painter.setPen(QPen(QColor(colours.faint), 1))
        painter.drawLine(area.bottomLeft(), area.bottomRight())
        painter.drawLine(area.topRight(), area.bottomRight())
        painter.restore()

    def _words(self, painter: QPainter, cell: "LoadCell", area: QRect) -> None:
        """How many are asked, and under it how many too many, or held."""
        px, colours = self._look.px, self._look.colours
        small, bold = self._look.font("small"), self._look.font("small", bold=True)
        high = QFontMetrics(small).height()
        top = area.top() + (area.height() - 2 * high) // 2
        first = QRect(area.left() + px(0.35), top, area.width() - px(1.8), high)
        for at, words in enumerate(cell_lines(cell)):
            painter.setFont(bold if cell.over and not at else small)
            painter.setPen(QColor(colours.held if cell.over else colours.quiet if at else colours.ink))
            painter.drawText(first.translated(0, at * high), _LEFT, words)

    def _bar(self, painter: QPainter, cell: "LoadCell", area: QRect, most: int) -> None:
        """What is asked from below: full up to the capacity, hatched over it, an open bar on top for what is held."""
        px, colours = self._look.px, self._look.colours
        whole = max(most, cell.capacity or 0, 1)
        room = QRectF(area.right() - px(1.3), area.top() + px(0.3), px(0.95), area.height() - px(0.5))

        def up_to(count: int) -> float:
            return room.bottom() - room.height() * count / whole

        def part(low: int, high: int) -> QRectF:
            return QRectF(room.left(), up_to(high), room.width(), up_to(low) - up_to(high))

        asked, within = len(cell.asked), len(cell.asked) - cell.over
        painter.fillRect(part(0, within), QColor(colours.quiet))
        if cell.over:
            painter.fillRect(part(within, asked), QBrush(QColor(colours.held), Qt.BrushStyle.FDiagPattern))
            painter.setPen(QPen(QColor(colours.held), 1))
            painter.drawRect(part(within, asked))
        if cell.held:
            painter.setPen(QPen(QColor(colours.line), 1, Qt.PenStyle.SolidLine))
            painter.drawRect(part(asked, asked + len(cell.held)))
        if cell.capacity is not None:
            painter.setPen(QPen(QColor(colours.ink), 1.5))
            y = round(up_to(cell.capacity)) + 0.5
            painter.drawLine(QPointF(room.left() - px(0.25), y), QPointF(room.right() + px(0.2), y))


_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
