"""The page People of Lab setup: who works at the desk, with initials, a PIN and a role."""

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QCheckBox,
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from intake.domain.people import Person
from intake.errors import IntakeError
from intake.ui.help_panel import set_help
from intake.ui.latest import Latest
from intake.ui.pin_dialog import PinDialog
from intake.ui.plain import Words
from intake.ui.room import Room
from intake.ui.setup.draft import Draft
from intake.ui.setup.people import asked
from intake.ui.setup.people.rules_view import RulesView

if TYPE_CHECKING:
    from intake.desk.desk import Desk

EMPTY = (
    "Nobody has to sign in as long as nobody has a PIN: initials are typed below. {new} enters somebody; the first PIN "
    "has to be a lead’s."
)
SOME = "Whoever works at the desk signs in by initials and PIN, {change} changes over. {new} enters somebody new."
ROLES = {"desk": "desk", "lead": "lead"}
HELPS = {
    "initials": "One to four letters or digits. The history names people by them, so they stay as they are.",
    "name": "The name, for whoever reads the initials later.",
    "role": "A lead may also do what is kept to leads: see below.",
    "active": "Somebody who works here no more cannot sign in. The history keeps the name.",
}
ROOMY = 56
"""From this width on, in heights of text, the rules stand beside the people."""


class PeoplePage(QScrollArea):
    """The page.

    Args:
        room: What every place shares.
        draft: The setup while it is being changed.
    """

    people_changed = Signal(object)
    """The desk, knowing who works at it now."""

    def __init__(self, room: Room, draft: Draft) -> None:
        super().__init__()
        self._room, self._draft = room, draft
        self._desk: Desk | None = None
        self._reading = Latest(room.jobs)
        self.people: tuple[Person, ...] = ()
        self.told = Words("", ink="quiet", wraps=True)
        self.list = QListWidget(self)
        self.initials, self.name = QLineEdit(self), QLineEdit(self)
        self.role, self.active = QComboBox(self), QCheckBox("Wor&ks here", self)
        self.wrong = Words("", ink="held", wraps=True)
        self.keep_button, self.pin_button = QPushButton("K&eep it  Enter", self), QPushButton("New &PIN …", self)
        self.rules = RulesView(room.look, self)
        self._lay_out()
        self._connect()
        self._label()
        self._show_person(None)

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self._desk = desk
        self.read_again()

    @Slot()
    def show_setup(self) -> None:
        """Shows the draft as it is now."""
        self.rules.show_rules(self._draft.lab.people)

    @Slot()
    def read_again(self) -> None:
        """Comes into view: others may have entered somebody meanwhile."""
        if self._desk is not None:
            self._reading.ask(partial(asked.everybody, self._desk), self._on_people, self._trouble)

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._reading.forget()

    def row_new(self) -> None:
        """Somebody new is entered."""
        self.list.setCurrentRow(-1)
        self._show_person(None)
        self.initials.setFocus(Qt.FocusReason.ShortcutFocusReason)

    @property
    def chosen(self) -> Person | None:
        """Who is chosen in the list; None while somebody new is entered."""
        row = self.list.currentRow()
        return self.people[row] if 0 <= row < len(self.people) else None

    @Slot()
    def keep(self) -> None:
        """Keeps what the form says, and offers the way back for what is changed."""
        if self._desk is None:
            return
        name, role = self.name.text(), self.role.currentData()
        chosen = self.chosen
        if chosen is None:
            work = partial(asked.enter, self._desk, self.initials.text(), name, role)
            self._room.jobs.run(work, partial(self._on_entered, self.initials.text().strip().upper()), self._refuse)
        else:
            new = replace(chosen, name=name.strip(), role=role, active=self.active.isChecked())
            if new != chosen:
                self._change(new, chosen)

    @Slot()
    def ask_pin(self) -> None:
        """Asks for a new PIN of who is chosen."""
        if self.chosen is None:
            return
        dialog = PinDialog(f"{self.chosen.name} ({self.chosen.initials})", self._room.look, self.window())
        dialog.given.connect(partial(self._on_pin, dialog, self.chosen.initials))
        dialog.open()

    def _change(self, new: Person, old: Person) -> None:
        assert self._desk is not None, "a person is chosen once there is a desk"
        self._room.jobs.run(partial(asked.change, self._desk, new), partial(self._on_changed, new, old), self._refuse)

    def _on_changed(self, new: Person, old: Person, desk: "Desk") -> None:
        self._take(desk)
        self._room.news.offer_undo(f"{new.name} is changed.", partial(self._change, old, new), f"{new.initials}")

    def _on_entered(self, initials: str, desk: "Desk") -> None:
        self._take(desk)
        self.list.setCurrentRow(next(n for n, each in enumerate(self.people) if each.initials == initials))
        self._room.news.tell(f"{initials} is entered. Give a PIN next.")
        self.pin_button.setFocus()
        self.ensureWidgetVisible(self.pin_button)

    def _on_pin(self, dialog: PinDialog, initials: str, pin: str, again: str) -> None:
        assert self._desk is not None, "a person is chosen once there is a desk"
        work = partial(asked.set_pin, self._desk, initials, pin, again)
        self._room.jobs.run(work, partial(self._on_pin_set, dialog, initials), partial(_not_kept, dialog))

    def _on_pin_set(self, dialog: PinDialog, initials: str, desk: "Desk") -> None:
        dialog.accept()
        self._room.news.tell(f"{initials} has a new PIN.")
        self._take(desk)

    def _take(self, desk: "Desk") -> None:
        self._on_people(desk)
        self.people_changed.emit(desk)

    def _on_people(self, desk: "Desk") -> None:
        self._desk = desk
        chosen = self.chosen.initials if self.chosen else None
        self.people = desk.people
        self.list.blockSignals(True)
        self.list.clear()
        self.list.addItems([_line(person) for person in self.people])
        known = [person.initials for person in self.people]
        self.list.setCurrentRow(known.index(chosen) if chosen in known else -1)
        self.list.blockSignals(False)
        self._label()
        if self.chosen is not None or not self.name.isModified():
            self._show_person(self.chosen)

    @Slot()
    def _on_chosen(self) -> None:
        self._show_person(self.chosen)

    def _show_person(self, person: Person | None) -> None:
        self.initials.setText(person.initials if person else "")
        self.initials.setReadOnly(person is not None)
        self.name.setText(person.name if person else "")
        self.role.setCurrentIndex(self.role.findData(person.role if person else "desk"))
        self.active.setChecked(person.active if person else True)
        for part in (self.active, self.pin_button):
            part.setEnabled(person is not None)
        self._say_wrong("")

    @Slot(str, object)
    def _on_rule(self, name: str, value: object) -> None:
        if value != getattr(self._draft.lab.people, name) and not (
            name == "lead_only" and tuple(value) == self._draft.lab.people.lead_only  # type: ignore[arg-type]
        ):
            self._draft.put(("people", name), value)

    def _say_wrong(self, why: str) -> None:
        self.wrong.setText(why)
        self.wrong.setVisible(bool(why))

    def _refuse(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._say_wrong(str(problem))

    def _trouble(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter in the form keeps it; Esc leaves somebody new."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not self.list.hasFocus():
            self.keep()
        elif event.key() == Qt.Key.Key_Escape and self.chosen is None and (self.initials.text() or self.name.text()):
            self._show_person(None)
        else:
            super().keyPressEvent(event)

    def _lay_out(self) -> None:
        page, left = QWidget(), QWidget()
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWidget(page)
        self.list.setAccessibleName("People")
        set_help(self.list, "Who works at the desk, and who did. ↑ and ↓ choose; the form beneath shows who is chosen.")
        for role, words in ROLES.items():
            self.role.addItem(words, role)
        self.initials.setMaxLength(4)
        self.name.setMaxLength(80)
        self._form = QGridLayout()
        fields = {"initials": self.initials, "name": self.name, "role": self.role, "active": self.active}
        labels = {"initials": "Ini&tials", "name": "&Name", "role": "&Role", "active": ""}
        for row, (name, field) in enumerate(fields.items()):
            label = Words(labels[name], ink="quiet")
            label.setBuddy(field)
            field.setAccessibleName(labels[name].replace("&", "") or "Works here")
            set_help(field, HELPS[name])
            self._form.addWidget(label, row, 0)
            self._form.addWidget(field, row, 1)
        self._form.setColumnStretch(1, 1)
        buttons = QHBoxLayout()
        buttons.addWidget(self.keep_button)
        buttons.addWidget(self.pin_button)
        buttons.addStretch(1)
        self._left = QVBoxLayout(left)
        self._left.setContentsMargins(0, 0, 0, 0)
        self._left.addWidget(self.told)
        self._left.addWidget(self.list)
        self._left.addLayout(self._form)
        self._left.addWidget(self.wrong)
        self._left.addLayout(buttons)
        self._left.addStretch(1)
        self._whole = QBoxLayout(QBoxLayout.Direction.LeftToRight, page)
        self._whole.addWidget(left, 3)
        self._whole.addWidget(self.rules, 2, Qt.AlignmentFlag.AlignTop)
        self.setFocusProxy(self.list)
        self._fit()

    def _connect(self) -> None:
        self.list.currentRowChanged.connect(self._on_chosen)
        self.keep_button.clicked.connect(self.keep)
        self.pin_button.clicked.connect(self.ask_pin)
        self.rules.changed.connect(self._on_rule)
        self._room.keys.changed.connect(self._label)
        self._room.look.changed.connect(self._fit)

    @Slot()
    def _label(self) -> None:
        shown = self._room.keys.shown
        told = SOME if any(person.active and person.has_pin for person in self.people) else EMPTY
        self.told.setText(told.format(new=shown("row-new"), change=shown("initials")))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._turn()

    def _turn(self) -> None:
        ways = QBoxLayout.Direction
        beside = self.viewport().width() >= self._room.look.px(ROOMY)
        self._whole.setDirection(ways.LeftToRight if beside else ways.TopToBottom)

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._whole.setContentsMargins(px(1), px(0.7), px(1), px(0.7))
        self._whole.setSpacing(px(2))
        self._left.setSpacing(px(0.6))
        self._form.setHorizontalSpacing(px(0.7))
        self._form.setVerticalSpacing(px(0.4))
        self.list.setFixedHeight(px(8))
        self._turn()


def _line(person: Person) -> str:
    """One line of the list."""
    parts = [person.initials, person.name, person.role, "PIN" if person.has_pin else "no PIN yet"]
    return "  ·  ".join(parts if person.active else [*parts[:3], "works here no more"])


def _not_kept(dialog: PinDialog, problem: Exception) -> None:
    if not isinstance(problem, IntakeError):
        raise problem
    dialog.not_kept(str(problem))
