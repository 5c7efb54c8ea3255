"""The answer to the newest scan, to be read at arm's length: yes or no, whose box it is, and what to do instead."""

from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, QRectF, QSize, Qt, Slot
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QColor,
    QFontMetrics,
    QPainter,
    QPaintEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import QBoxLayout, QGridLayout, QHBoxLayout, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from intake.ui.handover.sign import HIGH, LOW, Answer, Sign
from intake.ui.look import Look
from intake.ui.palette import ink_on
from intake.ui.plain import Ink, Words, set_edge

_WORD_INKS: dict[Answer, Ink] = {"yes": "ok", "no": "held", "back": "ink", "asks": "asks"}


@dataclass(frozen=True)
class Shown:
    """One answer as it is shown.

    Attributes:
        answer: What sort of answer it is.
        word: Its word: YES, NO, BACK.
        number: What was scanned, as a person reads it.
        said: What was done, or why not.
        way_on: What to do instead, with its key.
        note: What is to be told besides.
        whose: The practice and the patient.
        category: The kind of work; empty where no box is known.
        colour: The name of its box's colour.
        hex: That colour.
    """

    answer: Answer
    word: str
    number: str
    said: str
    way_on: str = ""
    note: str = ""
    whose: str = ""
    category: str = ""
    colour: str = ""
    hex: str = ""

    @property
    def spoken(self) -> str:
        """The whole answer in one go, for a screen reader."""
        word, number = (f"{each}." if each else "" for each in (self.word.capitalize(), self.number))
        parts = (word, number, self.said, self.note)
        return " ".join(filter(None, (*parts, self.way_on)))


class AnswerView(QWidget):
    """Shows the answer to the newest scan.

    Args:
        look: For colours, fonts and lengths.
        parent: The owner.
    """

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look, self._low = look, False
        self.sign = Sign(look, self)
        self.word = Words("", size="arm", bold=True)
        self.number = Words("", size="arm")
        self.whose = Words("", ink="quiet", wraps=True)
        self.said = Words("", bold=True, wraps=True)
        self.note = Words("", ink="caution", bold=True, wraps=True)
        self.way_on = Words("", wraps=True)
        self.patch = _Patch(look, self)
        self.setAccessibleName("Answer")
        set_edge(self, "bottom")
        self._lay_out()
        look.changed.connect(self._fit)
        self._fit()

    def show_answer(self, shown: Shown, aloud: bool = True) -> None:
        """Shows an answer; `aloud` where a screen reader is to say it."""
        self.sign.show_answer(shown.answer)
        self.sign.setVisible(bool(shown.word))
        self.word.set_ink(_WORD_INKS[shown.answer])
        self.patch.show_box(shown.category, shown.colour, shown.hex)
        for label, text in (
            (self.word, shown.word),
            (self.number, shown.number),
            (self.whose, shown.whose),
            (self.said, shown.said),
            (self.note, shown.note),
            (self.way_on, shown.way_on),
        ):
            label.setText(text)
            label.setVisible(bool(text))
        self.setAccessibleDescription(shown.spoken)
        if aloud:
            event = QAccessibleAnnouncementEvent(self, shown.spoken)
            event.setPoliteness(QAccessible.AnnouncementPoliteness.Assertive)
            QAccessible.updateAccessibility(event)

    def settle(self) -> None:
        """Lays its parts out at once."""
        self._grid.activate()

    def set_low(self, low: bool) -> None:
        """Takes little height, where there is little."""
        self._low = low
        for part in (self.sign, self.patch):
            part.set_low(low)
        sideways, downwards = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        self._words.setDirection(sideways if low else downwards)
        self._fit()

    def _lay_out(self) -> None:
        self._words = QBoxLayout(QBoxLayout.Direction.TopToBottom)
        self._words.addWidget(self.word)
        self._words.addWidget(self.number, 1)
        self._head = QHBoxLayout()
        self._head.addWidget(self.sign, 0, Qt.AlignmentFlag.AlignTop)
        self._head.addLayout(self._words, 1)
        self._body = QVBoxLayout()
        for label in (self.said, self.note, self.way_on, self.whose):
            self._body.addWidget(label)
        self._body.addStretch(1)
        self._grid = QGridLayout(self)
        self._grid.addLayout(self._head, 0, 0)
        self._grid.addWidget(self.patch, 0, 1)
        self._grid.addLayout(self._body, 1, 0, 1, 2)
        self._grid.setColumnStretch(0, 1)
        self._grid.setRowStretch(1, 1)

    @Slot()
    def _fit(self) -> None:
        px = self._look.px
        across, down = px(0.2 if self._low else 1), px(0.3 if self._low else 0.8)
        self._grid.setContentsMargins(across, down, across, down)
        self._grid.setHorizontalSpacing(px(1))
        self._grid.setVerticalSpacing(px(0.3 if self._low else 0.6))
        self._words.setSpacing(px(1) if self._low else 0)
        self._head.setSpacing(px(1))
        self._body.setSpacing(px(0.25))


class AnswerArea(QScrollArea):
    """Gives the answer the height that it needs, and scrolls it where that is not there.

    Args:
        answer: The answer.
        parent: The owner.
    """

    def __init__(self, answer: AnswerView, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._answer, self._whole = answer, False
        self.setWidget(answer)
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        answer.installEventFilter(self)

    def page(self, pages: int) -> None:
        """Scrolls by pages."""
        bar = self.verticalScrollBar()
        bar.setValue(bar.value() + pages * bar.pageStep())

    def settle(self) -> None:
        """Takes the height that the answer needs now, and shows its beginning."""
        self._answer.settle()
        self.updateGeometry()
        self.verticalScrollBar().setValue(0)

    def sizeHint(self) -> QSize:
        inner = self._answer
        width = max(self.viewport().width(), inner.minimumSizeHint().width())
        high = inner.heightForWidth(width) if inner.hasHeightForWidth() else inner.sizeHint().height()
        return QSize(width, high)

    def minimumSizeHint(self) -> QSize:
        return QSize(0, self.sizeHint().height() if self._whole else 0)

    def keep_whole(self, whole: bool) -> None:
        """Gives way to nothing, so that all of the answer is seen."""
        self._whole = whole
        self.updateGeometry()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:
            self.updateGeometry()
        return super().eventFilter(watched, event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()


class _Patch(QWidget):
    """The colour of the category's box, with the category and the colour's name in it."""

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self._category = self._colour = self._hex = ""
        self._low = False
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Box")
        look.changed.connect(self.updateGeometry)

    def show_box(self, category: str, colour: str, hex_colour: str) -> None:
        """Shows a box; none where nothing is known."""
        self._category, self._colour, self._hex = category, colour, hex_colour
        self.setVisible(bool(hex_colour))
        self.setAccessibleDescription(f"{category}, {colour} box" if hex_colour else "")
        self.updateGeometry()
        self.update()

    def set_low(self, low: bool) -> None:
        """Takes little height, where there is little."""
        self._low = low
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        bold = QFontMetrics(self._look.font(bold=True))
        wide = max(bold.horizontalAdvance(self._category), bold.horizontalAdvance(self._colour)) + self._look.px(2)
        return QSize(min(max(wide, self._look.px(9)), self._look.px(14)), self._look.px(LOW if self._low else HIGH))

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self._hex:
            return
        painter, margin = QPainter(self), self._look.px(0.8)
        down = self._look.px(0.1) if self._low else margin
        painter.fillRect(self.rect(), QColor(self._hex))
        painter.setPen(QColor(self._look.colours.line))
        painter.drawRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5))
        painter.setPen(QColor(ink_on(self._hex)))
        painter.setFont(self._look.font("small" if self._low else "text", bold=True))
        inner = self.rect().adjusted(margin, down, -margin, -down)
        how = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(inner, how, f"{self._category}\n{self._colour}")
