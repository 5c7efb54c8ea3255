"""The call card: the practice and its number, who speaks, what to say now, and everything else in order."""

from PySide6.QtCore import Qt, QTimer, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from intake.ui.plain import Words, button_words
from intake.ui.room import Room
from intake.ui.waiting.flow import Flow
from intake.ui.waiting.head import Head, compact_button
from intake.ui.waiting.script_view import ScriptView
from intake.ui.waiting.speaker_line import SpeakerLine
from intake.ui.waiting.to_say import ToSay

BUTTONS = {
    "write-now": "Letter by post",
    "mail-now": "Letter by e-mail",
    "make-standing": "Make it standing",
    "all-disinfected": "All is disinfected",
    "send-forms": "Send blank forms",
}
ROOMY = 44
"""From this width on, in heights of text, the number stands beside the name."""


class CallView(QScrollArea):
    """Lays out the parts of the call card.

    Args:
        room: What every place shares.
        empty: What to say while no practice is chosen.
        parent: The owner.
    """

    def __init__(self, room: Room, empty: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._room = room
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName("Call card")
        self.head = Head(room, self)
        self.speaker = SpeakerLine(room, self)
        self.to_say = ToSay(room, lambda: self.speaker.speaker, self)
        self.script = ScriptView(room.look, self)
        self.empty = Words(empty, ink="quiet", wraps=True)
        self._buttons = {name: compact_button(room, name) for name in BUTTONS}
        self._lay_out()
        room.keys.changed.connect(self._label)
        room.look.changed.connect(self._fit)
        self._label()
        self._fit()
        self.show_empty()

    def show_empty(self, words: str = "") -> None:
        """Shows no practice."""
        if words:
            self.empty.setText(words)
        self._card.hide()
        self.empty.show()

    def show_card(self) -> None:
        """Shows the practice that was put into the parts."""
        self.empty.hide()
        self._card.show()

    @property
    def is_shown(self) -> bool:
        """Whether there is a card."""
        return not self._card.isHidden()

    def see(self, part: QWidget) -> None:
        """Brings a part into view, once it has its place."""
        QTimer.singleShot(0, part, lambda: self._see(part))

    def _see(self, part: QWidget) -> None:
        margin = self._room.look.px(0.6)
        if part is self.to_say:
            for each in (
                self.to_say.field.echo,
                self.to_say.field.edit,
                self.to_say.words,
            ):  # the words before all else
                self.ensureWidgetVisible(each, 0, margin)
        else:
            self.ensureWidgetVisible(part, 0, margin)

    def _lay_out(self) -> None:
        self._flow = Flow()
        for button in self._buttons.values():
            self._flow.addWidget(button)
        self._card = QWidget()
        self._column = QVBoxLayout(self._card)
        for part in (self.head, self.speaker, self.to_say):
            self._column.addWidget(part)
        self._column.addWidget(self.script, 1)
        self._column.addLayout(self._flow)
        whole = QWidget(self)
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._card, 1)
        column.addWidget(self.empty, 0, Qt.AlignmentFlag.AlignTop)
        self.setWidget(whole)

    @Slot()
    def _label(self) -> None:
        for name, button in self._buttons.items():
            button.setText(button_words(f"{BUTTONS[name]} {self._room.keys.shown(name)}".rstrip()))

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._column.setContentsMargins(px(0.8), px(0.6), px(1), px(0.6))
        self._column.setSpacing(px(0.5))
        self._flow.setSpacing(px(0.3))
        self.empty.setContentsMargins(px(1), px(1), px(1), px(1))
        self.script.setMinimumHeight(px(7))
        self.head.stack(self.viewport().width() < px(ROOMY))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()
