"""The one field of Look up: typing looks, the arrow keys choose, Enter goes to the card, Esc goes back."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit, QWidget

_MOVES: dict[int, int] = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
_PAGES: dict[int, int] = {Qt.Key.Key_PageUp: -1, Qt.Key.Key_PageDown: 1}


class SearchField(QLineEdit):
    """A line to type anything into.

    Args:
        parent: The owner.
    """

    moved = Signal(int)
    paged = Signal(int)
    entered = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setMaxLength(200)
        self.setClearButtonEnabled(False)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        if event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            super().keyPressEvent(event)
        elif key in _MOVES:
            self.moved.emit(_MOVES[key])
        elif key in _PAGES:
            self.paged.emit(_PAGES[key])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.entered.emit()
        else:
            super().keyPressEvent(event)
