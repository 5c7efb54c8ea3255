"""A year as its months, the closed days marked; the keys choose a day, or several."""

from datetime import date, timedelta

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal, Slot
from PySide6.QtGui import (
    QAccessible,
    QAccessibleEvent,
    QBrush,
    QColor,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from intake.domain.calendar_year import DayKind, Year
from intake.domain.months import months_later
from intake.domain.written_dates import MONTHS
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.setup.calendar.words import PICTURE_HELP
from intake.ui.setup.calendar.year_geometry import YearGeometry

CENTRED = Qt.AlignmentFlag.AlignCenter
LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_STEPS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1, Qt.Key.Key_Up: -7, Qt.Key.Key_Down: 7}
_PAGES = {Qt.Key.Key_PageUp: -1, Qt.Key.Key_PageDown: 1}
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class YearPicture(QWidget):
    """Shows a year.

    Args:
        look: For colours, fonts and lengths.
        today: The desk's day, which is chosen at first.
        parent: The owner.
    """

    chosen = Signal()
    """Another day, or stretch of days, is chosen; it may lie in another year."""
    entered = Signal()
    """Enter was pressed on what is chosen."""

    def __init__(self, look: Look, today: date, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._today = look, today
        self._at = self._from = today
        self._year: Year | None = None
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        set_help(self, PICTURE_HELP)
        look.changed.connect(self._on_look)

    @property
    def day(self) -> date:
        """The day that the keys stand on."""
        return self._at

    @property
    def stretch(self) -> tuple[date, date]:
        """The first and the last day that are chosen."""
        return min(self._at, self._from), max(self._at, self._from)

    def choose(self, day: date, begins: date | None = None) -> None:
        """Chooses a day, or the days up to it from another one."""
        self._at, self._from = day, begins or day
        self.chosen.emit()
        self.update()

    def set_today(self, today: date) -> None:
        """Takes the desk's day."""
        if self._at == self._from == self._today != today:
            self._at = self._from = today
        self._today = today

    def show_year(self, year: Year, said: str) -> None:
        """Shows a year; `said` is what there is to say of what is chosen."""
        if self._year is None or year.number != self._year.number:
            self.setAccessibleName(f"Year {year.number}")
        self._year = year
        if said != self.accessibleDescription():
            self.setAccessibleDescription(said)
            QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.DescriptionChanged))
        self.update()

    def places(self) -> YearGeometry:
        """Where everything stands now."""
        return YearGeometry(self._look, self._year.number if self._year else self._at.year, self.width())

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return YearGeometry(self._look, self._at.year, width).height

    def sizeHint(self) -> QSize:
        width = YearGeometry.usual_width(self._look)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        width = YearGeometry.least_width(self._look)
        return QSize(width, self.heightForWidth(max(width, self.width())))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, shift = event.key(), bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        other = event.modifiers() & ~(Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier)
        if other:
            super().keyPressEvent(event)
        elif key in _STEPS:
            self.choose(_shifted(self._at, _STEPS[Qt.Key(key)]), self._from if shift else None)
        elif key in _PAGES:
            self.choose(_months_on(self._at, _PAGES[Qt.Key(key)] * (12 if shift else 1)))
        elif key == Qt.Key.Key_Home:
            self.choose(self._today)
        elif key in _ENTER:
            self.entered.emit()
        elif key == Qt.Key.Key_Escape and self._from != self._at:
            self.choose(self._at)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        day = self.places().day_at(event.position().x(), event.position().y())
        if day is not None:
            keeps = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            self.choose(day, self._from if keeps else None)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()  # another number of months stands side by side, perhaps

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._year is None:
            return
        painter, places = QPainter(self), self.places()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours = self._look.colours
        for month in range(1, 13):
            painter.setFont(self._look.font("small", bold=True))
            painter.setPen(QColor(colours.ink))
            painter.drawText(places.title_of(month), LEFT, MONTHS[month - 1])
            painter.setFont(self._look.font("small"))
            painter.setPen(QColor(colours.quiet))
            for weekday, letter in enumerate("MTWTFSS"):
                painter.drawText(places.weekday_of(month, weekday), CENTRED, letter)
        first, last = self.stretch
        for day in places.days:
            kind = self._year.days[day].kind
            paint_day(painter, places.cell_of(day), str(day.day), kind, self._look, first <= day <= last)
            if day == self._today:
                self._underline(painter, places.cell_of(day))
        if self._at.year == self._year.number:
            self._ring(painter, places.cell_of(self._at))

    def _underline(self, painter: QPainter, cell: QRectF) -> None:
        """Marks today."""
        painter.setPen(QPen(QColor(self._look.colours.ink), 2))
        y = cell.bottom() - 1.5
        painter.drawLine(QPointF(cell.left() + cell.width() / 4, y), QPointF(cell.right() - cell.width() / 4, y))

    def _ring(self, painter: QPainter, cell: QRectF) -> None:
        """Shows where the keys stand; plainer while they go elsewhere."""
        painter.setBrush(Qt.BrushStyle.NoBrush)
        focus = QColor(self._look.colours.focus if self.hasFocus() else self._look.colours.line)
        painter.setPen(QPen(focus, 2 if self.hasFocus() else 1))
        painter.drawRect(cell.adjusted(1, 1, -1, -1))

    @Slot()
    def _on_look(self) -> None:
        self.updateGeometry()
        self.update()


def paint_day(painter: QPainter, cell: QRectF, text: str, kind: DayKind, look: Look, chosen: bool = False) -> None:
    """Paints a day: each kind has a mark of its own besides its colour."""
    colours = look.colours
    inner = cell.adjusted(1, 1, -1, -1)
    ink = colours.ink
    if kind == "closure":
        painter.fillRect(inner, QColor(colours.focus if chosen else colours.quiet))
        ink = colours.surface
    elif kind == "holiday":
        painter.fillRect(inner, QColor(colours.faint))
        corner, side = inner.topRight(), look.px(0.45)
        triangle = QPolygonF([corner, corner - QPointF(side, 0), corner + QPointF(0, side)])
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(colours.held))
        painter.drawPolygon(triangle)
    elif kind == "weekday":
        painter.fillRect(inner, QBrush(QColor(colours.faint), Qt.BrushStyle.BDiagPattern))
        ink = colours.quiet
    elif kind == "worked":
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(colours.ok), 2))
        painter.drawEllipse(inner.adjusted(1, 1, -1, -1))
    elif kind == "unknown":
        ink, text = colours.caution, "?"
    if chosen and kind != "closure":
        wash = QColor(colours.focus)
        wash.setAlpha(50)
        painter.fillRect(inner, wash)
    painter.setFont(look.font("small", bold=kind in ("closure", "holiday", "worked")))
    painter.setPen(QColor(ink))
    painter.drawText(cell, CENTRED, text)


def _shifted(day: date, days: int) -> date:
    """So many days on, or the day itself at the end of the calendar."""
    try:
        return day + timedelta(days=days)
    except OverflowError:
        return day


def _months_on(day: date, months: int) -> date:
    try:
        return months_later(day, months)
    except (OverflowError, ValueError):
        return day
