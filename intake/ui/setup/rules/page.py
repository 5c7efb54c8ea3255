"""The page Rule book of Lab setup: what a case must bring, as sentences, and beside them the one that is changed."""

from datetime import date, datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, Slot
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from intake.domain.rule_cautions import caution_of
from intake.domain.rulebook import Requirement
from intake.setup.rule_text import add_rule, put_rule, rules_in, take_rule_out
from intake.ui.help_panel import set_help
from intake.ui.plain import button_words
from intake.ui.room import Room
from intake.ui.setup.draft import Draft
from intake.ui.setup.rules.editor import RuleEditor
from intake.ui.setup.rules.practices import Practices
from intake.ui.setup.rules.rules_list import RuleRow, RulesList, rows_of

if TYPE_CHECKING:
    from intake.desk.desk import Desk

EMPTY = "The rule book is empty: no practice is ever asked for anything. {key} makes a rule."
NOTHING_FITS = "No rule fits “{text}”."
FIND_HELP = "Shows only the rules in which all that is typed stands somewhere. ↓ goes to them, Esc shows all again."
GROUP_HELP = "Whether the rules stand under their levels, or under the kinds of appliances that they are for."
ROOMY = 58
"""From this width on, in heights of text, the rules stand beside the one that is changed."""


class RulesPage(QWidget):
    """The page.

    Args:
        room: What every place shares.
        draft: The setup while it is being changed.
    """

    def __init__(self, room: Room, draft: Draft) -> None:
        super().__init__()
        self._room, self._draft = room, draft
        self._desk: Desk | None = None
        self._practices = Practices(room, self)
        self._rules: tuple[Requirement, ...] = ()
        self._rows: tuple[RuleRow, ...] = ()
        self.find_field = QLineEdit(self)
        self.grouped = QComboBox(self)
        self.try_button = QPushButton(self)
        self.list = RulesList(room.look, self)
        self.editor = RuleEditor(room.look, self._today, self._practices.with_directory, self)
        self._lay_out()
        self._connect()
        self._label()

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self._desk = self._practices.desk = desk
        self._practices.ask(self._rules)

    @Slot()
    def show_setup(self) -> None:
        """Shows the draft as it is now; what is half typed stays."""
        written = self._draft.get(("rules",)) if self._draft.ready else None
        rules = self._draft.lab.rules if written is None else rules_in(written)
        if rules is None:  # another page of the draft cannot be read: its problem stands in the foot
            return
        self._rules = rules
        self._rows = rows_of(rules, self._draft.lab, self._practices.names)
        self._fill()
        self._show_rule()
        self._practices.ask(rules)

    @Slot()
    def read_again(self) -> None:
        """Comes into view: a practice may have another name meanwhile."""
        self._practices.ask(self._rules, anew=True)

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._practices.forget()

    def row_new(self) -> None:
        """Begins a new rule; in a list of entries, a new entry."""
        entries = self.editor.list_in_focus()
        if entries is not None:
            entries.pick_more()
        elif self.editor.is_new:
            self.editor.setFocus(Qt.FocusReason.ShortcutFocusReason)
        elif self._draft.ready:
            self.editor.begin_new(self._draft.lab, self._practices.names)
            self._turn()

    def row_out(self) -> None:
        """Takes the rule out; in a list of entries, the entry that is chosen."""
        entries, at = self.editor.list_in_focus(), self.list.at
        if entries is not None:
            entries.take_out()
        elif self.editor.is_new:
            self._leave_new()
        elif at is not None:
            words = f"Taken out: {self._rows[at].says} {caution_of(self._rules[at])}"
            self._draft.change(lambda text: take_rule_out(text, at))
            self._room.news.tell(words.strip())

    def row_up(self) -> None:
        """Moves the rule before the one above it under the same heading."""
        self._move(-1)

    def row_down(self) -> None:
        """Moves the rule behind the one below it under the same heading."""
        self._move(1)

    @Slot()
    def try_it(self) -> None:
        """Runs the changed rule book over the cases of the last months."""
        from intake.ui.setup.rules.trying import open_trial

        if self._desk is not None and self.isVisible():
            open_trial(self._room, self._desk, self._draft, self)

    def _move(self, step: int) -> None:
        at, places = self.list.at, self.list.places
        if at is None or at not in places or self.editor.list_in_focus() is not None:
            return
        row = places.index(at) + step
        if 0 <= row < len(places):
            to = places[row]
            self._draft.move(("rules", at), to)
            self.list.choose(to)

    @Slot(object)
    def _on_written(self, rule: Requirement) -> None:
        """What stands in the editor makes a rule: it goes into the draft."""
        at = self.list.at
        if not self.editor.is_new:
            assert at is not None, "a rule that is changed is chosen"
            self._draft.change(lambda text: put_rule(text, at, rule))
            return
        place = len(self._rules) if at is None else at + 1
        self.find_field.clear()
        self._draft.change(lambda text: add_rule(text, place, rule))
        self.list.choose(place)
        self.editor.show_rule(rule, self._draft.lab, self._practices.names)
        self._room.news.tell("The rule is in the book.")

    @Slot()
    def _fill(self) -> None:
        text = self.find_field.text().strip()
        key = self._room.keys.shown("row-new")
        self.list.say_when_empty(NOTHING_FITS.format(text=text) if self._rows else EMPTY.format(key=key))
        self.list.show_rules(self._rows, self._draft.lab, text, self.grouped.currentData())

    @Slot()
    def _on_find(self) -> None:
        self._fill()
        self.list.choose_first()

    @Slot(int)
    def _on_chosen(self, at: int) -> None:
        self._show_rule()

    def _show_rule(self) -> None:
        at = self.list.at
        if self.editor.is_new and self.editor.isAncestorOf(self.focusWidget() or self):
            return  # a new rule is being made
        if at is not None and at < len(self._rules):
            self.editor.show_rule(self._rules[at], self._draft.lab, self._practices.names)
        else:
            self.editor.show_nothing()

    @Slot()
    def _open(self) -> None:
        self._turn(to_editor=True)
        self.editor.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _leave_new(self) -> None:
        self.editor.show_nothing()
        self._turn(to_editor=False)
        self.list.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self._show_rule()

    def _today(self) -> date:
        return (self._desk.now() if self._desk is not None else datetime.now()).date()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc leaves what is half done first, then the rule, then what is looked for."""
        if event.key() != Qt.Key.Key_Escape:
            super().keyPressEvent(event)
        elif self.editor.isAncestorOf(self.focusWidget() or self):
            if self.editor.is_new:
                self._leave_new()
            elif not self.editor.leave_half():
                self._turn()
                self.list.setFocus(Qt.FocusReason.ShortcutFocusReason)
        elif self.find_field.text():
            self.find_field.clear()
        else:
            super().keyPressEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """From the field the arrows go down to the rules, and Enter too; whoever looks for a rule sees the rules."""
        if event.type() == QEvent.Type.FocusIn:
            self._turn(to_editor=False)
        if watched is self.find_field and event.type() == QEvent.Type.KeyPress and _goes_down(event):
            self.list.setFocus(Qt.FocusReason.ShortcutFocusReason)
            return True
        return super().eventFilter(watched, event)

    def _lay_out(self) -> None:
        self.find_field.setAccessibleName("Find a rule")
        self.find_field.setPlaceholderText("find: bite, mouthguard, MARLOW1 …")
        self.find_field.setClearButtonEnabled(False)
        set_help(self.find_field, FIND_HELP)
        self.grouped.addItem("By level", "level")
        self.grouped.addItem("By appliance", "appliance")
        self.grouped.setAccessibleName("Grouped")
        set_help(self.grouped, GROUP_HELP)
        self._head = QHBoxLayout()
        self._head.addWidget(self.find_field, 1)
        self._head.addWidget(self.grouped)
        self._head.addWidget(self.try_button)
        self._sides = QHBoxLayout()
        self._sides.addWidget(self.list, 5)
        self._sides.addWidget(self.editor, 6)
        self._whole = QVBoxLayout(self)
        self._whole.addLayout(self._head)
        self._whole.addLayout(self._sides, 1)
        self.setFocusProxy(self.list)
        self._fit()

    def _connect(self) -> None:
        keys = self._room.keys
        self._practices.named.connect(self.show_setup)
        self.find_field.textChanged.connect(self._on_find)
        self.editor.dropped.connect(self._room.news.tell)
        for part in (self.find_field, self.grouped):
            part.installEventFilter(self)
        self.grouped.currentIndexChanged.connect(self._fill)
        self.list.chosen.connect(self._on_chosen)
        self.list.opened.connect(self._open)
        self.editor.written.connect(self._on_written)
        keys.action("rules-try").triggered.connect(self.try_it)
        self.try_button.clicked.connect(keys.action("rules-try").trigger)
        keys.changed.connect(self._label)
        self._room.look.changed.connect(self._fit)

    @Slot()
    def _label(self) -> None:
        self.try_button.setText(button_words(f"Try it  {self._room.keys.shown('rules-try')}".rstrip()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._turn(to_editor=self.editor.isAncestorOf(self.focusWidget() or self))

    def _turn(self, to_editor: bool | None = None) -> None:
        """Both side by side where there is room; else the rules, or the one that is changed."""
        roomy = self.width() >= self._room.look.px(ROOMY)
        in_editor = self.editor.is_new if to_editor is None else to_editor
        self.list.setVisible(roomy or not in_editor)
        self.editor.setVisible(roomy or in_editor)

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._whole.setContentsMargins(px(1), px(0.7), px(1), px(0.7))
        self._whole.setSpacing(px(0.6))
        self._head.setSpacing(px(0.6))
        self._sides.setSpacing(px(1))
        self._turn(to_editor=self.editor.isAncestorOf(self.focusWidget() or self))


def _goes_down(event: QEvent) -> bool:
    downward = (Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Enter)
    return (
        isinstance(event, QKeyEvent)
        and event.key() in downward
        and not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
    )
