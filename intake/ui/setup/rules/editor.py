"""One rule while it is changed: what is picked or typed counts as soon as it makes a rule."""

from collections.abc import Callable, Mapping
from datetime import date
from functools import partial
from typing import Any

from PySide6.QtCore import Qt, QTimer, Signal, Slot
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from intake.domain.condition_parts import Role
from intake.domain.lab import Lab
from intake.domain.practice_index import PracticeIndex
from intake.domain.rule_cautions import caution_of
from intake.domain.rule_sentences import rule_sentence
from intake.domain.rule_sketch import Field, RuleSketch, finished, sketch_of
from intake.domain.rulebook import ForPractice, Requirement
from intake.ui.look import Look
from intake.ui.plain import Words
from intake.ui.setup.rules.condition_dialog import ConditionDialog
from intake.ui.setup.rules.kinds_dialog import KindsDialog
from intake.ui.setup.rules.pick_list import PickList
from intake.ui.setup.rules.practice_dialog import PracticeDialog
from intake.ui.setup.rules.rule_fields import RuleFields

NEW = "A new rule. It comes into the book when it has a name, a question, and a line under Where or under Needs."
ONLY_FOR = ("Only for a practice", "The rule holds for the practices that are named, and for no other.")
OTHERWISE = (
    "Another level for a practice",
    "For this practice the rule is graver or less grave than for the others, or does not hold.",
)
_ROLES: tuple[Role, ...] = ("when", "satisfied_by")
WithDirectory = Callable[[Callable[[PracticeIndex], None]], None]


class RuleEditor(QScrollArea):
    """Changes one rule.

    Args:
        look: For lengths.
        today: The desk's day.
        with_directory: Hands the directory over, once it is read.
        parent: The owner.
    """

    written = Signal(object)
    """What stands here makes a rule that differs from the one that was shown: the rule."""

    dropped = Signal(str)
    """What was half done is gone, since another rule is shown now: that in words."""

    def __init__(self, look: Look, today: Callable[[], date], with_directory: WithDirectory, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._today, self._with_directory = look, today, with_directory
        self._lab: Lab | None = None
        self._practices: Mapping[str, str] = {}
        self._rule: Requirement | None = None
        self._sketch = RuleSketch()
        self._left: set[str] = set()
        self.reads = Words("", wraps=True)
        self.caution = Words("", ink="caution", wraps=True)
        self.fields = RuleFields(look, self)
        self._lay_out()
        self._connect()
        self.setFocusProxy(self.fields.level)

    @property
    def is_new(self) -> bool:
        """Whether a new rule is being made that is not in the book yet."""
        return self._lab is not None and self._rule is None

    def show_rule(self, rule: Requirement, lab: Lab, practices: Mapping[str, str]) -> None:
        """Shows a rule of the book; one that is being changed and makes no rule yet stays as it is."""
        self._lab, self._practices = lab, practices
        if rule != self._rule:
            self._drop()
            if not self.isAncestorOf(self.window().focusWidget() or self):
                self.verticalScrollBar().setValue(0)
            self._rule, self._sketch, self._left = rule, sketch_of(rule), set()
        self._show()

    def begin_new(self, lab: Lab, practices: Mapping[str, str]) -> None:
        """Begins a new rule."""
        self._lab, self._practices = lab, practices
        self._rule, self._sketch, self._left = None, RuleSketch(), set()
        for field in self.fields.typed.values():
            field.setModified(False)
        self._show()
        self.fields.id.setFocus(Qt.FocusReason.OtherFocusReason)

    def show_nothing(self) -> None:
        """Shows no rule: there is none to show."""
        self._lab, self._rule, self._sketch = None, None, RuleSketch()
        self._inner.hide()

    def leave_half(self) -> bool:
        """Puts back what is half typed or makes no rule; False where nothing is."""
        half = [field for field in self.fields.typed.values() if field.isModified()]
        was = sketch_of(self._rule) if self._rule is not None else self._sketch
        if not half and self._sketch == was:
            return False
        for field in half:
            field.setModified(False)
        self._sketch, self._left = was, set()
        self._show()
        return True

    def list_in_focus(self) -> PickList | None:
        """The list of entries that has the focus."""
        return next((each for each in self.fields.lists.values() if each.hasFocus()), None)

    def _drop(self) -> None:
        """Says that what was half done is gone, where anything was."""
        if isinstance(self._made(), Requirement) or self._sketch == RuleSketch():
            return
        if self._rule is None:
            self.dropped.emit("The new rule was not finished, and is left.")
        else:
            self.dropped.emit(f"What was changed last of “{self._rule.id}” makes no rule: it is as it was.")

    def _made(self) -> Requirement | Mapping[Field, str]:
        return finished(self._sketch, self._today(), self._rule)

    def _show(self) -> None:
        assert self._lab is not None, "a rule is shown in a lab's words"
        self._inner.show()
        self.fields.show_sketch(self._sketch, self._lab, self._practices)
        made = self._made()
        whole = made if isinstance(made, Requirement) else self._rule
        caution = caution_of(whole) if whole is not None else ""
        self.caution.setText(caution)
        self.caution.setVisible(bool(caution))
        if isinstance(made, Requirement):
            self.reads.setText(rule_sentence(made, self._lab, self._practices))
            self.reads.set_ink("ink")
            self.fields.show_problems({})
            return
        if self._rule is None:
            self.reads.setText(NEW)
            self.reads.set_ink("quiet")
            self.fields.show_problems({name: said for name, said in made.items() if name in self._left})
            return
        self.fields.show_problems(made)

    def _change(self, field: str, sketch: RuleSketch) -> None:
        """Takes a change; it counts where it makes a rule."""
        if self._lab is None:
            return
        self._left.add(field)
        if sketch == self._sketch:
            self._show()
            return
        self._sketch = sketch
        made = self._made()
        if isinstance(made, Requirement) and made != self._rule:
            self.written.emit(made)
        if self._lab is not None:
            self._show()

    def _on_typed(self, name: str) -> None:
        field = self.fields.typed[name]
        if field.isModified():
            field.setModified(False)
            self._change(name, self._sketch.having(**{name: field.text().strip()}))

    @Slot()
    def _on_level(self) -> None:
        self._change("level", self._sketch.having(level=self.fields.level.currentData()))

    @Slot()
    def _on_scope(self) -> None:
        scope = self.fields.scope.currentData()
        self._change("scope", self._sketch.having(scope=scope))
        if scope == "some" and not self._sketch.kinds:
            self._pick_kinds()

    def _on_picked(self, name: str, at: int) -> None:
        """An entry is to be changed, or a new one is wanted."""
        match name:
            case "kinds":
                self._pick_kinds()
            case "when" | "satisfied_by":
                self._pick_condition(next(role for role in _ROLES if role == name), at)
            case "only_for" | "exceptions":
                self._with_directory(partial(self._pick_practice, name, at))

    def _on_taken_out(self, name: str, at: int) -> None:
        entries: tuple[Any, ...] = getattr(self._sketch, name)
        self._change(name, self._sketch.having(**{name: entries[:at] + entries[at + 1 :]}))

    def _pick_kinds(self) -> None:
        assert self._lab is not None, "only what is shown can be picked"
        dialog = KindsDialog(self._lab.types, self._sketch.kinds, self._look, self)
        dialog.taken.connect(lambda kinds: self._change("kinds", self._sketch.having(kinds=kinds)))
        dialog.open()

    def _pick_condition(self, role: Role, at: int) -> None:
        conditions: tuple[Any, ...] = getattr(self._sketch, role)
        condition = conditions[at] if at < len(conditions) else None
        dialog = ConditionDialog(role, condition, self._sketch.scope == "case", self._look, self)
        dialog.taken.connect(partial(self._on_condition, role, at))
        dialog.open()

    def _on_condition(self, role: Role, at: int, condition: Any) -> None:
        conditions: tuple[Any, ...] = getattr(self._sketch, role)
        now = (*conditions[:at], condition, *conditions[at + 1 :])
        self._change(role, self._sketch.having(**{role: tuple(dict.fromkeys(now))}))

    def _pick_practice(self, name: str, at: int, index: PracticeIndex) -> None:
        entries: tuple[Any, ...] = getattr(self._sketch, name)
        entry = entries[at] if at < len(entries) else None
        title, told = ONLY_FOR if name == "only_for" else OTHERWISE
        code = entry.practice if isinstance(entry, ForPractice) else entry or ""
        level = None if name == "only_for" else entry.level if entry is not None else "warns"
        dialog = PracticeDialog(title, told, index, code, level, self._look, self)
        dialog.taken.connect(partial(self._on_practice, name, at, index))
        dialog.open()

    def _on_practice(self, name: str, at: int, index: PracticeIndex, code: str, level: str) -> None:
        place = index.at(code)
        if place is not None:
            self._practices = {**self._practices, code: index.practices[place].name}
        entries: tuple[Any, ...] = getattr(self._sketch, name)
        entry = code if name == "only_for" else ForPractice.model_validate({"practice": code, "level": level})
        now = tuple(dict.fromkeys((*entries[:at], entry, *entries[at + 1 :])))
        self._change(name, self._sketch.having(**{name: now}))

    @Slot()
    def _on_range(self) -> None:
        QTimer.singleShot(0, self._keep_in_view)  # once everything has its new place

    @Slot()
    def _keep_in_view(self) -> None:
        """The field in focus stays in view where it has grown, or another one has."""
        focus = self.window().focusWidget()  # it has no focus yet where a dialog has just closed
        if focus is not None and self.isAncestorOf(focus):
            self.ensureWidgetVisible(focus, 0, self._look.px(1))

    def _connect(self) -> None:
        self.fields.level.activated.connect(self._on_level)
        self.fields.scope.activated.connect(self._on_scope)
        for name, field in self.fields.typed.items():
            done = field.editingFinished if hasattr(field, "editingFinished") else field.finished
            done.connect(partial(self._on_typed, name))
        for name, entries in self.fields.lists.items():
            entries.picked.connect(partial(self._on_picked, name))
            entries.taken_out.connect(partial(self._on_taken_out, name))
        self.verticalScrollBar().rangeChanged.connect(self._on_range)
        self._look.changed.connect(self._fit)

    def _lay_out(self) -> None:
        self._inner = QWidget()
        self._column = QVBoxLayout(self._inner)
        self._column.addWidget(self.reads)
        self._column.addWidget(self.caution)
        self._column.addWidget(self.fields)
        self._column.addStretch(1)
        self.setWidget(self._inner)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._inner.hide()
        self._fit()

    @Slot()
    def _fit(self) -> None:
        px = self._look.px
        self._column.setContentsMargins(px(0.2), 0, px(0.6), px(0.6))
        self._column.setSpacing(px(0.8))
