"""What the marks of the picture of a year mean."""

from collections.abc import Collection

from PySide6.QtCore import QRectF, QSize, Qt, Slot
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from intake.domain.calendar_year import DayKind
from intake.ui.look import Look
from intake.ui.setup.calendar.words import KINDS
from intake.ui.setup.calendar.year_picture import paint_day


class YearKey(QWidget):
    """Shows one mark of each kind with its words, in as many lines as they need.

    Args:
        look: For colours, fonts and lengths.
        parent: The owner.
    """

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self._kinds: tuple[DayKind, ...] = ()
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        look.changed.connect(self._on_look)

    def show_kinds(self, kinds: Collection[str]) -> None:
        """Shows what these kinds of days are."""
        shown: tuple[DayKind, ...] = tuple(kind for kind in _ORDER if kind in kinds)
        if shown != self._kinds:
            self._kinds = shown
            self.setAccessibleName(", ".join(KINDS[kind] for kind in shown))
            self._on_look()

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        placed = self._placed(width)
        return round(placed[-1][1].bottom()) if placed else 0

    def sizeHint(self) -> QSize:
        width = max(self.width(), self._look.px(20))
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._look.px(10), self.heightForWidth(max(self.width(), self._look.px(10))))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for kind, mark in self._placed(self.width()):
            paint_day(painter, mark, "7", kind, self._look)
            painter.setFont(self._look.font("small"))
            painter.setPen(QColor(self._look.colours.quiet))
            words = QRectF(mark.right() + self._look.px(0.4), mark.top(), self.width(), mark.height())
            painter.drawText(words, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, KINDS[kind])

    def _placed(self, width: int) -> list[tuple[DayKind, QRectF]]:
        metrics, px = QFontMetrics(self._look.font("small")), self._look.px
        side, high = metrics.horizontalAdvance("30") + px(0.35), metrics.height() + px(0.3)
        x = y = 0.0
        placed: list[tuple[DayKind, QRectF]] = []
        for kind in self._kinds:
            wide = side + px(1.5) + metrics.horizontalAdvance(KINDS[kind])
            if x and x + wide > width:
                x, y = 0.0, y + high
            placed.append((kind, QRectF(x, y, side, high)))
            x += wide
        return placed

    @Slot()
    def _on_look(self) -> None:
        self.updateGeometry()
        self.update()


_ORDER: tuple[DayKind, ...] = ("weekday", "holiday", "closure", "worked", "unknown")
