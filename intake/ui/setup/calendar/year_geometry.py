"""Where everything of the picture of a year stands, in pixels."""

import calendar
from datetime import date, timedelta
from functools import cached_property
from math import ceil

from PySide6.QtCore import QRectF
from PySide6.QtGui import QFontMetricsF

from intake.ui.look import Look

_WEEKS = 6
"""So many rows a month needs at the most."""
_MOST = 4
"""So many months stand side by side at the most."""
_PADDING = 0.35
"""Left and right of a day, in heights of text."""


class YearGeometry:
    """The places of the months and days, for a width.

    Args:
        look: For fonts and lengths.
        year: The year.
        width: The width of the picture.
    """

    def __init__(self, look: Look, year: int, width: float) -> None:
        self.year = year
        small = QFontMetricsF(look.font("small"))
        self.line = float(ceil(small.height() * 1.15))
        self.cell = float(ceil(small.horizontalAdvance("30") + look.px(_PADDING)))
        self.gap = float(look.px(0.9))
        each = 7 * self.cell + self.gap
        self.columns = next(n for n in (_MOST, 3, 2, 1) if n == 1 or n * each - self.gap <= width)
        self.month_height = (_WEEKS + 2) * self.line + look.px(0.6)

    @property
    def width(self) -> float:
        """The width of all months."""
        return self.columns * (7 * self.cell + self.gap) - self.gap

    @property
    def height(self) -> int:
        """The height of all months."""
        return ceil(ceil(12 / self.columns) * self.month_height)

    @staticmethod
    def least_width(look: Look) -> int:
        """The width of one month."""
        return ceil(7 * ceil(QFontMetricsF(look.font("small")).horizontalAdvance("30") + look.px(_PADDING)))

    @staticmethod
    def usual_width(look: Look, columns: int = _MOST) -> int:
        """The width of so many months."""
        return ceil(columns * (YearGeometry.least_width(look) + look.px(0.9)))

    def title_of(self, month: int) -> QRectF:
        """Where a month's name stands."""
        across, down = (month - 1) % self.columns, (month - 1) // self.columns
        return QRectF(across * (7 * self.cell + self.gap), down * self.month_height, 7 * self.cell, self.line)

    def month_of(self, month: int) -> QRectF:
        """Where a whole month stands."""
        title = self.title_of(month)
        return QRectF(title.left(), title.top(), title.width(), self.month_height)

    def weekday_of(self, month: int, weekday: int) -> QRectF:
        """Where the letter of a weekday stands over its column."""
        title = self.title_of(month)
        return QRectF(title.left() + weekday * self.cell, title.bottom(), self.cell, self.line)

    def cell_of(self, day: date) -> QRectF:
        """The cell of a day."""
        before = calendar.weekday(day.year, day.month, 1)
        at = before + day.day - 1
        over = self.weekday_of(day.month, at % 7)
        return over.translated(0, (1 + at // 7) * self.line)

    def day_at(self, x: float, y: float) -> date | None:
        """The day whose cell lies there; None where there is none."""
        return next((day for day in self.days if self.cell_of(day).contains(x, y)), None)

    @cached_property
    def days(self) -> list[date]:
        """Every day of the year."""
        first = date(self.year, 1, 1)
        return [first + timedelta(days=n) for n in range((date(self.year, 12, 31) - first).days + 1)]
