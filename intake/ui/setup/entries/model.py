"""The cells of a list of the setup: what stands in them, and what typing into one does to the draft."""

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal, Slot
from PySide6.QtGui import QColor

from intake.errors import IntakeError
from intake.setup.entry_tables import Column, Table, Texts
from intake.setup.trying import Change, refusal
from intake.setup.typed import Kind
from intake.ui.setup.draft import Draft

REASON = Qt.ItemDataRole.UserRole
"""Why what is typed in a cell does not count; empty where it does."""
COLOUR = Qt.ItemDataRole.UserRole + 1
"""The colour that stands in a cell, to be shown beside its value."""
Index = QModelIndex | QPersistentModelIndex
_TOP = QModelIndex()
OPENING = "The data are still being opened. Try again in a moment."
NEEDED = "needed"


class EntryModel(QAbstractTableModel):
    """A list of the setup.

    What a cell refuses stays in it with the reason, and the draft keeps its last good value; it is tried again when
    something else of the list changes. A new entry stays here until all that it needs is there.

    Args:
        table: The list's columns.
        draft: The setup while it is being changed.
        parent: The owner.
    """

    added = Signal(int)
    """The row of an entry that has come into the setup."""
    said = Signal(str)
    """A sentence for the person at the desk."""

    def __init__(self, table: Table, draft: Draft, parent: QObject) -> None:
        super().__init__(parent)
        self.table, self._draft = table, draft
        self._rows: Sequence[Any] = ()
        self._refused: dict[tuple[str, str], tuple[str, str]] = {}
        self.begun: Texts | None = None
        self._warned = ""

    def show_setup(self) -> None:
        """Shows the list as the draft has it."""
        before, self._rows = len(self._rows), self.table.rows(self._draft.lab)
        keys = {self._key(row) for row in range(len(self._rows))} | {""}
        self._refused = {cell: told for cell, told in self._refused.items() if cell[0] in keys}
        if len(self._rows) != before:
            self.beginResetModel()
            self.endResetModel()
        elif self._rows:
            self.dataChanged.emit(self.index(0, 0), self.index(self.rowCount() - 1, self.columnCount() - 1))

    def entry(self, row: int) -> Any:
        """The entry of a row; None of one that is begun."""
        return self._rows[row] if 0 <= row < len(self._rows) else None

    def kind(self, index: Index) -> Kind:
        """How the values of a cell are typed."""
        return self.table.kind(self._column(index), self._draft.lab)

    def column(self, index: Index) -> Column:
        """The column of a cell."""
        return self._column(index)

    def is_number(self, column: int) -> bool:
        """Whether the values of a column line up at the right."""
        return self.table.kind(self.table.columns[column], self._draft.lab).look == "number"

    def reason(self, index: Index) -> str:
        """Why what is typed in a cell does not count."""
        return self._refused.get((self._key(index.row()), self._column(index).name), ("", ""))[1]

    @property
    def still_needed(self) -> list[str]:
        """What the entry that is begun has to have yet."""
        texts = self.begun or {}
        missing = (column for column in self.table.columns if column.needed and not texts.get(column.name, "").strip())
        return [column.title for column in missing] if self.begun is not None else []

    def begin(self, like: int) -> int:
        """Begins a new entry, which takes what makes sense from the row that is chosen; gives its row."""
        if not self._draft.ready:
            self.said.emit(OPENING)
        elif self.begun is None:
            self.beginInsertRows(QModelIndex(), len(self._rows), len(self._rows))
            self.begun = self.table.begun(self._draft.lab, self.entry(like))
            self.endInsertRows()
        return len(self._rows)

    def discard(self) -> None:
        """Leaves the entry that is begun."""
        if self.begun is not None:
            self.beginRemoveRows(QModelIndex(), len(self._rows), len(self._rows))
            self.begun = None
            self._refused = {cell: told for cell, told in self._refused.items() if cell[0]}
            self.endRemoveRows()

    def take_back(self, index: Index) -> None:
        """Takes what a cell refused out of it again."""
        self._refused.pop((self._key(index.row()), self._column(index).name), None)
        self.dataChanged.emit(index, index)

    def take_out(self, row: int) -> None:
        """Takes an entry out; where something else goes with it, it says so first, and does it when told again."""
        if row >= len(self._rows):
            self.discard()
            return
        going = self.table.going(self._draft.lab, row)
        why = going.refused or refusal(self._draft.text, self._draft.lab, going.change)
        if why:
            self.said.emit(why)
        elif going.also and self._warned != self._key(row):
            self._warned = self._key(row)
            self.said.emit(f"{going.also} Take it out once more to do so.")
        else:
            self._warned = ""
            self._draft.change(going.change)
            self.said.emit(f"The {self.table.one} is taken out.")

    @Slot()
    def forget_warning(self) -> None:
        """Another entry is chosen: a warning about taking one out no longer holds."""
        self._warned = ""

    def move(self, row: int, to: int) -> bool:
        """Moves an entry up or down."""
        if not self.table.can_move or not 0 <= to < len(self._rows) or row >= len(self._rows):
            return False
        self._draft.move((*self.table.place, row), to)
        return True

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        if role != Qt.ItemDataRole.EditRole:
            return False
        column, text = self._column(index), str(value).strip()
        cell = (self._key(index.row()), column.name)
        if index.row() >= len(self._rows):
            self._type_into_begun(column, text)
        elif text != self._shown(index.row(), column) or cell in self._refused:
            self._refused.pop(cell, None)
            if why := self._tried(index.row(), column, text):
                self._refused[cell] = (text, why)
            else:
                self._try_again()
        self.dataChanged.emit(index, index)
        return True

    def _tried(self, row: int, column: Column, text: str) -> str:
        """Changes a cell in the draft, or says why not."""
        lab = self._draft.lab
        try:
            value = self.table.read(column, text, lab, row)
        except IntakeError as problem:
            return str(problem)
        return self._changed(self.table.changing(column, row, value, lab))

    def _changed(self, change: Change) -> str:
        if not self._draft.ready:
            return OPENING
        why = refusal(self._draft.text, self._draft.lab, change)
        if not why:
            self._draft.change(change)
        return why

    def _try_again(self) -> None:
        """What another cell refused may be right by now: the usual time of a material once its limit is longer."""
        columns = {column.name: column for column in self.table.columns}
        rows = {self._key(row): row for row in range(len(self._rows))}
        for (key, name), (text, _) in list(self._refused.items()):
            if key in rows and not self._tried(rows[key], columns[name], text):
                self._refused.pop((key, name), None)

    def _type_into_begun(self, column: Column, text: str) -> None:
        assert self.begun is not None, "there is no row behind the entries but one that is begun"
        self.begun[column.name] = text
        self._refused.pop(("", column.name), None)
        try:
            if text or column.needed:
                self.table.read(column, text, self._draft.lab)
        except IntakeError as problem:
            self._refused["", column.name] = (text, str(problem))
        if not self.still_needed and not any(key == "" for key, _ in self._refused):
            self._add()

    def _add(self) -> None:
        assert self.begun is not None, "only what is begun is added"
        texts = self.begun
        try:
            why = self._added(texts)
        except IntakeError as problem:
            why = str(problem)
        if why:
            self.said.emit(why)

    def _added(self, texts: Texts) -> str:
        change = self.table.adding(texts, self._draft.lab)
        why = refusal(self._draft.text, self._draft.lab, change)
        if why:
            return why
        self.discard()
        self._draft.change(change)
        self.added.emit(len(self._rows) - 1)
        return ""

    def _column(self, index: Index) -> Column:
        return self.table.columns[index.column()]

    def _key(self, row: int) -> str:
        """Tells an entry from the others; empty for one that is begun."""
        return str(getattr(self._rows[row], self.table.key)) if row < len(self._rows) else ""

    def _shown(self, row: int, column: Column) -> str:
        if row >= len(self._rows):
            return (self.begun or {}).get(column.name, "")
        return self.table.shown(column, self._rows[row], self._draft.lab)

    def _text(self, index: Index) -> str:
        refused = self._refused.get((self._key(index.row()), self._column(index).name))
        return refused[0] if refused else self._shown(index.row(), self._column(index))

    def rowCount(self, parent: Index = _TOP) -> int:
        return 0 if parent.isValid() else len(self._rows) + (self.begun is not None)

    def columnCount(self, parent: Index = _TOP) -> int:
        return 0 if parent.isValid() else len(self.table.columns)

    def flags(self, index: Index) -> Qt.ItemFlag:
        return super().flags(index) | Qt.ItemFlag.ItemIsEditable

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return self.table.columns[section].title
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if self.is_number(section) else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        text, column = self._text(index), self._column(index)
        if role == Qt.ItemDataRole.EditRole:
            return text
        if role == Qt.ItemDataRole.DisplayRole:
            needed = index.row() >= len(self._rows) and column.needed and not text
            return NEEDED if needed else text
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{column.title}: {text or 'empty'}{', refused' if self.reason(index) else ''}"
        if role in (Qt.ItemDataRole.AccessibleDescriptionRole, REASON):
            return self.reason(index)
        if role == COLOUR and column.colour and QColor.isValidColorName(text):
            return QColor(text)
        return None
