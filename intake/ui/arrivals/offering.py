"""The list under a field: offered while somebody types, gone through by keys, and put into the field."""

from collections.abc import Callable, Sequence
from typing import Protocol

from PySide6.QtCore import QObject, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent

from intake.ui.arrivals.choices import Choice, Choices
from intake.ui.arrivals.field import Field

_STEPS = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}
_TAKES = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab)


class Fields(Protocol):
    """The fields of a form, by their place."""

    @property
    def place(self) -> str | None:
        """The field that has the keys."""

    def field(self, place: str) -> Field:
        """The field at a place."""


class Offering(QObject):
    """Works the list under the fields of a form.

    Args:
        form: The fields.
        choices: The list.
        lines: What there is to choose at a place; the second says whether somebody is typing there.
        parent: The owner.
    """

    taken = Signal(str)
    """A line was put into the field of this place."""

    def __init__(
        self, form: Fields, choices: Choices, lines: Callable[[str, bool], Sequence[Choice]], parent: QObject
    ) -> None:
        super().__init__(parent)
        self._form, self._choices, self._lines = form, choices, lines
        choices.chosen.connect(self._on_chosen)

    def offer(self, field: Field) -> None:
        """Offers what fits what is typed in a field."""
        self._choices.offer(self._lines(field.place, True), field.edit)

    def hide(self) -> None:
        """Offers nothing."""
        self._choices.hide()

    def on_key(self, field: Field, event: QKeyEvent) -> bool:
        """Does what a key does in the list; whether it did anything."""
        if event.modifiers() not in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier):
            return False
        key = Qt.Key(event.key())
        if self._choices.isVisible() and self._on_list_key(field, key):
            return True
        if key == Qt.Key.Key_Down and (lines := self._lines(field.place, False)):
            self._choices.offer(lines, field.edit)
            self._choices.move(1)
            return True
        return False

    def _on_list_key(self, field: Field, key: Qt.Key) -> bool:
        if key in _STEPS:
            choice = self._choices.move(_STEPS[key])
            if choice is not None:
                field.edit.setAccessibleDescription(f"{choice.words} {choice.aside}".strip())
            return True
        if key == Qt.Key.Key_Escape:
            self._choices.hide()
            return True
        current = self._choices.current
        if key in _TAKES and current is not None:
            self._take(field, current.text)
        return False

    @Slot(str)
    def _on_chosen(self, text: str) -> None:
        place = self._form.place
        if place is not None:
            self._take(self._form.field(place), text)

    def _take(self, field: Field, text: str) -> None:
        self._choices.hide()
        field.set_text(text)
        self.taken.emit(field.place)
