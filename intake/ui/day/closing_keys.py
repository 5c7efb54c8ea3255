"""The two parts of closing the day that take keys: the card with what is left over, and the field for a reason."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QLineEdit, QWidget

from intake.ui.look import Look

BACK = (Qt.Key.Key_Left, Qt.Key.Key_PageUp, Qt.Key.Key_Backspace)
ON = (Qt.Key.Key_Right, Qt.Key.Key_PageDown, Qt.Key.Key_Return, Qt.Key.Key_Enter)
DIGITS = {"1": 0, "2": 1, "3": 2, "&": 0, "é": 1, '"': 2}
"""Without Shift, the digit row of a French keyboard gives the last three."""


class Card(QWidget):
    """Takes the keys: a digit is a usual reason, a letter begins another one.

    A scanner gun's digits never come here: where nothing is written, the scanner holds all of a code back.

    Args:
        look: For colours.
        parent: The owner.
    """

    chosen = Signal(int)
    typed = Signal(str)
    stepped = Signal(int)
    left = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, text = Qt.Key(event.key()), event.text()
        usual = Qt.KeyboardModifier.KeypadModifier | Qt.KeyboardModifier.ShiftModifier
        if key == Qt.Key.Key_Escape:
            self.left.emit()
        elif event.modifiers() & ~usual:
            super().keyPressEvent(event)
        elif text in DIGITS:
            self.chosen.emit(DIGITS[text])
        elif key in BACK or key in ON:
            self.stepped.emit(1 if key in ON else -1)
        elif text.isprintable() and text.strip() and not text.isdigit():
            self.typed.emit(text)
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, colours = QPainter(self), self._look.colours
        painter.fillRect(self.rect(), QColor(colours.surface))
        focused = self.hasFocus()
        painter.setPen(QPen(QColor(colours.focus if focused else colours.faint), 2 if focused else 1))
        painter.drawRect(self.rect().adjusted(1, 1, -1, -1))


class Own(QLineEdit):
    """The field for another reason: Esc goes back to the card, and keeps what was typed."""

    back = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and not event.modifiers():
            self.back.emit()
            return
        super().keyPressEvent(event)
