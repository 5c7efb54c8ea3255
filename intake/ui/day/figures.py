"""The day's numbers, large enough for arm's length, and the table of streams and categories under them."""

from collections.abc import Sequence
from math import ceil
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from intake.ui.colour_row import Patch
from intake.ui.look import Look
from intake.ui.plain import Words

if TYPE_CHECKING:
    from intake.ui.day.asked import ShareRow

EACH = 6
"""The least room of a number with its word, in heights of text."""
COLUMNS = ("", "", "Arrived", "Booked", "Jobs", "Clear", "Held", "Handed over")
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


class Figures(QWidget):
    """Shows numbers side by side, in rows of as many as have room.

    Args:
        look: For lengths.
        parent: The owner.
    """

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._cells: list[QWidget] = []
        self._numbers: list[Words] = []
        self._words: list[Words] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        look.changed.connect(self._fit)

    def show_figures(self, figures: Sequence[tuple[str, str]]) -> None:
        """Shows these numbers with their words."""
        while len(self._cells) < len(figures):
            self._add_cell()
        for (number, words), shown, said in zip(figures, self._numbers, self._words, strict=True):
            shown.setText(number)
            shown.setAccessibleName(f"{number} {words}")
            said.setText(words)
        self._fit()

    def _add_cell(self) -> None:
        cell = QWidget(self)
        number, words = Words("", size="arm", bold=True), Words("", size="small", ink="quiet")
        column = QVBoxLayout(cell)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(number)
        column.addWidget(words)
        self._cells.append(cell)
        self._numbers.append(number)
        self._words.append(words)

    @Slot()
    def _fit(self) -> None:
        each = max([self._look.px(EACH), *(cell.sizeHint().width() for cell in self._cells)])
        count = max(2, len(self._cells))
        fitting = max(2, min(count, self.width() // each))
        across = ceil(count / ceil(count / fitting))  # rows of one length
        for at, cell in enumerate(self._cells):
            self._grid.addWidget(cell, at // across, at % across)
        for column in range(6):
            self._grid.setColumnStretch(column, int(column < across))
        self._grid.setVerticalSpacing(self._look.px(0.3))
        self._grid.setHorizontalSpacing(self._look.px(0.6))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()


class ShareTable(QWidget):
    """Shows streams and categories, a row each, with the box's colour before its name.

    Args:
        look: For lengths.
        parent: The owner.
    """

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._parts: list[QWidget] = []
        self._rows: Sequence[ShareRow] = ()
        self._grid = QGridLayout()
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addLayout(self._grid)
        self.setAccessibleName("Streams and categories")
        look.changed.connect(self._fit)
        self._fit()

    def show_rows(self, rows: "Sequence[ShareRow]") -> None:
        """Shows these rows."""
        if rows == self._rows:
            return
        self._rows = rows
        for part in self._parts:
            self._grid.removeWidget(part)
            part.deleteLater()
        self._parts = []
        if rows:
            for column, heading in enumerate(COLUMNS):
                self._put(Words(heading, size="small", ink="quiet"), 0, column)
        for at, row in enumerate(rows, start=1):
            self._show_row(at, row)

    def _show_row(self, at: int, row: "ShareRow") -> None:
        share = row.share
        if row.hex:
            patch = Patch(self._look)
            patch.show_colour(row.hex)
            patch.setFixedSize(self._look.px(1.4), self._look.px(1))
            self._put(patch, at, 0)
        name = Words(row.name, bold=row.is_stream)
        self._put(name, at, 1)
        came = (share.arrived, share.booked) if row.is_stream else ("", "")
        numbers = (*came, share.jobs, share.clear, share.held, share.handed_over)
        for column, number in enumerate(numbers, start=2):
            words = Words("" if number == "" else str(number), ink="ink" if number else "quiet", bold=row.is_stream)
            words.setAccessibleName(f"{row.name}, {COLUMNS[column]}: {number}")
            self._put(words, at, column)

    def _put(self, part: QWidget, row: int, column: int) -> None:
        where = RIGHT if column > 1 else Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        self._grid.addWidget(part, row, column, where)
        self._parts.append(part)

    @Slot()
    def _fit(self) -> None:
        self._grid.setHorizontalSpacing(self._look.px(0.8))
        self._grid.setVerticalSpacing(self._look.px(0.25))
        self._grid.setColumnStretch(1, 1)
        for patch in self.findChildren(Patch):
            patch.setFixedSize(self._look.px(1.4), self._look.px(1))
