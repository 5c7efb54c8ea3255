"""Who speaks: the name, in what role and by which way; said once, and kept for the whole call."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from intake.domain.answer import Speaker
from intake.domain.form_fields import Said
from intake.domain.speaking import ROLES, WAYS, next_role, next_way, role_of, speaker_words
from intake.ui.help_panel import set_help
from intake.ui.plain import button_words
from intake.ui.room import Room
from intake.ui.waiting.asking import Offer
from intake.ui.waiting.calls import Call
from intake.ui.waiting.offers import KEYED
from intake.ui.waiting.typing_field import TypingField

HELP = (
    "The name of who gives the answers. ↓ or its key chooses one of the prescribers. The two buttons say in what role "
    "and by which way the answers come: an answer that changes what is made counts only from the prescriber, or on the "
    "prescriber’s behalf."
)


class SpeakerLine(QWidget):
    """Asks who speaks.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    said = Signal()
    """The desk goes on to the questions."""
    changed = Signal()

    def __init__(self, room: Room, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._room = room
        self._call = Call()
        self._prescribers: tuple[str, ...] = ()
        self._wanted = False
        self.name = TypingField(room, "Who spea&ks", self._read, self, compact=True)
        set_help(self.name.edit, HELP)
        self.role_button, self.way_button = QPushButton(self), QPushButton(self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.name)
        for button, action in ((self.role_button, "speaker-role"), (self.way_button, "speaker-way")):
            button.setProperty("compact", True)
            button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            button.clicked.connect(room.keys.action(action).trigger)
            self.name.row.addWidget(button)
        self.setFocusProxy(self.name.edit)
        self.name.edited.connect(self._on_name)
        self.name.entered.connect(self._on_entered)
        self.name.taken.connect(self.take)
        room.keys.action("speaker-role").triggered.connect(self._on_role)
        room.keys.action("speaker-way").triggered.connect(self._on_way)
        room.keys.changed.connect(self._show)
        self._show()

    @property
    def speaker(self) -> Speaker:
        """Who speaks."""
        return self._call.speaker

    def show_call(self, call: Call, prescribers: Sequence[str]) -> None:
        """Shows the speaker of a call; the prescribers are those that are known of the practice."""
        self._call, self._prescribers, self._wanted = call, tuple(prescribers), False
        offers = [Offer(name, f"{name}, the prescriber") for name in self._prescribers[:KEYED]]
        self.name.ask("Who speaks", call.name, offers)
        self.open_up(self.name.edit.hasFocus())
        self._show()

    def want(self) -> None:
        """Takes the keys, since nothing can be taken down before somebody is named."""
        self._wanted = True
        self.take_keys()
        self._show()

    def take_keys(self) -> None:
        """Takes the keys, with the name marked: typing takes its place."""
        self.name.edit.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.name.edit.selectAll()

    @Slot(int)
    def take(self, at: int) -> None:
        """Takes one of the prescribers, and goes on."""
        if at < len(self.name.offers.offers):
            self.name.put(self.name.offers.offers[at].beginning)
            self._on_name(self.name.text)
            self.said.emit()

    def open_up(self, open_up: bool) -> None:
        """Shows what helps to say it, or makes room for the questions: the buttons then say all."""
        self.name.offers.setVisible(open_up and bool(self.name.offers.offers))
        self.name.echo.setVisible(open_up)

    def _read(self, text: str) -> Said:
        return Said(speaker_words(self._call.speaker))

    @Slot(str)
    def _on_name(self, text: str) -> None:
        self._call.name = text
        self._wanted = False
        known = role_of(text, self._prescribers)
        if known == "prescriber" or self._call.role == "prescriber":
            self._call.role = known
        self._show()

    @Slot()
    def _on_entered(self) -> None:
        if self.speaker.name:
            self.said.emit()
        else:
            self.want()

    @Slot()
    def _on_role(self) -> None:
        self._call.role = next_role(self._call.role)
        self._show()

    @Slot()
    def _on_way(self) -> None:
        self._call.way = next_way(self._call.way)
        self._show()

    @Slot()
    def _show(self) -> None:
        keys = self._room.keys
        role, way = ROLES[self._call.role], WAYS[self._call.way]
        self.role_button.setText(button_words(f"{role}  {keys.shown('speaker-role')}".rstrip()))
        self.way_button.setText(button_words(f"{way}  {keys.shown('speaker-way')}".rstrip()))
        self.role_button.setAccessibleName(f"In what role: {role}")
        self.way_button.setAccessibleName(f"By which way: {way}")
        self.name.say()
        if not self.speaker.name:
            wanted = "Say first who gives the answers."
            self.name.echo.setText(wanted if self._wanted else "The name; then Enter goes on to the questions.")
            self.name.echo.set_ink("held" if self._wanted else "quiet")
        self.changed.emit()
