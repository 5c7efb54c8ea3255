"""A field for a whole number within bounds; the arrow keys count."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QIntValidator, QKeyEvent
from PySide6.QtWidgets import QLineEdit, QWidget


class CountField(QLineEdit):
    """A number that is typed, or counted up and down.

    Args:
        name: What a screen reader calls it.
        least: The least.
        most: The most.
        value: What stands in it at first.
        parent: The owner.
    """

    def __init__(self, name: str, least: int, most: int, value: int, parent: QWidget | None = None) -> None:
        super().__init__(str(value), parent)
        self._least, self._most = least, most
        self.setAccessibleName(name)
        self.setValidator(QIntValidator(0, 999_999, self))

    @property
    def value(self) -> int | None:
        """The number; None while none within the bounds stands there."""
        text = self.text().strip()
        value = int(text) if text.isdecimal() else None
        return value if value is not None and self._least <= value <= self._most else None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = (event.key() == Qt.Key.Key_Up) - (event.key() == Qt.Key.Key_Down)
        if step and not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            at = self._least if self.value is None else self.value + step
            self.setText(str(min(max(self._least, at), self._most)))
            self.selectAll()
            return
        super().keyPressEvent(event)
