"""The keys of every action: as they came, or as the person at the desk chose them."""

from collections.abc import Sequence
from typing import cast

from PySide6.QtCore import QKeyCombination, QObject, QSettings, Qt, Signal
from PySide6.QtGui import QAction, QKeySequence

from intake.errors import IntakeError
from intake.ui.actions import ACTIONS, Action

# E and U move and delete in a line of text on X11; there a field takes them before any action.
_TEXT_KEYS = ("A", "C", "E", "U", "V", "X", "Y", "Z", "Shift+Z", "Left", "Right", "Backspace")
_KEPT_FOR_TEXT = tuple(f"Ctrl+{key}" for key in _TEXT_KEYS)
_KEPT_FOR_THE_WINDOW = ("F10", "Alt+F4", "Ctrl+Tab", "Ctrl+Shift+Tab", "Alt+Tab")


class KeyRefused(IntakeError):
    """A key that cannot be given to an action, and why."""


class Keys(QObject):
    """The actions of the window, each with its keys.

    Args:
        settings: Where chosen keys are kept; a kept key that no longer works is passed over.
        actions: The table of actions.
        parent: The owner.
    """

    changed = Signal()

    def __init__(self, settings: QSettings, actions: Sequence[Action] = ACTIONS, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.table = tuple(actions)
        self._settings = settings
        self._actions = {action.id: QAction(action.words, self) for action in self.table}
        for row in self.table:
            self._actions[row.id].setShortcuts([QKeySequence(key) for key in row.keys])
        for row in self.table:
            self._take_kept(row)

    def action(self, name: str) -> QAction:
        """The action with this id; connect to its `triggered`."""
        return self._actions[name]

    def words(self, name: str) -> str:
        """What the action does, without its access key."""
        return self._actions[name].text().replace("&", "").replace(" …", "")

    def shown(self, name: str) -> str:
        """Its first key as this system writes it, such as “F2”; empty when it has none."""
        return self._actions[name].shortcut().toString(QKeySequence.SequenceFormat.NativeText)

    def choose(self, name: str, key: str) -> None:
        """Gives an action another key, or none; kept for the next start.

        Args:
            name: The action's id.
            key: The key as Qt writes it in every language, such as “Ctrl+K”; empty for none.

        Raises:
            KeyRefused: The key would get in the way of typing or of another action.
        """
        sequence = QKeySequence(key)
        if why := refusal(key) or self._taken(name, sequence):
            raise KeyRefused(why)
        self._actions[name].setShortcuts([sequence] if key else [])
        self._settings.setValue(f"keys/{name}", key)
        self.changed.emit()

    def as_it_came(self, name: str) -> None:
        """Gives an action its first keys back, unless another action has taken one.

        Raises:
            KeyRefused: Another action has one of them now.
        """
        sequences = [QKeySequence(key) for row in self.table if row.id == name for key in row.keys]
        for sequence in sequences:
            if why := self._taken(name, sequence):
                raise KeyRefused(why)
        self._actions[name].setShortcuts(sequences)
        self._settings.remove(f"keys/{name}")
        self.changed.emit()

    def enter_place(self, place: str) -> None:
        """Makes the actions of this place work, and those of the others rest."""
        for row in self.table:
            if row.place is not None:
                self._actions[row.id].setEnabled(row.place == place)

    def _taken(self, name: str, sequence: QKeySequence) -> str:
        asking = next(row for row in self.table if row.id == name)
        for row in self.table:
            if row.id != name and meet(row, asking) and sequence in self._actions[row.id].shortcuts():
                owner = f"{_written(sequence)} belongs to “{self.words(row.id)}”."
                return f"{owner} Choose another key, or free it there first."
        return ""

    def _take_kept(self, row: Action) -> None:
        kept = self._settings.value(f"keys/{row.id}")
        if isinstance(kept, str) and not refusal(kept) and not self._taken(row.id, QKeySequence(kept)):
            self._actions[row.id].setShortcuts([QKeySequence(kept)] if kept else [])


def meet(one: Action, other: Action) -> bool:
    """Whether two actions ever work at the same time; those of different places do not, and may share a key."""
    return one.place is None or other.place is None or one.place == other.place


def refusal(key: str) -> str:
    """Why no action can have this key, in a sentence; empty when one can."""
    if not key:
        return ""
    sequence = QKeySequence(key)
    if sequence.count() != 1:
        return "One key, with Ctrl, Alt or Shift held, is enough. Choose a single one."
    if key in (*_KEPT_FOR_TEXT, *_KEPT_FOR_THE_WINDOW):
        return f"{_written(sequence)} has a fixed use in every window. Choose another key."
    return _refused_press(cast("QKeyCombination", sequence[0]), sequence)  # type: ignore[index]  # not in the stubs


def _refused_press(press: QKeyCombination, sequence: QKeySequence) -> str:
    held, letter = press.keyboardModifiers(), Qt.Key.Key_A <= press.key() <= Qt.Key.Key_Z
    control = bool(held & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.MetaModifier))
    alt = bool(held & Qt.KeyboardModifier.AltModifier)
    if control and alt:
        return "Ctrl and Alt together write characters on many keyboards. Use one of them."
    if alt and letter:
        return "Alt with a letter opens menus and goes to fields. Use Ctrl, or a function key."
    if not (control or alt or Qt.Key.Key_F1 <= press.key() <= Qt.Key.Key_F35):
        return f"{_written(sequence)} is needed for typing. Hold Ctrl or Alt with it, or use a function key."
    return ""


def _written(sequence: QKeySequence) -> str:
    return sequence.toString(QKeySequence.SequenceFormat.NativeText)
