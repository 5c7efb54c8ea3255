"""The head of the card: whom to ring, on which number, and whether somebody answers there now."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from intake.ui.plain import Words, button_words
from intake.ui.room import Room
from intake.ui.waiting.flow import Flow
from intake.ui.waiting.ring_model import when_words

if TYPE_CHECKING:
    from intake.desk.ring_list import RingLine

NUMBER = {"dial": "Dial", "copy-number": "Copy"}
TRIES = {
    "no-answer": "No answer",
    "engaged": "Engaged",
    "message-left": "Message left",
    "ring-back": "Ring back …",
    "wrong-number": "Wrong number",
}
NO_NUMBER = "no number on file"


class Head(QWidget):
    """Shows the practice and its number, and what came of ringing it.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    def __init__(self, room: Room, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._room = room
        self.name = Words(bold=True, wraps=True)
        self.state = Words(wraps=True)
        self.telephone = Words(size="arm")
        self.telephone.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.caution = Words(size="small", ink="caution", wraps=True)
        self._buttons = {name: compact_button(room, name) for name in (*NUMBER, *TRIES)}
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        said = QVBoxLayout()
        said.setSpacing(0)
        said.addWidget(self.name)
        said.addWidget(self.state)
        said.addStretch(1)
        self._row.addLayout(said, 1)
        self._row.addWidget(self.telephone, 0, Qt.AlignmentFlag.AlignTop)
        self._dials, self._tries = QHBoxLayout(), Flow()
        self._dials.addWidget(self.caution, 1)
        for name in NUMBER:
            self._dials.addWidget(self._buttons[name])
        for name in TRIES:
            self._tries.addWidget(self._buttons[name])
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        for row in (self._row, self._dials, self._tries):
            self._column.addLayout(row)
        room.keys.changed.connect(self._label)
        room.look.changed.connect(self._fit)
        self._label()
        self._fit()

    def show_line(self, line: "RingLine", caution: str) -> None:
        """Shows a practice, and whom to trust."""
        self.name.setText(line.practice)
        open_now = f", {line.open}" if line.open else ""
        self.state.setText(f"{when_words(line)}{open_now}. {line.told}")
        self.telephone.setText(line.telephone or NO_NUMBER)
        self.telephone.setAccessibleName(f"Telephone {line.telephone or NO_NUMBER}")
        self.caution.setText(caution)

    def stack(self, narrow: bool) -> None:
        """Puts the number under the name where there is little room."""
        sideways, downwards = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        self._row.setDirection(downwards if narrow else sideways)

    @Slot()
    def _label(self) -> None:
        for name, button in self._buttons.items():
            button.setText(button_words(f"{({**NUMBER, **TRIES})[name]} {self._room.keys.shown(name)}".rstrip()))

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._column.setSpacing(px(0.35))
        self._dials.setSpacing(px(0.3))
        self._tries.setSpacing(px(0.3))
        self._row.setSpacing(px(1))


def compact_button(room: Room, action: str) -> QPushButton:
    """A small button for an action; it takes no keys, since the action has one."""
    button = QPushButton()
    button.setProperty("compact", True)
    button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    button.clicked.connect(room.keys.action(action).trigger)
    return button
