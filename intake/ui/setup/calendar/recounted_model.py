"""The open jobs whose dates were counted anew, one a row."""

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QFontMetrics

from intake.domain.job_number import read_number
from intake.domain.written_dates import short_day
from intake.ui.look import Look

if TYPE_CHECKING:
    from intake.desk.recounting import NotCounted, Recount, Recounted

HEADS = ("Job", "Practice", "Patient", "Must leave", "before", "Means")
_WIDEST = {0: "26 000000 00", 3: "Wed 30 Nov", 4: "Wed 30 Nov", 5: "in time again"}
"""The widest that stands in a column; the practice and the patient have what is left."""
_LEFT_OUT = (2, 4)
"""The columns that a narrow list does without: what stands there is told below the list too."""
_NEEDED = 14
"""The width that the practice and the patient need, in heights of text."""


class RecountedModel(QAbstractTableModel):
    """Jobs with other dates, then those that could not be counted."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._rows: list[Recount | NotCounted] = []

    def show_recounted(self, recounted: "Recounted") -> None:
        """Shows other jobs."""
        self.beginResetModel()
        self._rows = [*recounted.changed, *recounted.not_counted]
        self.endResetModel()

    def all_of(self, row: int) -> str:
        """Everything that is to be said of a job."""
        from intake.desk.recounting import NotCounted

        if not 0 <= row < len(self._rows):
            return ""
        each = self._rows[row]
        number, kind = read_number(each.job.number).shown, each.job.category_name
        return f"{number}, {kind}: {each.why if isinstance(each, NotCounted) else _changes(each)}"

    def widths(self, look: Look, whole: int) -> list[int]:
        """The widths of the columns, within a whole width; 0 for one that is left out."""
        metrics = QFontMetrics(look.font())
        widths = {column: metrics.horizontalAdvance(text) + look.px(1.7) for column, text in _WIDEST.items()}
        if (left := whole - sum(widths.values())) >= look.px(_NEEDED):
            widths |= {1: round(left * 0.62), 2: left - round(left * 0.62)}
        else:
            widths |= dict.fromkeys(_LEFT_OUT, 0)
            widths[1] = max(look.px(4), whole - sum(widths.values()))
        return [widths[column] for column in range(len(HEADS))]

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008 - Qt's own
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008 - Qt's own
        return 0 if parent.isValid() else len(HEADS)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        shown = role == Qt.ItemDataRole.DisplayRole and orientation == Qt.Orientation.Horizontal
        return HEADS[section] if shown else None

    def data(self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if role == Qt.ItemDataRole.DisplayRole:
            return _cells(self._rows[index.row()])[index.column()]
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self.all_of(index.row()) if index.column() == 0 else _cells(self._rows[index.row()])[index.column()]
        return None


def _cells(each: "Recount | NotCounted") -> tuple[str, ...]:
    from intake.desk.recounting import NotCounted

    job = each.job
    patient = " · ".join(filter(None, (job.patient_label, job.patient_reference)))
    before = short_day(job.deadlines.must_leave) if job.deadlines is not None else "no date"
    head = read_number(job.number).shown, job.practice_name, patient
    if isinstance(each, NotCounted):
        return (*head, before, before, "not counted")
    means = "became late" if each.became_late else "in time again" if each.holds_again else each.dates.outlook
    return (*head, short_day(each.dates.must_leave), before, means)


def _changes(each: "Recount") -> str:
    from intake.desk.recount_words import changes_of

    return f"{changes_of(each)}."
