"""Where everything of the strip of days stands, in pixels."""

from datetime import date
from functools import cached_property
from math import ceil

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFontMetricsF

from intake.ui.look import Look
from intake.ui.marks import Label, lay_labels
from intake.ui.strip_view import StripView


class Geometry:
    """The places of one strip, for a width.

    Args:
        look: For fonts and lengths.
        view: What is shown.
        width: The width of the widget in pixels.
    """

    def __init__(self, look: Look, view: StripView, width: float) -> None:
        self.look, self.view = look, view
        self.days = view.days
        self.margin = float(look.px(1))
        self.room = max(1.0, width - 2 * self.margin)
        self.cell = self.room / len(self.days)
        self.small = QFontMetricsF(look.font("small"))
        self.line = float(ceil(self.small.height()))
        self.row = float(ceil(self.line * 1.3))
        self.side = float(look.px(0.8))

    @cached_property
    def slack(self) -> QRectF:
        """Where the sentence on the slack stands."""
        metrics, area = QFontMetricsF(self.look.font(bold=True)), QRectF(0, 0, self.room, 10_000)
        return self._across(0, ceil(metrics.boundingRect(area, Qt.TextFlag.TextWordWrap, self.view.slack).height()))

    @cached_property
    def months(self) -> QRectF:
        """Where the months stand."""
        return self._across(self.slack.bottom() + self.look.px(0.4), self.line)

    @cached_property
    def dates(self) -> QRectF:
        """Where weekdays and dates stand, in two lines."""
        return self._across(self.months.bottom(), 2 * self.line)

    @cached_property
    def band(self) -> QRectF:
        """The band of cells."""
        return self._across(self.dates.bottom() + self.look.px(0.2), self.look.px(1.3))

    @cached_property
    def labels(self) -> list[Label]:
        """Where the labels of the marks stand, in the order of the marks."""
        places = [
            ((self.days.index(day) + 0.5) * self.cell, self.small.horizontalAdvance(words))
            for _, day, words in self.view.marks
        ]
        return lay_labels(places, self.room, self.look.px(0.7), self.side / 2)

    def label_area(self, label: Label) -> QRectF:
        """The whole label: its shape and its words."""
        top = self._labels_top + label.row * self.row
        return QRectF(self.margin + label.left, top, label.right - label.left, self.row)

    @cached_property
    def key(self) -> QRectF:
        """Where it is said what the cells mean, below the last label."""
        last = max(label.row for label in self.labels)
        return self._across(self._labels_top + (last + 1) * self.row + self.look.px(0.2), self.row)

    @cached_property
    def closures(self) -> QRectF:
        """Where the named closures are written, at the lower end."""
        words = self.view.named_closures()
        top = self.key.bottom()
        area = QRectF(self.margin, top, self.room, 10_000)
        height = self.small.boundingRect(area, Qt.TextFlag.TextWordWrap, words).height() if words else 0
        return self._across(top, height)

    @cached_property
    def height(self) -> int:
        """The height of the whole strip."""
        return round(self.closures.bottom() + self.look.px(0.4))

    def cell_of(self, day: date) -> QRectF:
        """The cell of a day in the band."""
        return QRectF(self.margin + self.days.index(day) * self.cell, self.band.top(), self.cell, self.band.height())

    def day_at(self, x: float) -> date | None:
        """The day whose cell lies at this distance from the left; None outside the strip."""
        at = int((x - self.margin) // self.cell)
        return self.days[at] if 0 <= at < len(self.days) else None

    @cached_property
    def _labels_top(self) -> float:
        return self.band.bottom() + self.look.px(0.6)

    def _across(self, top: float, height: float) -> QRectF:
        return QRectF(self.margin, top, self.room, height)
