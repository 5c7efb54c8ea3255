"""Which fields stand side by side: the rows of the form."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from intake.ui.arrivals.field_words import kind_of_field
from intake.ui.look import Look

COLUMNS = 12
BETWEEN = 0.5
"""Between rows, in heights of text: what is said under a field is nearer to it than to the next label."""
_WIDTHS = {
    "prescriber": 6,
    "patient.label": 3,
    "patient.reference": 3,
    "practice.address": 8,
    "practice.postcode": 4,
    "practice.telephone": 4,
    "practice.email": 4,
    "practice.code": 4,
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
_WITH_FOUND = dict.fromkeys(("prescriber", "patient.label", "patient.reference", "patient.found"), 3)
"""Instead, where the name on the bag or tray is asked for: the row stays one row."""
_WITH_AGE = {"hygiene": 5, "patient.allergies": 4, "patient.under_18": 3}
"""Instead, where the patient's age is asked for."""
_NARROW = {3: 6, 4: 6, 5: 6, 6: 12, 8: 12}
_BEGINS = ("prescriber", "appliance", "hygiene", "appointment")
"""A row begins here, so that what belongs together stands together."""


def rows_of(places: Sequence[str], narrow: bool) -> list[list[tuple[str, int, int]]]:
    """The fields row by row, each with its first column and its width in columns, of `COLUMNS`.

    Args:
        places: The fields in the order of the paper.
        narrow: Whether there is room for two short fields beside each other at most.
    """
    rows: list[list[tuple[str, int, int]]] = []
    widths, free = dict(_WIDTHS), 0
    for place, instead in (("patient.under_18", _WITH_AGE), ("patient.found", _WITH_FOUND)):
        widths |= instead if place in places else {}
    for place in places:
        kind = kind_of_field(place)
        width = widths.get(kind, COLUMNS)
        width = _NARROW.get(width, width) if narrow else width
        if kind in _BEGINS or width > free:
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
            placed = [(widget, round(at * column), round((at + width) * column) - gap) for widget, at, width in row]
            height = max(_height(widget, right - left) for widget, left, right in placed)
            for widget, left, right in placed:
                widget.setGeometry(side + left, top, right - left, height)
            top += height + self._look.px(BETWEEN)
        self.setMinimumHeight(max(0, top - self._look.px(BETWEEN)))


def _height(widget: QWidget, width: int) -> int:
    """The height that a widget needs at a width; most need the same at any."""
    needed = widget.heightForWidth(width)
    return needed if needed >= 0 else widget.sizeHint().height()
