"""Picks a circumstance, or something that satisfies a rule: its kind, then the small fields of that kind."""

from typing import Any

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QComboBox, QLineEdit, QVBoxLayout, QWidget

from intake.domain.case import Frozen
from intake.domain.condition_parts import (
    ConditionUnclear,
    Part,
    Role,
    condition_of,
    key_of,
    kind_of,
    kinds_for,
    values_of,
    words_of,
)
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.plain import Words
from intake.ui.setup.rules.ticks import Ticks
from intake.ui.tall_dialog import TallDialog
from intake.ui.tick import Tick

TITLES: dict[Role, str] = {"when": "When it holds", "satisfied_by": "What it needs"}
TOLD: dict[Role, str] = {
    "when": "The rule holds only where this is so, and all else that it names.",
    "satisfied_by": "Any one of what is named is enough for the rule to be met.",
}


class ConditionDialog(TallDialog):
    """Picks one condition.

    Args:
        role: A circumstance, or something that satisfies.
        condition: What is picked so far; None for a new one.
        of_case: Whether the rule is for the case as a whole.
        look: For lengths.
        parent: The window over which it opens.
    """

    taken = Signal(object)
    """The condition that was picked."""

    def __init__(self, role: Role, condition: Frozen | None, of_case: bool, look: Look, parent: QWidget) -> None:
        super().__init__(TITLES[role], TOLD[role], "&Take it  Enter", look, parent=parent)
        self._role: Role = role
        self._values: dict[str, Any] = values_of(condition) if condition is not None else {}
        self._fields: dict[str, QWidget] = {}
        self.kind = QComboBox(self)
        self.kind.setAccessibleName("About")
        set_help(self.kind, "What it is about. What there is to choose of it stands below.")
        for each in kinds_for(role, of_case):
            self.kind.addItem(each.words, each.key)
        self.kind.setMaxVisibleItems(self.kind.count())
        label = Words("A&bout", ink="quiet")
        label.setBuddy(self.kind)
        self.add(label)
        self.add(self.kind)
        self._area = QWidget(self.middle)
        self._column = QVBoxLayout(self._area)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(look.px(0.4))
        self.add(self._area)
        self.reads = Words("", bold=True, wraps=True)
        self.add(self.reads)
        if condition is not None:
            self.kind.setCurrentIndex(self.kind.findData(key_of(condition)))
        self._show_parts()
        self.kind.currentIndexChanged.connect(self._show_parts)
        self.kind.setFocus()
        self.fit()

    @property
    def key(self) -> str:
        """The kind that is picked, by its leading key."""
        return str(self.kind.currentData())

    def field(self, name: str) -> Any:
        """A small field by its name in the rule book."""
        return self._fields[name]

    @Slot()
    def go_on(self) -> None:
        """Takes what is picked, where it is picked to the end."""
        try:
            made = condition_of(self._role, self.key, self._picked())
        except ConditionUnclear as unclear:
            self.refuse(str(unclear))
            self.fit()
            return
        self.taken.emit(made)
        self.accept()

    @Slot()
    def _show_parts(self) -> None:
        """Shows the small fields of the kind that is picked."""
        while (item := self._column.takeAt(0)) is not None:
            gone = item.widget()
            if gone is not None:
                gone.hide()
                gone.setParent(None)
                gone.deleteLater()
        self._fields = {}
        for part in kind_of(self._role, self.key).parts:
            field = self._field_of(part)
            if part.kind != "tick":
                label = Words(part.label, ink="quiet")
                label.setBuddy(field)
                self._column.addWidget(label)
            self._column.addWidget(field)
            self._fields[part.name] = field
        self._area.setVisible(bool(self._fields))
        self._on_changed()
        self.fit()

    def _field_of(self, part: Part) -> QWidget:
        value = self._values.get(part.name)
        match part.kind:
            case "several":
                ticks = Ticks(part.label, part.choices, value or (), self._look, self._area)
                ticks.changed.connect(self._on_changed)
                set_help(
                    ticks,
                    "↑ and ↓ go along it, the space bar ticks. Nothing ticked: any."
                    if part.may_be_empty
                    else "↑ and ↓ go along it, the space bar ticks; any one that is ticked is enough.",
                )
                return ticks
            case "one":
                combo = QComboBox(self._area)
                combo.setAccessibleName(part.label)
                for choice, words in part.choices:
                    combo.addItem(words, choice)
                at = next((at for at, (choice, _) in enumerate(part.choices) if choice == value), 0)
                combo.setCurrentIndex(at)
                combo.currentIndexChanged.connect(self._on_changed)
                set_help(combo, f"{part.label}: choose one.")
                return combo
            case "number":
                line = QLineEdit("" if value is None else f"{value!r}".removesuffix(".0"), self._area)
                line.setAccessibleName(part.label)
                line.setMaximumWidth(self._look.px(8))
                line.textEdited.connect(self._on_changed)
                set_help(line, f"{part.label}: a number, such as 0.3 or 8.")
                return line
        tick = Tick(part.label, self._area)
        tick.setChecked(bool(value))
        tick.toggled.connect(self._on_changed)
        return tick

    def _picked(self) -> dict[str, Any]:
        return {name: _value(field) for name, field in self._fields.items()}

    @Slot()
    def _on_changed(self) -> None:
        """Says in words what is picked, as far as it is."""
        self.refuse("")
        try:
            made = condition_of(self._role, self.key, self._picked())
        except ConditionUnclear:
            self.reads.hide()
        else:
            lead = "… where " if self._role == "when" else "… "
            self.reads.setText(f"{lead}{words_of(self._role, made)}")
            self.reads.show()


def _value(field: QWidget) -> Any:
    """What stands in a small field; None for a number that is none."""
    if isinstance(field, Ticks):
        return field.ticked
    if isinstance(field, QComboBox):
        return field.currentData()
    if isinstance(field, Tick):
        return field.isChecked()
    assert isinstance(field, QLineEdit), "the fields of a condition are of these four kinds"
    try:
        number = float(field.text().casefold().replace(",", ".").removesuffix("mm"))
    except ValueError:
        return None
    return number if number == number and abs(number) < 1e6 else None  # neither nan nor inf
