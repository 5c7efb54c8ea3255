"""Why boxes come back: the reasons with their keys, and the question to the practice."""

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from intake.domain.handing_over import BackFor
from intake.ui.handover.modes import REASONS
from intake.ui.help_panel import set_help
from intake.ui.plain import Words, button_words, restyle
from intake.ui.room import Room

HELP = (
    "The question to the practice as it is to be asked: it is rung for and written word for word. Type it, then scan "
    "the box; or scan the box first. It is asked about that one box."
)
NOTE_HELP = "What else is to be noted about why it comes back. It may be left empty. Enter goes back to the field."


class BackRow(QWidget):
    """Shows the reasons, and takes the question or note.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    entered = Signal()
    """The words are typed."""
    left = Signal()
    """The keys go back to the field, with the words as they are."""

    def __init__(self, room: Room, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._room = room
        self.back_for: BackFor = "question"
        self.buttons = {name: QPushButton(self) for name in REASONS}
        self.label = Words("", size="small", ink="quiet")
        self.edit = _Edit(self)
        self.edit.setMaxLength(1000)
        self.label.setBuddy(self.edit)
        self._reasons = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        for name, button in self.buttons.items():
            button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            button.clicked.connect(room.keys.action(f"back-{name}").trigger)
            self._reasons.addWidget(button)
        self._reasons.addStretch(1)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addLayout(self._reasons)
        self._column.addWidget(self.label)
        self._column.addWidget(self.edit)
        self.edit.returnPressed.connect(self.entered)
        self.edit.left.connect(self.left)
        room.keys.changed.connect(self._label)
        room.look.changed.connect(self._fit)
        self._label()
        self._fit()

    @property
    def words(self) -> str:
        """What is typed."""
        return self.edit.text().strip()

    def choose(self, back_for: BackFor) -> None:
        """Takes a reason. The words of another one are not kept: a question is never noted as a damage."""
        if back_for != self.back_for:
            self.edit.clear()
        self.back_for = back_for
        self._label()

    @Slot(str)
    def forget(self, words: str) -> None:
        """Clears words that were kept with a box: they are of that box alone."""
        if self.words == words:
            self.edit.clear()

    def begin(self) -> None:
        """Takes the keys where words have to be typed first."""
        if self.back_for == "question" and not self.words:
            self.edit.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def set_low(self, low: bool) -> None:
        """Takes little height, where there is little."""
        for button in self.buttons.values():
            button.setProperty("compact", low)
            restyle(button)
        self.label.setVisible(not low)

    @Slot()
    def _label(self) -> None:
        for name, button in self.buttons.items():
            button.setText(button_words(f"{REASONS[name]}  {self._room.keys.shown(f'back-{name}')}".rstrip()))
            button.setProperty("picked", name == self.back_for)
            restyle(button)
        asks = self.back_for == "question"
        self.label.setText("&Question to the practice" if asks else "&Note, where there is one")
        self.edit.setAccessibleName("Question to the practice" if asks else "Note, where there is one")
        set_help(self.edit, HELP if asks else NOTE_HELP)
        self.edit.setPlaceholderText("word for word, then Enter" if asks else "may be left empty")

    @Slot()
    def _fit(self) -> None:
        self._column.setSpacing(self._room.look.px(0.25))
        self._reasons.setSpacing(self._room.look.px(0.4))


class _Edit(QLineEdit):
    left = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and not event.modifiers():
            self.left.emit()
        else:
            super().keyPressEvent(event)
