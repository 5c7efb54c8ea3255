"""A table of cells that is worked by keys: arrows go, typing or Enter changes, Tab leaves, Esc takes back."""

from functools import lru_cache
from typing import cast

from PySide6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    Slot,
)
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QPainter, QPen, QResizeEvent, QTextLayout, QTextOption
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QComboBox,
    QHeaderView,
    QLineEdit,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from intake.ui.look import Look
from intake.ui.setup.entries.model import COLOUR, NEEDED, REASON, EntryModel

ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
Index = QModelIndex | QPersistentModelIndex
WIDE: dict[str, float] = {"line": 22, "lines": 22, "choice": 10, "number": 5, "tick": 5}
"""The least width of the field in a cell, in heights of text."""
MOST_LINES = 3
"""So many lines a cell shows; the whole of it stands under the table when it is chosen."""
LEAST = 0.95
"""A column is not made narrower than this share of what it asks for."""
_PLAIN = (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)


class EntryView(QTableView):
    """The cells.

    Args:
        model: The list.
        look: For colours and lengths.
        parent: The owner.
    """

    def __init__(self, model: EntryModel, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self.entries, self._look = model, look
        self.rests = False
        """Whether no cell shows as chosen while something else has the keys."""
        self.setModel(model)
        self._cells = _Cells(look, self)
        self.setItemDelegate(self._cells)
        self.setAccessibleName(model.table.title)
        self.setTabKeyNavigation(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.AnyKeyPressed | QAbstractItemView.EditTrigger.DoubleClicked)
        self.setProperty("ring", "row")
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.verticalHeader().hide()
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.horizontalHeader().setHighlightSections(False)
        self.horizontalHeader().setMinimumSectionSize(1)
        self.horizontalHeader().setTextElideMode(Qt.TextElideMode.ElideRight)
        model.dataChanged.connect(self._fit_changed)
        model.modelReset.connect(self._fit_rows)
        model.rowsInserted.connect(self._fit_rows)
        model.rowsRemoved.connect(self._fit_rows)
        look.changed.connect(self._fit)
        self._fit()

    @property
    def row(self) -> int:
        """The row that is chosen."""
        return self.currentIndex().row()

    def is_cut(self, index: Index) -> bool:
        """Whether a cell shows less than stands in it."""
        return self._cells.is_cut(index)

    def go_to(self, row: int, column: int = 0) -> None:
        """Chooses a cell."""
        index = self.entries.index(min(max(row, 0), self.entries.rowCount() - 1), column)
        self.setCurrentIndex(index)
        self.scrollTo(index)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        index, key = self.currentIndex(), event.key()
        if not index.isValid() or event.modifiers() not in (*_PLAIN, Qt.KeyboardModifier.ShiftModifier):
            event.ignore() if not index.isValid() else super().keyPressEvent(event)
        elif key == Qt.Key.Key_Escape:
            self._take_back(event)
        elif self.entries.kind(index).look == "tick" and self._tick(event):
            event.accept()
        elif key in ENTER:
            if self.state() != QAbstractItemView.State.EditingState:  # else the field in the cell left it over
                self.edit(index)
        elif key == Qt.Key.Key_Delete:
            self.entries.setData(index, "")
        else:
            super().keyPressEvent(event)

    def _take_back(self, event: QKeyEvent) -> None:
        """Esc: what a cell refused goes first, then the entry that is begun."""
        index = self.currentIndex()
        if self.entries.reason(index):
            self.entries.take_back(index)
            self.currentChanged(index, index)
        elif self.entries.begun is not None:
            self.entries.discard()
            self.go_to(self.entries.rowCount() - 1)
        else:
            event.ignore()

    def _tick(self, event: QKeyEvent) -> bool:
        """Enter and the space bar turn a yes into a no; y and n say which."""
        index, typed = self.currentIndex(), event.text().casefold()
        was = str(index.data(Qt.ItemDataRole.EditRole))
        if event.key() in ENTER or typed == " ":
            return self.entries.setData(index, "no" if was == "yes" else "yes")
        if typed in ("y", "n"):
            return self.entries.setData(index, {"y": "yes", "n": "no"}[typed])
        return bool(typed.strip()) and typed.isprintable()

    @Slot(QModelIndex, QModelIndex)
    def _fit_changed(self, first: QModelIndex, last: QModelIndex) -> None:
        for row in range(first.row(), last.row() + 1):
            self.resizeRowToContents(row)
        self.updateGeometry()

    @Slot()
    def _fit_rows(self) -> None:
        self.resizeRowsToContents()
        self.updateGeometry()

    @Slot()
    def _fit(self) -> None:
        self.verticalHeader().setMinimumSectionSize(self._look.px(2.1))
        self._fit_columns()

    def _fit_columns(self) -> None:
        """Each column has its share of the width; where that is too narrow to read the table scrolls sideways."""
        columns = self.entries.table.columns
        room = self.viewport().width() / sum(column.wide for column in columns)
        unit = max(room, self._look.px(1) * LEAST)
        for at, column in enumerate(columns):
            self.setColumnWidth(at, int(unit * column.wide))
        self._fit_rows()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.oldSize().width() != event.size().width():
            self._fit_columns()

    @property
    def whole_height(self) -> int:
        """The height that shows all its rows."""
        rows = sum(self.rowHeight(row) for row in range(self.entries.rowCount()))
        return rows + self.horizontalHeader().sizeHint().height() + 2 * self.frameWidth() + 2

    def minimumSizeHint(self) -> QSize:
        return QSize(self._look.px(12), self._look.px(6))


class _Cells(QStyledItemDelegate):
    """Paints cells and the field in one that is being changed."""

    def __init__(self, look: Look, view: EntryView) -> None:
        super().__init__(view)
        self._look, self._view = look, view
        self._broken = lru_cache(maxsize=4096)(self._break)
        look.changed.connect(self._broken.cache_clear)

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        kind, column = self._view.entries.kind(index), self._view.entries.column(index)
        if kind.look == "choice" and kind.offers:
            box = QComboBox(parent)
            box.addItems(list(kind.offers))
            box.activated.connect(lambda: self._take(box))
            field: QWidget = box
        else:
            field = QLineEdit(parent)
        field.setAccessibleName(column.title)
        field.setProperty("help", column.help)
        return field

    def _take(self, field: QWidget) -> None:
        """What stands in the field of a cell counts at once."""
        self.commitData.emit(field)
        self.closeEditor.emit(field, QAbstractItemDelegate.EndEditHint.SubmitModelCache)

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        if editor.property("filled"):
            return  # the list may change meanwhile; what is half typed stays
        editor.setProperty("filled", True)
        text = str(index.data(Qt.ItemDataRole.EditRole))
        if isinstance(editor, QComboBox):
            editor.setCurrentText(text)
        else:
            cast("QLineEdit", editor).setText(text)

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        text = editor.currentText() if isinstance(editor, QComboBox) else cast("QLineEdit", editor).text()
        model.setData(index, text)

    def updateEditorGeometry(self, editor: QWidget, option: QStyleOptionViewItem, index: Index) -> None:
        """Over the cell, and over its neighbours too where more is to be typed than it has room for."""
        area, room = option.rect, self._view.viewport().width()
        wide = min(room, max(area.width(), self._look.px(WIDE[self._view.entries.kind(index).look])))
        high = max(area.height(), editor.sizeHint().height())
        editor.setGeometry(max(0, min(area.left(), room - wide)), area.top(), wide, high)

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.KeyPress and isinstance(editor, QComboBox):
            key = cast("QKeyEvent", event)
            if key.key() in ENTER:  # Qt's own filter leaves them to the list
                self._take(editor)
                return True
        return super().eventFilter(editor, event)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As high as its lines need."""
        cell = QRect(0, 0, self._view.columnWidth(index.column()) - 1, self._look.px(10))
        lines = self._lines(cell, index)
        return QSize(cell.width(), len(lines) * QFontMetrics(self._look.font()).lineSpacing() + self._look.px(0.8))

    def is_cut(self, index: Index) -> bool:
        """Whether a cell shows less than stands in it."""
        cell = QRect(0, 0, self._view.columnWidth(index.column()) - 1, self._look.px(10))
        return self._lines(cell, index)[-1].endswith("…")

    def _lines(self, cell: QRect, index: Index) -> list[str]:
        """The words of a cell in lines; the last that there is room for says that there are more."""
        return self._broken(str(index.data(Qt.ItemDataRole.DisplayRole)), self._room(cell, index).width())

    def _break(self, text: str, wide: int) -> list[str]:
        font = self._look.font()
        layout, lines = QTextLayout(text, font), list[str]()
        option = QTextOption()
        option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
        layout.setTextOption(option)
        layout.beginLayout()
        while (line := layout.createLine()).isValid():
            line.setLineWidth(wide)
            if len(lines) == MOST_LINES - 1 and line.textStart() + line.textLength() < len(text):
                rest = text[line.textStart() :]
                lines.append(QFontMetrics(font).elidedText(rest, Qt.TextElideMode.ElideRight, wide))
                break
            lines.append(text[line.textStart() : line.textStart() + line.textLength()].rstrip())
        layout.endLayout()
        return lines or [""]

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        super().paint(painter, option, index)  # the ground; the words wrap where Qt's own would not
        colours, px = self._look.colours, self._look.px
        text, reason = str(index.data(Qt.ItemDataRole.DisplayRole)), index.data(REASON)
        quiet = text == "no" or (text == NEEDED and not index.data(Qt.ItemDataRole.EditRole))
        painter.save()
        if colour := index.data(COLOUR):
            area = option.rect
            patch = QRect(area.left() + px(0.5), area.center().y() - px(0.5), px(1), px(1))
            painter.fillRect(patch, colour)
            painter.setPen(QPen(QColor(colours.line), 1))
            painter.drawRect(patch.adjusted(0, 0, -1, -1))
        painter.setFont(self._look.font())
        painter.setPen(QColor(colours.held if reason else colours.quiet if quiet else colours.ink))
        side = (
            Qt.AlignmentFlag.AlignRight if self._view.entries.is_number(index.column()) else Qt.AlignmentFlag.AlignLeft
        )
        lines = "\n".join(self._lines(option.rect, index))
        painter.drawText(self._room(option.rect, index), side | Qt.AlignmentFlag.AlignVCenter, lines)
        current = option.state & QStyle.StateFlag.State_HasFocus and self._view.hasFocus()
        if reason or current:
            painter.setPen(QPen(QColor(colours.held if reason else colours.focus), 2))
            painter.drawRect(option.rect.adjusted(1, 1, -1, -1))
        painter.restore()

    def initStyleOption(self, option: QStyleOptionViewItem, index: Index) -> None:
        super().initStyleOption(option, index)
        option.text = ""
        if self._view.rests and not self._view.hasFocus():
            option.state &= ~QStyle.StateFlag.State_Selected

    def _room(self, cell: QRect, index: Index) -> QRect:
        """Where the words of a cell stand."""
        px = self._look.px
        patch = px(1.4) if self._view.entries.column(index).colour else 0
        return cell.adjusted(px(0.5) + patch, 0, -px(0.5), 0)
