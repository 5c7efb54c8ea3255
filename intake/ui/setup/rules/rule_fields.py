"""The fields of one rule, one under the other, each with what is wrong with it beside it."""

from collections.abc import Mapping
from itertools import pairwise
from typing import Any

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QComboBox, QLineEdit, QVBoxLayout, QWidget

from intake.domain.condition_words import circumstance_words, satisfier_words
from intake.domain.lab import Lab
from intake.domain.rule_sentences import LEVEL_WORDS
from intake.domain.rule_sketch import RuleSketch
from intake.domain.rulebook import PLACEHOLDERS
from intake.domain.wording import capital
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.plain import Words, restyle
from intake.ui.setup.rules.paragraph import Paragraph
from intake.ui.setup.rules.pick_list import PickList
from intake.ui.setup.rules.practice_dialog import LEVELS_OF_ONE

BRACES = ", ".join(f"{{{name}}}" for name in sorted(PLACEHOLDERS))
HELP = {
    "level": "How grave it is: work waits for it; or the practice is asked, and work may start; or it is only read.",
    "scope": "Whether it is for the case as a whole, or for appliances: every one, or some kinds of them.",
    "kinds": "The kinds of appliances that it holds for. Enter chooses them.",
    "when": "It holds only where all of this is so; nothing here: always. Enter changes a line or adds one, "
    "Del takes it out.",
    "satisfied_by": "Any one of these is enough for it to be met. Enter changes a line or adds one, Del takes it out. "
    "Nothing here: what stands above is all that there is to say.",
    "question": f"What the practice is asked, or what is to be read. Filled in are {BRACES}.",
    "because": f"Why; printed small on the letter behind what was seen. Filled in are {BRACES}.",
    "id": "What it is called. Rules of one name speak once for an appliance, at the gravest level; standing "
    "instructions and the answers of the letter go by this name.",
    "begins": "The first day of arrival that it holds for, such as 1 jan or 1/1/2027. Empty: it has begun.",
    "ends": "The last day of arrival that it holds for. Empty: it does not end.",
    "only_for": "The practices that it holds for. Enter adds one, Del takes it out. Nothing here: all.",
    "exceptions": "Practices for which it is graver or less grave than for the others, or does not hold. Enter changes "
    "a line or adds one, Del takes it out.",
}
SCOPES = {"case": "The case as a whole", "every": "Every appliance", "some": "These appliances"}
_LABELS = {
    "id": "Na&me",
    "level": "Le&vel",
    "scope": "&For",
    "kinds": "",
    "when": "&Where",
    "satisfied_by": "&Needs",
    "question": "&Question",
    "because": "&Because",
    "begins": "Beg&ins",
    "ends": "&Ends",
    "only_for": "&Only for",
    "exceptions": "O&therwise at",
}
CHOOSE = "Choose the appliances …"
_OF_PROBLEM = {"kinds": "kinds", "practices": "exceptions"}
UNBOUNDED = 16_777_215
"""Qt's own largest width."""
WIDE = 36
"""From this width on, in heights of text, the labels stand beside the fields."""


class RuleFields(QWidget):
    """The fields.

    Args:
        look: For lengths.
        parent: The owner.
    """

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.level, self.scope = self._combo("level", LEVEL_WORDS), self._combo("scope", SCOPES)
        self.kinds = self._list("kinds", "Appliances", CHOOSE)
        self.when = self._list("when", "Where", "Add when it holds …")
        self.satisfied_by = self._list("satisfied_by", "Needs", "Add what it needs …")
        self.question = Paragraph("Question", HELP["question"], look, self)
        self.because = Paragraph("Because", HELP["because"], look, self)
        self.id, self.begins, self.ends = (
            self._line("id", "Name"),
            self._line("begins", "Begins"),
            self._line("ends", "Ends"),
        )
        self.begins.setPlaceholderText("has begun")
        self.ends.setPlaceholderText("does not end")
        self.only_for = self._list("only_for", "Only for", "Only for a practice …")
        self.exceptions = self._list("exceptions", "Otherwise at", "Another level for a practice …")
        self.problems: dict[str, Words] = {}
        self._rows: dict[str, QBoxLayout] = {}
        self._labels: dict[str, Words] = {}
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        for name, words in _LABELS.items():
            self._add(name, words)
        for before, after in pairwise(_LABELS):
            QWidget.setTabOrder(getattr(self, before), getattr(self, after))
        look.changed.connect(self._fit)
        self._fit()

    @property
    def typed(self) -> "dict[str, QLineEdit | Paragraph]":
        """The fields that are typed into, by their names."""
        return {name: getattr(self, name) for name in ("question", "because", "id", "begins", "ends")}

    @property
    def lists(self) -> dict[str, PickList]:
        """The lists of entries, by their names."""
        return {name: getattr(self, name) for name in ("kinds", "when", "satisfied_by", "only_for", "exceptions")}

    def show_sketch(self, sketch: RuleSketch, lab: Lab, practices: Mapping[str, str]) -> None:
        """Shows a rule; what is half typed stays."""
        self.level.setCurrentIndex(self.level.findData(sketch.level))
        self.scope.setCurrentIndex(self.scope.findData(sketch.scope))
        for name, field in self.typed.items():
            if not (field.hasFocus() and field.isModified()) and field.text() != getattr(sketch, name):
                field.setText(getattr(sketch, name))
                field.setModified(False)
        kinds = ", ".join(_kind(each, lab) for each in sketch.kinds)
        self.kinds.show_whole(kinds or CHOOSE, stands_back=not kinds)
        self.when.show_entries([f"… {circumstance_words(each)}" for each in sketch.when])
        self.satisfied_by.show_entries([capital(satisfier_words(each)) for each in sketch.satisfied_by])
        self.only_for.show_entries([named(code, practices) for code in sketch.only_for])
        self.exceptions.show_entries(
            [f"{named(each.practice, practices)}: {LEVELS_OF_ONE[each.level]}" for each in sketch.exceptions]
        )
        self._of_kinds.setVisible(sketch.scope == "some")

    def show_problems(self, problems: Mapping[Any, str]) -> None:
        """Says what is wrong beside the fields where it is."""
        at = {_OF_PROBLEM.get(name, name): problem for name, problem in problems.items()}
        for name, words in self.problems.items():
            words.setText(at.get(name, ""))
            words.setVisible(name in at)
            field: QWidget = getattr(self, name)
            if field.property("wrong") != (name in at):
                field.setProperty("wrong", name in at)
                restyle(field)

    def _combo(self, name: str, words: Mapping[Any, str]) -> QComboBox:
        combo = QComboBox(self)
        for value, said in words.items():
            combo.addItem(said, value)
        combo.setAccessibleName(_LABELS[name].replace("&", ""))
        set_help(combo, HELP[name])
        return combo

    def _line(self, name: str, said: str) -> QLineEdit:
        line = QLineEdit(self)
        line.setAccessibleName(said)
        set_help(line, HELP[name])
        return line

    def _list(self, name: str, said: str, more: str) -> PickList:
        return PickList(said, more, HELP[name], self._look, self)

    def _add(self, name: str, words: str) -> None:
        """A row: its label, and the field with what is wrong with it under it."""
        field, row = getattr(self, name), QWidget(self)
        label, problem = Words(words, ink="quiet"), Words("", size="small", ink="held", wraps=True)
        label.setBuddy(field)
        label.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        problem.hide()
        inner = QVBoxLayout()
        inner.setSpacing(self._look.px(0.2))
        inner.addWidget(field, 0, Qt.AlignmentFlag.AlignLeft if name in ("begins", "ends") else Qt.AlignmentFlag(0))
        inner.addWidget(problem)
        across = QBoxLayout(QBoxLayout.Direction.LeftToRight, row)
        across.setContentsMargins(0, 0, 0, 0)
        across.addWidget(label)
        across.addLayout(inner, 1)
        self._column.addWidget(row)
        if name == "kinds":
            self._of_kinds = row
        self._rows[name], self._labels[name], self.problems[name] = across, label, problem

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    @Slot()
    def _fit(self) -> None:
        """The labels stand beside the fields where there is room, else above them."""
        px, beside = self._look.px, self.width() >= self._look.px(WIDE)
        self._column.setSpacing(px(0.6))
        for name, row in self._rows.items():
            row.setDirection(QBoxLayout.Direction.LeftToRight if beside else QBoxLayout.Direction.TopToBottom)
            row.setSpacing(px(0.6 if beside else 0.1))
            label = self._labels[name]
            label.setMinimumWidth(px(6.2) if beside else 0)
            label.setMaximumWidth(px(6.2) if beside else UNBOUNDED)
            label.setContentsMargins(0, px(0.35) if beside else 0, 0, 0)
            label.setVisible(beside or bool(label.text()))
        for field in (self.begins, self.ends):
            field.setFixedWidth(px(14))


def named(code: str, practices: Mapping[str, str]) -> str:
    """A practice as it is shown: with its name, where the directory has it."""
    return f"{practices[code]} ({code})" if code in practices else code


def _kind(kind: str, lab: Lab) -> str:
    known = lab.type_by_id.get(kind)
    return known.name if known else f"“{kind}”"
