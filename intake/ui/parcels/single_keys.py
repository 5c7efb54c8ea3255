"""The single keys of Parcels: one press each for what is seen, as long as no field is typed into."""

from PySide6.QtCore import QObject, Qt, Slot
from PySide6.QtGui import QKeyEvent

from intake.domain.parcels import ContentKind
from intake.ui.parcels.form import ParcelForm
from intake.ui.room import Room

KEPT = "parcels/single-keys"
THINGS: dict[str, ContentKind] = {"1": "case", "2": "part", "3": "repair", "4": "nothing", "5": "other"}
DECLARED, STOP = "H", "X"
ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
PLAIN = (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.KeypadModifier)


class SingleKeys(QObject):
    """Does what a single key does, where no field has taken it; it can be turned off in the menu.

    Args:
        room: What every place shares.
        form: The form.
        parent: The owner.
    """

    def __init__(self, room: Room, form: ParcelForm, parent: QObject) -> None:
        super().__init__(parent)
        self._room, self._form = room, form
        self._action = room.keys.action("single-keys")
        self._action.setCheckable(True)
        self._action.setChecked(room.settings.value(KEPT, "on") == "on")
        self._action.toggled.connect(self._on_toggled)
        form.state.show_keys(self._action.isChecked())

    def press(self, event: QKeyEvent) -> bool:
        """Takes a key that no field has taken; whether it did anything."""
        if event.modifiers() not in PLAIN:
            return False
        if event.key() in ENTER:
            self._form.go_on()
            return True
        key = event.text().upper()
        if not self._action.isChecked() or not key:
            return False
        if key in THINGS:
            self._room.keys.action(f"parcel-{THINGS[key]}").trigger()
        elif key == DECLARED:
            self._room.keys.action("parcel-declared").trigger()
        elif key == STOP:
            self._room.keys.action("parcel-danger").trigger()
        else:
            return self._form.state.press(key)
        return True

    @Slot(bool)
    def _on_toggled(self, on: bool) -> None:
        self._room.settings.setValue(KEPT, "on" if on else "off")
        self._form.state.show_keys(on)
