"""What lies in a parcel: a line for each thing, with the name on its tray or bag, and a key for each kind."""

from dataclasses import replace
from functools import partial

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QApplication, QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from intake.domain.parcels import CONTENT_WORDS, ContentKind
from intake.ui.help_panel import set_help
from intake.ui.parcels.draft import USUAL, Thing, with_thing, without_thing
from intake.ui.plain import Words, button_words
from intake.ui.room import Room
from intake.ui.waiting.flow import Flow

ADDED: dict[ContentKind, str] = {
    "case": "Case",
    "part": "Part of a case",
    "repair": "For repair",
    "nothing": "Nothing",
    "other": "Something else",
    "danger": "It can hurt: stop",
}
"""The kinds with the words of their buttons; each has the action `parcel-` with its name."""
MOST_SIGNS = 200
FOUND, NOTE = "Name on the tray or the bag", "Note on it"
HELP = (
    "What lies in the parcel. Ctrl with a digit adds a thing, and so does the digit alone while no field is typed "
    "into. One case is assumed; it gives way to the first thing of another kind."
)
HELP_FOUND = (
    "The name as it stands on the tray or the bag, word for word. It is kept beside the prescription’s, never in its "
    "place; if they differ, the practice is asked."
)


class ThingsView(QWidget):
    """Shows what lies in a parcel, and takes what is said of it.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    changed = Signal()
    went_on = Signal()

    def __init__(self, room: Room, parent: QWidget) -> None:
        super().__init__(parent)
        self._room = room
        self._rows: list[_Row] = []
        self.buttons: dict[ContentKind, QPushButton] = {}
        self._flow = Flow()
        for kind in ADDED:
            button = self.buttons[kind] = QPushButton(self)
            button.setProperty("compact", True)
            button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            button.clicked.connect(room.keys.action(f"parcel-{kind}").trigger)
            self._flow.addWidget(button)
        self.head = Words("What lies in it", size="small", ink="quiet")
        self._lines = QVBoxLayout()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self.head)
        self._column.addLayout(self._flow)
        self._column.addLayout(self._lines)
        set_help(self, HELP)
        self.setAccessibleName("What lies in it")
        room.keys.changed.connect(self._label)
        room.look.changed.connect(self._fit)
        self._label()
        self._fit()
        self.load(USUAL)

    @property
    def things(self) -> tuple[Thing, ...]:
        """What is said to lie in it."""
        return tuple(row.thing for row in self._rows if not row.isHidden())

    @property
    def edits(self) -> list[QLineEdit]:
        """The fields of the lines, in the order in which Tab goes through them."""
        return [edit for row in self._rows if not row.isHidden() for edit in (row.found, row.note)]

    def load(self, things: tuple[Thing, ...]) -> None:
        """Shows these things."""
        while len(self._rows) < len(things):
            self._add_row()
        for at, row in enumerate(self._rows):
            row.setVisible(at < len(things))
            if at < len(things):
                row.show_thing(things[at])

    def add(self, kind: ContentKind) -> None:
        """Puts one more thing there. Whoever was typing types its name next."""
        typing = isinstance(QApplication.focusWidget(), QLineEdit)
        self.load(with_thing(self.things, kind))
        if typing:
            self._shown[-1].found.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.changed.emit()

    def take_out(self) -> str:
        """Takes the line that has the keys out again, or the last; gives what it was, in words."""
        at = next((at for at, row in enumerate(self._shown) if row.has_keys), len(self._shown) - 1)
        gone = self._shown[at].thing
        had_keys = self._shown[at].has_keys
        self.load(without_thing(self.things, at))
        if had_keys:
            self._shown[min(at, len(self._shown) - 1)].found.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.changed.emit()
        return CONTENT_WORDS[gone.kind]

    @property
    def _shown(self) -> "list[_Row]":
        return [row for row in self._rows if not row.isHidden()]

    def _add_row(self) -> None:
        row = _Row(self._room, self)
        number = len(self._rows) + 1
        row.found.setAccessibleName(f"{FOUND}, {number}")
        row.note.setAccessibleName(f"{NOTE}, {number}")
        for edit in (row.found, row.note):
            edit.textEdited.connect(partial(self._on_edited, row))
            edit.returnPressed.connect(self.went_on)
        if self._rows:
            QWidget.setTabOrder(self._rows[-1].note, row.found)
        QWidget.setTabOrder(row.found, row.note)
        self._rows.append(row)
        self._lines.addWidget(row)

    def _on_edited(self, row: "_Row", _: str) -> None:
        row.say()
        self.changed.emit()

    @Slot()
    def _label(self) -> None:
        for kind, button in self.buttons.items():
            button.setText(button_words(f"{ADDED[kind]}  {self._room.keys.shown(f'parcel-{kind}')}".rstrip()))

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._flow.setSpacing(px(0.3))
        self._lines.setSpacing(px(0.25))
        self._column.setSpacing(px(0.25))


class _Row(QWidget):
    """One thing: what it is, the name on it, a note."""

    def __init__(self, room: Room, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._thing = room.look, Thing("case")
        self.words = Words("", wraps=True)
        self.found, self.note = QLineEdit(self), QLineEdit(self)
        self.found.setPlaceholderText("name on the tray or the bag")
        self.note.setPlaceholderText("note")
        set_help(self.found, HELP_FOUND)
        set_help(self.note, "Whatever else is to be said of it: what is loose or broken, what it came wrapped in.")
        self._line = QHBoxLayout(self)
        self._line.setContentsMargins(0, 0, 0, 0)
        self._line.addWidget(self.words)
        self._line.addWidget(self.found, 3)
        self._line.addWidget(self.note, 2)
        for edit in (self.found, self.note):
            edit.setMaxLength(MOST_SIGNS)
            edit.setMinimumWidth(1)
        room.look.changed.connect(self._fit)
        self._fit()

    @property
    def thing(self) -> Thing:
        """The thing as it is said to be."""
        found, note = self.found.text(), self.note.text()
        assumed = self._thing.assumed and not (found.strip() or note.strip())
        return replace(self._thing, found=found, note=note, assumed=assumed)

    @property
    def has_keys(self) -> bool:
        """Whether somebody is typing in it."""
        return self.found.hasFocus() or self.note.hasFocus()

    def show_thing(self, thing: Thing) -> None:
        """Shows a thing; text that stays keeps its cursor."""
        self._thing = thing
        for edit, text in ((self.found, thing.found), (self.note, thing.note)):
            if edit.text() != text:
                edit.setText(text)
        nothing = thing.kind == "nothing"
        self.found.setVisible(not nothing)
        self.say()

    def say(self) -> None:
        """Says what it is, and whether that is only assumed."""
        thing = self.thing
        self.words.setText(f"{CONTENT_WORDS[thing.kind]}{', as usual' if thing.assumed else ''}")
        self.words.set_ink("quiet" if thing.assumed else "ink")

    @Slot()
    def _fit(self) -> None:
        self.words.setFixedWidth(self._look.px(11))
        self._line.setSpacing(self._look.px(0.5))
