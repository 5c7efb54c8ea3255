"""The foot of Lab setup: how the draft stands, and the two ways on from there."""

from PySide6.QtCore import Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QPushButton, QWidget

from intake.ui.plain import Words, button_words, set_edge
from intake.ui.room import Room

ROOMY = 42
"""From this width on, in heights of text, what is said stands beside the buttons."""


class Foot(QWidget):
    """Says how the draft stands.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    def __init__(self, room: Room, parent: QWidget) -> None:
        super().__init__(parent)
        self._room = room
        self._is_changed = self._is_wrong = False
        self.said = Words("", ink="quiet", wraps=True)
        self.buttons = {name: QPushButton(self) for name in ("setup-throw-away", "setup-in-force")}
        set_edge(self, "top")
        row = QHBoxLayout()
        for name, button in self.buttons.items():
            button.clicked.connect(room.keys.action(name).trigger)
            row.addWidget(button)
        row.addStretch(1)
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._row.addWidget(self.said, 1)
        self._row.addLayout(row)
        room.keys.changed.connect(self._label)
        room.look.changed.connect(self._fit)
        self._label()
        self._fit()

    def show_state(self, said: str, is_wrong: bool, is_changed: bool) -> None:
        """Shows how it stands.

        Args:
            said: In a sentence.
            is_wrong: Whether it cannot be put in force as it is.
            is_changed: Whether there is anything to put in force, or to leave as it was.
        """
        self._is_changed, self._is_wrong = is_changed, is_wrong
        self.said.setText(said)
        self.said.set_ink("held" if is_wrong else "quiet")
        for name, button in self.buttons.items():
            self._room.keys.action(name).setEnabled(is_changed)
            button.setEnabled(is_changed)
        self._fit()

    @Slot()
    def _label(self) -> None:
        for name, words in (("setup-in-force", "Put in force"), ("setup-throw-away", "Leave as it was")):
            self.buttons[name].setText(button_words(f"{words}  {self._room.keys.shown(name)}".rstrip()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    @Slot()
    def _fit(self) -> None:
        px, ways = self._room.look.px, QBoxLayout.Direction
        roomy = self.width() >= px(ROOMY)
        self._row.setDirection(ways.LeftToRight if roomy else ways.TopToBottom)
        self._row.setContentsMargins(px(1), px(0.4), px(1), px(0.4))
        self._row.setSpacing(px(0.4))
        for button in self.buttons.values():
            button.setVisible(roomy or self._is_changed)
        self.said.setVisible(roomy or self._is_wrong or not self._is_changed)  # the buttons say it too
