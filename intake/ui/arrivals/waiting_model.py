"""What waits, as rows: one plain value a row, so that a thousand of them stay quick."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from intake.domain.wording import counted
from intake.domain.written_dates import shown_moment

if TYPE_CHECKING:
    from intake.desk.arrivals import Waiting

ROW = Qt.ItemDataRole.UserRole
STREAMS = {"post": "post", "scan": "scan"}
STATES = {"held": "HOLD", "clear": "CLEAR", "unreadable": "UNREADABLE", "unfinished": "UNFINISHED"}
NAMELESS = "Practice not known"


class WaitingModel(QAbstractListModel):
    """The rows of what waits.

    Args:
        parent: The owner.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[Waiting, ...] = ()

    @property
    def rows(self) -> "tuple[Waiting, ...]":
        """The rows, most pressing first."""
        return self._rows

    def show_rows(self, rows: "Sequence[Waiting]") -> None:
        """Shows these rows in place of those before."""
        if tuple(rows) == self._rows:
            return
        self.beginResetModel()
        self._rows = tuple(rows)
        self.endResetModel()

    def without(self, arrival_id: int) -> None:
        """Takes one row away; the store knows already, and the next reading confirms it."""
        at = self.row_of(arrival_id)
        if at is not None:
            self.beginRemoveRows(QModelIndex(), at, at)
            self._rows = (*self._rows[:at], *self._rows[at + 1 :])
            self.endRemoveRows()

    def row_of(self, arrival_id: int | None) -> int | None:
        """The row of an arrival; None when it does not wait."""
        return next((at for at, row in enumerate(self._rows) if row.arrival_id == arrival_id), None)

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008  # Qt's own default
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or index.row() >= len(self._rows):
            return None
        row = self._rows[index.row()]
        if role == ROW:
            return row
        if role == Qt.ItemDataRole.DisplayRole:
            return name_of(row)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return said_of(row)
        return None


def name_of(row: "Waiting") -> str:
    """What a row is called: its practice, else the file that it came in."""
    return row.practice or row.source or NAMELESS


def came_of(row: "Waiting") -> str:
    """How a row came, in which parcel, or that its scans are still being checked, in a word or two."""
    if row.parcel is not None:
        return row.parcel.shown
    return "checking …" if row.unchecked else STREAMS[row.stream]


def parcel_of(row: "Waiting") -> str:
    """Why a row of an opened parcel stands first, in a sentence; empty where it came in none."""
    if row.parcel is None:
        return ""
    name = row.parcel.label or row.parcel.shown
    return f"Of the opened parcel {name}: first, until all of it has a case or a reason."


def checked_of(row: "Waiting") -> str:
    """How many scans of a row are still being checked, in words; empty where none is."""
    if not row.unchecked:
        return ""
    return f"{counted(row.unchecked, 'scan')} {'is' if row.unchecked == 1 else 'are'} still being checked"


def said_of(row: "Waiting") -> str:
    """A row in words, for those who hear it."""
    came = f"of parcel {row.parcel.label or row.parcel.shown}" if row.parcel else STREAMS[row.stream], checked_of(row)
    parts = (STATES[row.state], name_of(row), row.patient, row.appliances, *came)
    return ", ".join((*filter(None, parts), f"arrived {shown_moment(row.arrived)}"))
