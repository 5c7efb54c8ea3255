"""The hours of the day as bars: what arrived, in it what was booked, and over it how much was handed over."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize, Qt, Slot
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from intake.ui.look import Look

if TYPE_CHECKING:
    from intake.documents.day_sheet_content import HourBar

WIDEST, LEAST = 4.2, 2.0
"""The room of an hour at the most and at the least, in heights of text."""
LEGEND = "By hour: arrived (outline), booked (filled), handed over (the number above)"
CENTRED = Qt.AlignmentFlag.AlignCenter


class HourBars(QWidget):
    """Shows the hours in which something happened.

    Args:
        look: For colours, fonts and lengths.
        parent: The owner.
    """

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._hours: Sequence[HourBar] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("The day by the hour")
        look.changed.connect(self._on_look)

    def show_hours(self, hours: "Sequence[HourBar]") -> None:
        """Shows these hours; none leaves the place out."""
        self._hours = hours
        self.setVisible(bool(hours))
        said = "; ".join(
            f"{hour.hour} o’clock: {hour.arrived} arrived, {hour.booked} booked, {hour.handed_over} handed over"
            for hour in hours
        )
        self.setAccessibleDescription(said)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self._look.px(24), self._look.px(7.6))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._look.px(16), self._look.px(7.6))

    @Slot()
    def _on_look(self) -> None:
        self.updateGeometry()
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self._hours:
            return
        painter = QPainter(self)
        colours, px = self._look.colours, self._look.px
        small = self._look.font("small")
        painter.setFont(small)
        line = QFontMetricsF(small).height()
        each = min(self.width() / len(self._hours), px(WIDEST))
        top, ground = line * 2.3, self.height() - 2 * line
        most = max(max(hour.arrived, hour.booked) for hour in self._hours) or 1
        painter.setPen(QColor(colours.quiet))
        painter.drawText(QRectF(0, 0, self.width(), line), Qt.AlignmentFlag.AlignLeft, self._fitting(LEGEND))
        for at, hour in enumerate(self._hours):
            area = QRectF(at * each + px(0.1), top, each - px(0.3), ground - top)
            self._bar(painter, area, hour.arrived / most, None)
            inner = area.adjusted(area.width() * 0.22, 0, -area.width() * 0.22, 0)
            self._bar(painter, inner, hour.booked / most, QColor(colours.focus))
            painter.setPen(QColor(colours.ink))
            if hour.handed_over:
                painter.drawText(QRectF(at * each, line * 1.15, each, line), CENTRED, str(hour.handed_over))
            painter.drawText(QRectF(at * each, ground, each, line), CENTRED, f"{hour.hour:02}")
            painter.setPen(QColor(colours.quiet))
            numbers = f"{hour.arrived}/{hour.booked}"
            if QFontMetricsF(small).horizontalAdvance(numbers) <= each:
                painter.drawText(QRectF(at * each, ground + line, each, line), CENTRED, numbers)
        painter.setPen(QPen(QColor(colours.line), 1))
        painter.drawLine(0, int(ground), int(each * len(self._hours)), int(ground))

    def _bar(self, painter: QPainter, area: QRectF, share: float, fill: QColor | None) -> None:
        if not share:
            return
        high = max(1.0, area.height() * share)
        bar = QRectF(area.left(), area.bottom() - high, area.width(), high)
        if fill is None:
            painter.fillRect(bar, QColor(self._look.colours.surface))
            painter.setPen(QPen(QColor(self._look.colours.line), 1))
            painter.drawRect(bar)
        else:
            painter.fillRect(bar, fill)

    def _fitting(self, text: str) -> str:
        metrics = QFontMetricsF(self._look.font("small"))
        return metrics.elidedText(text, Qt.TextElideMode.ElideRight, self.width())
