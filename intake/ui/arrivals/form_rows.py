"""Which fields stand side by side: the rows of the form."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from intake.ui.arrivals.field_words import kind_of_field
from intake.ui.look import Look

COLUMNS = 12
_WIDTHS = {
    "prescriber": 6,
    "patient.label": 3,
    "patient.reference": 3,
    "practice.postcode": 3,
    "practice.telephone": 5,
    "practice.email": 4,
    "patient.under_18": 3,
    "hygiene": 6,
    "patient.allergies": 6,
    "appointment": 6,
    "arrived": 6,
    "teeth": 4,
    "thickness_mm": 4,
    "bite_opening_mm": 4,
    "shade": 4,
    "material": 4,
    "colour": 4,
    "pontics": 4,
    "clasps": 4,
    "springs": 4,
}
"""In columns; what is not named takes the whole row."""
_NARROW = {3: 6, 4: 6, 5: 6, 6: 12}
_BEGINS = ("prescriber", "practice.postcode", "appliance", "patient.under_18", "hygiene", "appointment")
"""A row begins here, so that what belongs together stands together."""


def rows_of(places: Sequence[str], narrow: bool) -> list[list[tuple[str, int, int]]]:
    """The fields row by row, each with its first column and its width in columns, of `COLUMNS`.

    Args:
        places: The fields in the order of the paper.
        narrow: Whether there is room for two short fields beside each other at most.
    """
    rows: list[list[tuple[str, int, int]]] = []
    free = 0
    for place in places:
        kind = kind_of_field(place)
        width = _WIDTHS.get(kind, COLUMNS)
        width = _NARROW.get(width, width) if narrow else width
        begins = kind in _BEGINS and not (kind == "hygiene" and "patient.under_18" in places)
        if begins or width > free:
            rows.append([])
            free = COLUMNS
        rows[-1].append((place, COLUMNS - free, width))
        free -= width
    return rows


class Rows(QWidget):
    """Puts widgets in rows of `COLUMNS` equal columns, whatever is in them, and is as high as they need.

    Args:
        look: For lengths.
        parent: The owner.
    """

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self._rows: list[list[tuple[QWidget, int, int]]] = []

    def show_rows(self, rows: Sequence[Sequence[tuple[QWidget, int, int]]]) -> None:
        """Shows these widgets, each with its first column and its width in columns; those of before are hidden."""
        shown = {widget for row in rows for widget, _, _ in row}
        for widget in {widget for row in self._rows for widget, _, _ in row} - shown:
            widget.hide()
        self._rows = [list(row) for row in rows]
        self._arrange()
        for widget in shown:
            widget.show()

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:  # what a widget says has become longer or shorter
            self._arrange()
        return super().event(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        gap = side = self._look.px(0.8)
        column = (self.width() - 2 * side + gap) / COLUMNS
        top = 0
        for row in self._rows:
            placed = [(widget, side + round(at * column), round(width * column) - gap) for widget, at, width in row]
            height = max(_height(widget, width) for widget, _, width in placed)
            for widget, left, width in placed:
                widget.setGeometry(left, top, width, height)
            top += height + self._look.px(0.1)
        self.setMinimumHeight(top + self._look.px(0.4))


def _height(widget: QWidget, width: int) -> int:
    """The height that a widget needs at a width; most need the same at any."""
    needed = widget.heightForWidth(width)
    return needed if needed >= 0 else widget.sizeHint().height()
