"""The cells of the picture of the load, and what each of them says."""

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from intake.domain.written_dates import DAYS, MONTHS, shown_day
from intake.ui.day.load_asked import cell_words
from intake.ui.plain import plain_tip

if TYPE_CHECKING:
    from intake.desk.load import Load, LoadCell, LoadLine

CELL = Qt.ItemDataRole.UserRole
_SAID = (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole)


class LoadModel(QAbstractTableModel):
    """The cells of the picture; a closed day has a column too."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.load: Load | None = None
        self._open: list[int | None] = []

    def show_load(self, load: "Load") -> None:
        """Takes another load."""
        self.beginResetModel()
        self.load, self._open, at = load, [], 0
        for day in load.days:
            self._open.append(None if day.closed else at)
            at += not day.closed
        self.endResetModel()

    def is_closed(self, column: int) -> bool:
        """Whether a column is a day on which the lab does not work."""
        return self._open[column] is None

    def line(self, row: int) -> "LoadLine":
        """The bench of a row."""
        assert self.load is not None
        return self.load.benches[row]

    def cell(self, index: QModelIndex | QPersistentModelIndex) -> "LoadCell | None":
        """What is asked in a cell; None on a closed day."""
        at = self._open[index.column()] if index.isValid() else None
        return None if at is None else self.line(index.row()).cells[at]

    def scale(self, row: int) -> int:
        """How many jobs the highest bar of a row stands for."""
        return max((len(cell.asked) + len(cell.held) for cell in self.line(row).cells), default=0)

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex | None = None) -> int:
        return len(self.load.benches) if self.load is not None and not (parent and parent.isValid()) else 0

    def columnCount(self, parent: QModelIndex | QPersistentModelIndex | None = None) -> int:
        return len(self.load.days) if self.load is not None and not (parent and parent.isValid()) else 0

    def flags(self, index: QModelIndex | QPersistentModelIndex) -> Qt.ItemFlag:
        if self.is_closed(index.column()):
            return Qt.ItemFlag.NoItemFlags
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable

    def data(self, index: QModelIndex | QPersistentModelIndex, role: int = 0) -> Any:
        if self.load is None or not index.isValid():
            return None
        cell = self.cell(index)
        if role == CELL:
            return cell
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            words = cell_words(self.line(index.row()), cell) if cell else self._closed(index.column())
            return plain_tip(words) if role == Qt.ItemDataRole.ToolTipRole else words
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = 0) -> Any:
        if self.load is None:
            return None
        if orientation == Qt.Orientation.Vertical:
            if role in _SAID:
                return f"{self.line(section).bench}\n{_standing(self.line(section))}"
            return None
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole) and self.is_closed(section):
            words = self._closed(section)
            return plain_tip(words) if role == Qt.ItemDataRole.ToolTipRole else words
        if role in _SAID and not self.is_closed(section):
            day = self.load.days[section].day
            return f"{DAYS[day.weekday()][:3]}\n{day.day} {MONTHS[day.month - 1][:3]}"
        return None

    def _closed(self, column: int) -> str:
        assert self.load is not None
        day = self.load.days[column]
        return f"{shown_day(day.day)}: not worked ({day.closed})."


def _standing(line: "LoadLine") -> str:
    """What a bench can do, and how many jobs it cannot be done with in time."""
    if line.capacity is None:
        return "not counted"
    late = f", {line.late_count:,} late" if line.late else ""
    return f"{line.capacity:,} a day{late}"


def cell_lines(cell: "LoadCell") -> tuple[str, ...]:
    """What is written in a cell: how many are asked, and under it how many too many, or held."""
    if not cell.asked and not cell.held:
        return ()
    over, held = f"{cell.over:,} over" if cell.over else "", f"{len(cell.held):,} held" if cell.held else ""
    return (f"{len(cell.asked):,}", over or held)
