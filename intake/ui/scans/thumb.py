"""One picture of the strip of scans, with the words under it."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QSizePolicy, QWidget

from intake.ui.look import Look
from intake.ui.plain import set_tip

SIDE, WIDE = 4.6, 5.1
"""The side of a picture, and the width that its words have, in heights of text."""
CAPTIONS = (0.09, 0.08)
"""The shares of a picture at its top and its bottom that have words, too small to be read here."""


class Thumb(QWidget):
    """A picture; a click chooses it, a second one looks closer.

    Args:
        look: For colours and lengths.
        parent: The owner.
    """

    clicked = Signal()
    opened = Signal()

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self._png, self._picture = b"", QPixmap()
        self._paper = QColor(look.colours.surface)
        self.words, self.current, self._wrong = "", False, False
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        look.changed.connect(self.updateGeometry)

    def show_picture(self, png: bytes, words: str, said: str, current: bool, wrong: bool) -> None:
        """Shows a picture.

        Args:
            png: The picture; empty for none.
            words: What stands under it.
            said: All of it in words, for those who hear it and as its tip.
            current: Whether it is the one that the keys are about.
            wrong: Whether something is wrong with it.
        """
        if png != self._png:
            self._png, self._picture = png, QPixmap()
            if self._picture.loadFromData(png):
                self._paper = self._picture.toImage().pixelColor(0, 0)  # what it lies on, in a dark window too
        self.words, self.current, self._wrong = words, current, wrong
        self.setAccessibleName(said)
        set_tip(self, said)
        self.update()

    def sizeHint(self) -> QSize:
        px = self._look.px
        return QSize(px(WIDE), px(SIDE) + px(1.3))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHints(QPainter.RenderHint.SmoothPixmapTransform | QPainter.RenderHint.Antialiasing)
        colours, side = self._look.colours, float(self._look.px(SIDE))
        frame = QRectF((self.width() - side) / 2, 0, side, side)
        painter.fillRect(frame, self._paper if not self._picture.isNull() else QColor(colours.ground))
        if not self._picture.isNull():
            self._paint_picture(painter, frame)
        pen = QPen(QColor(colours.focus if self.current else colours.line), 2 if self.current else 1)
        inset = pen.widthF() / 2
        painter.setPen(pen)
        painter.drawRect(frame.adjusted(inset, inset, -inset, -inset))
        painter.setPen(QColor(colours.caution if self._wrong else colours.ink))
        painter.setFont(self._look.font("small", bold=self.current or self._wrong))
        words = painter.fontMetrics().elidedText(self.words, Qt.TextElideMode.ElideRight, self.width())
        under = QRectF(0, side, self.width(), self.height() - side)
        painter.drawText(under, Qt.AlignmentFlag.AlignCenter, words)
        if self._wrong:
            self._paint_mark(painter, frame.right())

    def _paint_picture(self, painter: QPainter, frame: QRectF) -> None:
        wide, high = self._picture.width(), self._picture.height()
        shown = QRectF(0, high * CAPTIONS[0], wide, high * (1 - sum(CAPTIONS)))
        size = shown.size() * min(frame.width() / shown.width(), frame.height() / shown.height())
        at = frame.center() - QPointF(size.width() / 2, size.height() / 2)
        painter.drawPixmap(QRectF(at, size), self._picture, shown)

    def _paint_mark(self, painter: QPainter, right: float) -> None:
        """A triangle with its point up in the corner: the colour is not the only sign."""
        size = self._look.px(0.9)
        at = QPointF(right - size * 1.3, size * 0.4)
        painter.setBrush(QColor(self._look.colours.caution))
        painter.setPen(QPen(self._paper, 1))  # it stands out from whatever it lies on
        painter.drawPolygon([at + QPointF(size / 2, 0), at + QPointF(size, size), at + QPointF(0, size)])

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.clicked.emit()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self.opened.emit()
