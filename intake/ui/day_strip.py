"""The strip of days: one cell a calendar day from today to the appointment, so that slack is seen before it is read."""

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Slot
from PySide6.QtGui import QAccessible, QAccessibleEvent, QBrush, QColor, QHelpEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from intake.ui.look import Look
from intake.ui.marks import Kind, Label, shape
from intake.ui.plain import plain_tip
from intake.ui.strip_geometry import Geometry
from intake.ui.strip_view import MONTHS, WEEKDAYS, StripView

CENTRED = Qt.AlignmentFlag.AlignCenter
LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


class DayStrip(QWidget):
    """Shows the days of one job.

    Args:
        look: For colours, fonts and lengths.
        empty: What to say while no appointment is known.
        parent: The owner.
    """

    def __init__(self, look: Look, empty: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look, self._empty = look, empty
        self._view: StripView | None = None
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setAccessibleName("Days to the appointment")
        self.setAccessibleDescription(empty)
        look.changed.connect(self._on_look)

    def show_days(self, view: StripView | None) -> None:
        """Shows these days; None shows the empty state."""
        if view == self._view:
            return
        self._view = view
        self.setAccessibleDescription(view.described() if view else self._empty)
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.DescriptionChanged))
        self._on_look()

    def geometry_for(self, width: int) -> Geometry | None:
        """Where everything stands at a width; None while nothing is shown."""
        return Geometry(self._look, self._view, width) if self._view else None

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        places = self.geometry_for(width)
        return places.height if places else self._look.px(4)

    def sizeHint(self) -> QSize:
        width = max(self.width(), self._look.px(18))
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._look.px(18), self.heightForWidth(max(self.width(), self._look.px(18))))

    @Slot()
    def _on_look(self) -> None:
        self.updateGeometry()
        self.update()

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and self._view is not None:
            day = Geometry(self._look, self._view, self.width()).day_at(event.pos().x())
            QToolTip.showText(event.globalPos(), plain_tip(self._view.said_of(day)) if day else "", self)
            return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        places = self.geometry_for(self.width())
        if places is None:
            painter.setPen(QColor(self._look.colours.quiet))
            margin = self._look.px(1)
            painter.drawText(self.rect().adjusted(margin, 0, -margin, 0), Qt.TextFlag.TextWordWrap, self._empty)
            return
        strip = _Painting(painter, places)
        strip.slack()
        strip.dates()
        strip.cells()
        strip.labels()
        strip.key()
        strip.closures()


class _Painting:
    """Paints the parts of a strip, each where its geometry says."""

    def __init__(self, painter: QPainter, places: Geometry) -> None:
        self._painter, self._places = painter, places
        self._view, self._look = places.view, places.look
        self._colours = places.look.colours
        self._outlook = QColor(
            {"comfortable": self._colours.ok, "tight": self._colours.caution, "late": self._colours.held}[
                places.view.outlook
            ]
        )

    def slack(self) -> None:
        """The sentence that says how much time there is."""
        self._painter.setFont(self._look.font("text", bold=True))
        self._painter.setPen(self._outlook)
        self._painter.drawText(self._places.slack, LEFT | Qt.TextFlag.TextWordWrap, self._view.slack)

    def dates(self) -> None:
        """The month where it begins, and over each cell as much of weekday and date as it has room for."""
        places, free = self._places, 0.0
        each = places.cell >= places.small.horizontalAdvance("30") + self._look.px(0.2)
        upper = QRectF(0, places.dates.top(), 0, places.line)
        for at, day in enumerate(places.days):
            cell = places.cell_of(day)
            middle = cell.center().x()
            month = MONTHS[day.month - 1]
            if (at == 0 or day.day == 1) and cell.left() >= free:
                self._write(QRectF(cell.left(), places.months.top(), 100, places.line), LEFT, month, self._quiet)
                free = cell.left() + places.small.horizontalAdvance(month) + self._look.px(0.7)
            if each or day.weekday() == 0:
                wide = max(places.cell, places.small.horizontalAdvance("30"))
                box = QRectF(middle - wide / 2, upper.top(), wide, places.line)
                self._write(box, CENTRED, WEEKDAYS[day.weekday()][0], self._quiet)
                self._write(box.translated(0, places.line), CENTRED, str(day.day), self._ink)

    def cells(self) -> None:
        """The band, a cell a day."""
        painter, places, view = self._painter, self._places, self._view
        for day in places.days:
            cell = places.cell_of(day)
            inner = cell.adjusted(0.5, 0, -0.5, 0) if places.cell > 4 else cell
            painter.fillRect(inner, QColor(self._colours.surface))
            if day in view.closed:
                self._fill(inner, "closed")
            elif min(view.today, view.latest_start) <= day < max(view.today, view.latest_start):
                self._fill(inner, "slack")
            elif view.latest_start <= day <= view.must_leave:
                self._fill(inner, "work")
            if day in view.practice_open and day > view.must_leave:
                self._fill(inner, "practice open")
        painter.setPen(QPen(QColor(self._colours.line), 1))
        painter.drawRect(places.band)

    def _fill(self, cell: QRectF, meaning: str) -> None:
        """What a cell means: slack is full, work half as high, closed hatched, a practice's open day a low line."""
        painter, height = self._painter, cell.height()
        if meaning == "closed":
            painter.fillRect(cell, QBrush(QColor(self._colours.line), Qt.BrushStyle.BDiagPattern))
        elif meaning == "work":
            painter.fillRect(cell.adjusted(0, height / 2, 0, 0), QColor(self._colours.quiet))
        elif meaning == "practice open":
            painter.fillRect(cell.adjusted(0, height * 0.82, 0, 0), self._ink)
        else:
            painter.fillRect(cell, self._outlook)

    def key(self) -> None:
        """What the cells mean, as many as there is room for."""
        places, at = self._places, self._places.key.left()
        slack = "late" if self._view.outlook == "late" else "slack"
        for meaning in (slack, "work", "closed", "practice open"):
            width = places.small.horizontalAdvance(meaning)
            swatch = QRectF(at, places.key.center().y() - places.side / 2, places.side, places.side)
            if swatch.right() + self._look.px(0.4) + width > places.key.right():
                return
            self._fill(swatch, meaning)
            self._painter.setPen(QPen(QColor(self._colours.line), 1))
            self._painter.drawRect(swatch)
            words = QRectF(swatch.right() + self._look.px(0.4), places.key.top(), width, places.key.height())
            self._write(words, LEFT, meaning, self._quiet)
            at = words.right() + self._look.px(1.1)

    def labels(self) -> None:
        """A line down from each mark's day, then all the shapes and words over the lines."""
        places = self._places
        laid = list(zip(self._view.marks, places.labels, strict=True))
        self._painter.setPen(QPen(QColor(self._colours.line), 1))
        for _, label in laid:
            x = round(places.margin + label.at) + 0.5
            self._painter.drawLine(QPointF(x, places.band.top()), QPointF(x, places.label_area(label).center().y()))
        for (kind, _, words), label in laid:
            self._label(kind, words, label)

    def _label(self, kind: Kind, words: str, label: Label) -> None:
        places = self._places
        area, side = places.label_area(label), places.side
        mark = QRectF(0, 0, side, side)
        mark.moveCenter(
            QPointF(area.right() - side / 2 if label.leftward else area.left() + side / 2, area.center().y())
        )
        text = area.adjusted(0, 0, -side, 0) if label.leftward else area.adjusted(side, 0, 0, 0)
        self._painter.fillRect(area, QColor(self._colours.ground))
        self._painter.fillPath(shape(kind, mark), self._ink)
        self._write(text, LEFT if label.leftward else RIGHT, words, self._ink)

    def closures(self) -> None:
        """The named closures in words."""
        self._painter.setFont(self._look.font("small"))
        self._painter.setPen(self._quiet)
        self._painter.drawText(self._places.closures, Qt.TextFlag.TextWordWrap, self._view.named_closures())

    @property
    def _ink(self) -> QColor:
        return QColor(self._colours.ink)

    @property
    def _quiet(self) -> QColor:
        return QColor(self._colours.quiet)

    def _write(self, area: QRectF, how: Qt.AlignmentFlag, words: str, ink: QColor) -> None:
        self._painter.setFont(self._look.font("small"))
        self._painter.setPen(ink)
        self._painter.drawText(area, how | Qt.TextFlag.TextDontClip, words)
