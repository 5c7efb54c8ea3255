"""A scan to be turned by hand or by keys; what is drawn is drawn behind, and the window never waits for it."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, QTimer, Slot
from PySide6.QtGui import (
    QAccessible,
    QAccessibleEvent,
    QColor,
    QFocusEvent,
    QFontMetricsF,
    QHideEvent,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QShowEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget
from shiboken6 import isValid

from intake.ui.jobs import Jobs
from intake.ui.look import Look
from intake.ui.plain import set_tip
from intake.ui.scans.drawing import OneAtATime, drawn
from intake.ui.scans.pose import VIEWS, Pose

if TYPE_CHECKING:
    from intake.inbox.mesh.turntable import Turntable
    from intake.inbox.mesh.views import ViewName

KEYS = (
    "Drag or arrows turn",
    "with Shift move",
    "+ − or wheel zoom",
    "1 occlusal",
    "2 front",
    "3 right",
    "4 left",
    "0 back to the start",
)
HINT = "\u00a0· ".join(key.replace(" ", "\u00a0") for key in KEYS)
NAME = "Scan to turn"
_STEP, _SHIFT, _ZOOM = 10.0, 0.05, 1.25
"""Degrees and share of the picture to a key, and how much larger."""
_MOST_HINT = 0.2
"""The share of the view's height that the names of the keys may take."""
_QUICK, _FINE = 480, 1400
"""The most pixels that a side has while something turns, and at rest."""
_REST = 150
"""Milliseconds after the last key until the picture is drawn as fine as it can be."""
_ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
WRAPPED = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop
LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


class TurntableView(QWidget):
    """Shows one scan or two, and lets them be turned.

    Args:
        look: For colours, fonts and lengths.
        jobs: Draws, beside what the store does.
        empty: What to say while there is no scan.
        parent: The owner.
    """

    def __init__(self, look: Look, jobs: Jobs, empty: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look, self._empty = look, empty
        self._turntable: Turntable | None = None
        self._pose = Pose()
        self._image = QImage()
        self._asked = self._shown = 0
        self._held_at: QPointF | None = None
        self._quick, self._fine = OneAtATime(jobs, self._on_drawn), OneAtATime(jobs, self._on_drawn)
        self._rest = QTimer(self, singleShot=True, interval=_REST)
        self._rest.timeout.connect(self._draw_fine)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(NAME)
        self.setAccessibleDescription(empty)
        look.changed.connect(self._on_look)

    @property
    def pose(self) -> Pose:
        """How the scan is held just now."""
        return self._pose

    @property
    def at_rest(self) -> bool:
        """Whether what shows is the newest picture, as fine as it can be."""
        return not self._rest.isActive() and self._held_at is None and self._shown == self._asked

    def show_scans(self, turntable: "Turntable | None", empty: str = "") -> None:
        """Shows what is on this turntable, from its first view; None shows the empty state, in these words if any."""
        self._turntable, self._image, self._empty = turntable, QImage(), empty or self._empty
        self._shown = self._asked  # what is still being drawn is of other scans
        self._take(Pose(turntable.home) if turntable else Pose())

    def forget(self) -> None:
        """Wants nothing drawn any more, until something changes."""
        self._rest.stop()
        self._quick.forget()
        self._fine.forget()

    def sizeHint(self) -> QSize:
        return QSize(self._look.px(28), self._look.px(26))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._look.px(14), self._look.px(14))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        pose = self._after(event, self._turntable.home) if self._turntable else None
        if pose is None:
            super().keyPressEvent(event)
        else:
            self._take(pose)

    def _after(self, event: QKeyEvent, home: "ViewName") -> Pose | None:
        """The pose after a key; None where the key is none of ours."""
        key = Qt.Key(event.key())
        if event.modifiers() & ~(Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier):
            return None
        if key in _ARROWS:
            right, down = _ARROWS[key]
            if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
                return self._pose.moved(right * _SHIFT, down * _SHIFT)
            return self._pose.turned(right * _STEP, down * _STEP)
        if event.text() in ("+", "=") or key == Qt.Key.Key_Plus:
            return self._pose.zoomed(_ZOOM)
        if event.text() in ("-", "−") or key == Qt.Key.Key_Minus:
            return self._pose.zoomed(1 / _ZOOM)
        if event.text() == "0" or key == Qt.Key.Key_Home:
            return Pose(home)
        if event.text() in ("1", "2", "3", "4"):
            return Pose(VIEWS[int(event.text()) - 1])
        return None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if self._turntable and event.button() == Qt.MouseButton.LeftButton:
            self._held_at = event.position()
            self.setCursor(Qt.CursorShape.ClosedHandCursor)
        else:
            super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._held_at is None:
            super().mouseMoveEvent(event)
            return
        way, self._held_at = event.position() - self._held_at, event.position()
        side = min(self._picture().width(), self._picture().height())
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            self._take(self._pose.moved(way.x() / side, way.y() / side))
        else:
            self._take(self._pose.turned(way.x() * 180 / side, way.y() * 180 / side))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self._held_at is not None and event.button() == Qt.MouseButton.LeftButton:
            self._held_at = None
            self.unsetCursor()
            self._draw_fine()
        else:
            super().mouseReleaseEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        if self._turntable and event.angleDelta().y():
            self._take(self._pose.zoomed(_ZOOM ** (event.angleDelta().y() / 120)))
        else:
            super().wheelEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._fit()

    def showEvent(self, event: QShowEvent) -> None:
        self._draw()

    def hideEvent(self, event: QHideEvent) -> None:
        self.forget()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()

    @Slot()
    def _on_look(self) -> None:
        self.updateGeometry()
        self._fit()

    def _fit(self) -> None:
        """Draws for a new size; keys that there is no room to name stand in the tip."""
        set_tip(self, "" if self._hint_shows() else ", ".join(KEYS))
        self._draw()

    def _take(self, pose: Pose) -> None:
        self._pose = pose
        self.setAccessibleDescription(f"{pose.words}. {', '.join(KEYS)}." if self._turntable else self._empty)
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.DescriptionChanged))
        self._draw()

    def _draw(self) -> None:
        """Draws at once what can be drawn at once, and all of it when the hand rests."""
        self.update()
        if not self.isVisible():
            return
        self._ask(self._quick, quick=True)
        if self._held_at is None:
            self._rest.start()

    @Slot()
    def _draw_fine(self) -> None:
        self._rest.stop()
        self._ask(self._fine, quick=False)

    def _ask(self, asker: OneAtATime, *, quick: bool) -> None:
        room = self._picture().size() * self.devicePixelRatioF()
        if not self._turntable or min(room.width(), room.height()) < 1:
            return
        less = min(1.0, (_QUICK if quick else _FINE) / max(room.width(), room.height()))
        width, height = max(1, round(room.width() * less)), max(1, round(room.height() * less))
        self._asked += 1
        work = partial(drawn, self._turntable, self._pose, width, height, quick)
        asker.ask(partial(_numbered, self._asked, work))

    def _on_drawn(self, answer: tuple[int, QImage]) -> None:
        number, image = answer
        if isValid(self) and number > self._shown:
            self._shown, self._image = number, image
            self.update()

    def _picture(self) -> QRectF:
        """Where the picture is: between the words at the top and at the bottom."""
        line = self._line()
        return QRectF(self.rect()).adjusted(0, 1.5 * line, 0, -1.5 * line - self._hint().height())

    def _hint(self) -> QRectF:
        """Where the keys are named, as high as their words need; hardly anything where that is too much of the view."""
        margin = self._look.px(0.5)
        inner = QRectF(self.rect()).adjusted(margin, margin, -margin, -margin)
        taken = QFontMetricsF(self._look.font("small")).boundingRect(inner, WRAPPED, HINT).height()
        if taken > _MOST_HINT * self.height():
            taken = 0.0
        return QRectF(inner.left(), inner.bottom() - taken, inner.width(), taken + margin)

    def _hint_shows(self) -> bool:
        return self._hint().height() > self._look.px(0.5)

    def _line(self) -> float:
        return QFontMetricsF(self._look.font("text")).height()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, colours = QPainter(self), self._look.colours
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.fillRect(self.rect(), QColor(colours.surface))
        if self._turntable:
            painter.drawImage(self._picture(), self._image)
            self._paint_words(painter, self._turntable)
        else:
            margin = self._look.px(1)
            painter.setPen(QColor(colours.quiet))
            painter.setFont(self._look.font())
            inner = self.rect().adjusted(margin, margin, -margin, -margin)
            painter.drawText(inner, Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignCenter, self._empty)
        focused = self.hasFocus()
        painter.setPen(QPen(QColor(colours.focus if focused else colours.line), 2 if focused else 1))
        inset = 1 if focused else 0.5
        painter.drawRect(QRectF(self.rect()).adjusted(inset, inset, -inset, -inset))

    def _paint_words(self, painter: QPainter, turntable: "Turntable") -> None:
        colours, margin, line = self._look.colours, self._look.px(0.5), self._line()
        painter.setPen(QColor(colours.ink))
        painter.setFont(self._look.font("text", bold=True))
        room = self.width() - 2 * margin
        words = painter.fontMetrics().elidedText(self._pose.words, Qt.TextElideMode.ElideRight, room)
        painter.drawText(QRectF(margin, margin / 2, room, line), LEFT, words)
        small = self._look.font("small")
        painter.setFont(small)
        self._paint_bar(painter, turntable, QRectF(margin, self._picture().bottom(), self.width() / 2, line))
        right, middle, side = float(self.width() - margin), self._picture().bottom() + line / 2, self._look.px(0.7)
        for tint, words in reversed(turntable.key):
            right -= QFontMetricsF(small).horizontalAdvance(words)
            painter.drawText(QRectF(right, middle - line / 2, self.width(), line), LEFT, words)
            right -= side + margin / 2
            swatch = QRectF(right, middle - side / 2, side, side)
            painter.fillRect(swatch, QColor(tint))
            painter.drawRect(swatch)
            right -= margin
        if self._hint_shows():
            painter.setPen(QColor(colours.quiet))
            painter.drawText(self._hint(), WRAPPED, HINT)

    def _paint_bar(self, painter: QPainter, turntable: "Turntable", area: QRectF) -> None:
        """How long 10 mm are, and the words of it."""
        picture = self._picture()
        bar = turntable.bar(max(1, round(picture.width())), max(1, round(picture.height())), self._pose.zoom)
        if bar.pixels:
            painter.setPen(QPen(QColor(self._look.colours.ink), 1))
            at, end, high = area.center().y(), area.left() + bar.pixels, self._look.px(0.25)
            painter.drawLine(QPointF(area.left(), at), QPointF(end, at))
            for x in (area.left(), end):
                painter.drawLine(QPointF(x, at - high), QPointF(x, at + high))
            area = area.adjusted(bar.pixels + self._look.px(0.4), 0, 0, 0)
        painter.drawText(area, LEFT, bar.words)


def _numbered(number: int, work: Callable[[], QImage]) -> tuple[int, QImage]:
    return number, work()
