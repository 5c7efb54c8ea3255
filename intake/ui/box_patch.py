"""The box, as large as the desk needs it: its colour from edge to edge, the kind of work, and HOLD or CLEAR."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from PySide6.QtCore import QRectF, QSize, Qt, Slot
from PySide6.QtGui import QAccessible, QAccessibleEvent, QColor, QFont, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from intake.ui.look import Look, Size
from intake.ui.palette import ink_on

SIDE_BY_SIDE = 3
SIZES: tuple[tuple[Size, Size], ...] = (
    ("arm", "arm"),
    ("text", "arm"),
    ("text", "text"),
    ("small", "text"),
    ("small", "small"),
)
"""The sizes of words and sign, from the most to the least legible."""
WRAPPED = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop


@dataclass(frozen=True)
class BoxView:
    """One box to show.

    Attributes:
        category: The kind of work.
        colour: The colour's name.
        hex: The colour as `#rrggbb`.
        held: Whether the work waits on the practice.
        ended: What became of the work when it is in the box no more, such as WITHDRAWN.
    """

    category: str
    colour: str
    hex: str
    held: bool
    ended: str = ""

    @property
    def sign(self) -> str:
        """The word that says whether the box may go to the bench."""
        if self.ended:
            return self.ended
        return "HOLD" if self.held else "CLEAR"


class BoxPatch(QWidget):
    """Shows the boxes of a case side by side.

    Args:
        look: For colours, fonts and lengths.
        empty: What to say while there is no box yet.
        parent: The owner.
    """

    def __init__(self, look: Look, empty: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._empty = empty
        self._boxes: tuple[BoxView, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Box")
        self.setAccessibleDescription(empty)
        look.changed.connect(self._on_look)

    def show_boxes(self, boxes: Sequence[BoxView]) -> None:
        """Shows these boxes; none shows the empty state."""
        if tuple(boxes) == self._boxes:
            return
        self._boxes = tuple(boxes)
        said = "; ".join(f"{box.category}, {box.colour} box, {box.sign}" for box in boxes)
        self.setAccessibleDescription(said or self._empty)
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.DescriptionChanged))
        self._on_look()

    def sizeHint(self) -> QSize:
        return QSize(self._look.px(28), self._look.px(13))

    def minimumSizeHint(self) -> QSize:
        # More than two rows share the height of two: a window never outgrows its screen for them.
        return QSize(self._look.px(12), self._look.px(6.5) * min(2, self._rows))

    @Slot()
    def _on_look(self) -> None:
        self.updateGeometry()
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if not self._boxes:
            self._paint_empty(painter)
        for box, area in zip(self._boxes, self._areas(), strict=True):
            self._paint_box(painter, box, area)

    @property
    def _rows(self) -> int:
        return ceil(len(self._boxes) / SIDE_BY_SIDE) or 1

    def _areas(self) -> list[QRectF]:
        """Where each box lies: up to three in a row, edge to edge."""
        count = len(self._boxes)
        columns = ceil(count / self._rows) or 1
        width, height = self.width() / columns, self.height() / self._rows
        return [QRectF(at % columns * width, at // columns * height, width, height) for at in range(count)]

    def _paint_empty(self, painter: QPainter) -> None:
        colours, margin = self._look.colours, self._look.px(1)
        painter.setPen(QPen(QColor(colours.line), 1, Qt.PenStyle.DashLine))
        painter.drawRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5))
        painter.setPen(QColor(colours.quiet))
        painter.setFont(self._look.font())
        inner = self.rect().adjusted(margin, margin, -margin, -margin)
        painter.drawText(inner, Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignCenter, self._empty)

    def _paint_box(self, painter: QPainter, box: BoxView, area: QRectF) -> None:
        ink, places = QColor(ink_on(box.hex)), _places(self._look, box, area)
        painter.fillRect(area, QColor(box.hex))
        if box.held:
            self._hatch(painter, area, ink)
            painter.fillRect(QRectF(area.topLeft(), places.plate.bottomRight()), QColor(box.hex))
        painter.setPen(QPen(QColor(self._look.colours.line), 1))
        painter.drawRect(area.adjusted(0.5, 0.5, -0.5, -0.5))
        painter.setPen(ink)
        painter.setFont(places.words_font)
        painter.drawText(places.words, WRAPPED, _words(box))
        painter.setFont(places.sign_font)
        if (
            box.held
        ):  # in the box's colour on a plate of ink; CLEAR stands in ink on the box: they differ in grey as well
            painter.fillRect(places.sign, ink)
            painter.setPen(QColor(box.hex))
        how = Qt.AlignmentFlag.AlignCenter if box.held else Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(places.sign, how | Qt.TextFlag.TextDontClip, box.sign)

    def _hatch(self, painter: QPainter, area: QRectF, ink: QColor) -> None:
        painter.save()
        painter.setClipRect(area)
        painter.setPen(QPen(ink, max(1.0, self._look.px(0.12))))
        step = float(self._look.px(1.4))
        at = area.left() - area.height()
        while at < area.right():
            painter.drawLine(int(at), int(area.bottom()), int(at + area.height()), int(area.top()))
            at += step
        painter.restore()


@dataclass(frozen=True)
class _Places:
    """Where the words and the sign of a box stand, and in which size; the plate is the words with some air."""

    words: QRectF
    words_font: QFont
    plate: QRectF
    sign: QRectF
    sign_font: QFont
    fits: bool


def _words(box: BoxView) -> str:
    return f"{box.category}\n{box.colour}"


def _places(look: Look, box: BoxView, area: QRectF) -> _Places:
    """The largest sizes in which category, colour and sign fit below one another, breaking only between words."""
    for words_size, sign_size in SIZES:
        places = _placed(look, box, area, words_size, sign_size)
        if places.fits:
            break
    return places


def _placed(look: Look, box: BoxView, area: QRectF, words_size: Size, sign_size: Size) -> _Places:
    font, sign_font = look.font(words_size, bold=True), look.font(sign_size, bold=True)
    metrics, sign_metrics = QFontMetricsF(font), QFontMetricsF(sign_font)
    margin = look.px(0.5 if words_size == "small" else 1)
    inner = area.adjusted(margin, margin * 0.7, -margin, -margin)
    taken = metrics.boundingRect(inner, WRAPPED, _words(box))
    air = margin if box.held else 0
    sign = QRectF(0, 0, sign_metrics.horizontalAdvance(box.sign) + air, sign_metrics.height() * 1.08)
    sign.moveBottomLeft(inner.bottomLeft())
    longest = max(metrics.horizontalAdvance(word) for word in _words(box).split())
    fits = max(longest, sign.width()) <= inner.width() and taken.bottom() + margin * 0.4 <= sign.top()
    plate = taken.adjusted(0, 0, margin * 0.6, margin * 0.4).intersected(area)
    return _Places(inner, font, plate, sign, sign_font, fits)
