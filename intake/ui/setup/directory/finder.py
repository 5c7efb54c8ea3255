"""The field that practices are looked for with; the list under it is gone through from here."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent, Qt
from PySide6.QtWidgets import QLineEdit, QWidget

from intake.ui.help_panel import set_help
from intake.ui.setup.directory.words import FIND_HELP

_ROWS = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}
_PAGES = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}


class Finder(QLineEdit):
    """A few letters, and the keys that go through what fits.

    Args:
        parent: The owner.
    """

    moved = Signal(int, bool)
    """Down, or up: by rows, or by pages of them."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAccessibleName("Find a practice")
        self.setPlaceholderText("name, code, town, number …")
        set_help(self, FIND_HELP)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier or key not in _ROWS | _PAGES:
            super().keyPressEvent(event)
        else:
            self.moved.emit((_ROWS | _PAGES)[key], key in _PAGES)
