"""The rules as sentences, under headings: by their level, or by the kind of appliance that they are for."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QModelIndex, Qt, Signal, Slot
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QResizeEvent, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QAbstractItemView, QListView, QWidget

from intake.domain.folding import fold
from intake.domain.lab import Lab
from intake.domain.rule_sentences import LEVEL_WORDS, limits, rule_sentence, what_it_says
from intake.domain.rulebook import LEVELS, Requirement
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.setup.rules.wrapped import HEADING, LEVEL, NOTE, WrappedRows

Grouping = Literal["level", "appliance"]
AT = Qt.ItemDataRole.UserRole
HELP = (
    "The rules of the book, each a sentence. ↑ and ↓ choose one, Enter goes to what can be changed of it. "
    "The order in the book is the order in which things are asked."
)


@dataclass(frozen=True)
class RuleRow:
    """One rule as it is listed.

    Attributes:
        at: Its place in the rule book, from 0.
        rule: The rule.
        says: What it says, without its reason.
        note: Its days and practices; empty where it always holds, for all.
        found_by: Everything that it can be found by, folded.
    """

    at: int
    rule: Requirement
    says: str
    note: str
    found_by: str


def rows_of(rules: Sequence[Requirement], lab: Lab, practices: Mapping[str, str]) -> tuple[RuleRow, ...]:
    """The rules of a book as they are listed."""
    return tuple(
        RuleRow(at, rule, f"{what_it_says(rule, lab)}.", limits(rule, practices), _found_by(rule, lab, practices))
        for at, rule in enumerate(rules)
    )


def _found_by(rule: Requirement, lab: Lab, practices: Mapping[str, str]) -> str:
    """What is written of a rule, and its appliances by their names; the sentence may name the others instead."""
    kinds = (lab.type_by_id[kind].name for kind in _kinds(rule) if kind in lab.type_by_id)
    return fold(" ".join((rule.id.replace("-", " "), rule_sentence(rule, lab, practices), rule.question, *kinds)))


class RulesList(QListView):
    """Shows the rules that fit.

    Args:
        look: For colours, fonts and lengths.
        parent: The owner.
    """

    chosen = Signal(int)
    """Another rule is chosen: its place in the rule book."""
    opened = Signal()
    """Enter, or a double click, on the rule that is chosen."""

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._empty = look, ""
        self._rows: tuple[RuleRow, ...] = ()
        self._shown: tuple[object, ...] = ()
        self._filling = False
        self._model = QStandardItemModel(self)
        self.setModel(self._model)
        self.setItemDelegate(WrappedRows(look, self))
        self.setAccessibleName("Rules")
        set_help(self, HELP)
        self.setProperty("ring", "row")
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)  # its coming would break lines anew
        self.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.selectionModel().currentChanged.connect(self._on_current)
        self.activated.connect(self._on_activated)
        look.changed.connect(self.scheduleDelayedItemsLayout)

    @property
    def at(self) -> int | None:
        """The place in the rule book of the rule that is chosen."""
        return self.currentIndex().data(AT)

    @property
    def places(self) -> tuple[int, ...]:
        """The places in the rule book of what is listed under the heading of the rule that is chosen, in order."""
        row = self.currentIndex().row()
        if row < 0:
            return ()
        first = last = row
        while first > 0 and self._place(first - 1) is not None:
            first -= 1
        while last + 1 < self._model.rowCount() and self._place(last + 1) is not None:
            last += 1
        return tuple(at for each in range(first, last + 1) if (at := self._place(each)) is not None)

    def show_rules(self, rows: Sequence[RuleRow], lab: Lab, text: str, grouping: Grouping) -> None:
        """Shows the rules that a text fits under their headings; the one that is chosen stays chosen."""
        words = fold(text).split()
        fit = [row for row in rows if all(word in row.found_by for word in words)]
        groups = _by_level(fit) if grouping == "level" else _by_appliance(fit, lab)
        shown = tuple((heading, tuple(found)) for heading, found in groups)
        if shown == self._shown:
            return
        at, row = self.at, self.currentIndex().row()
        self._shown, self._filling = shown, True
        self._model.clear()
        for heading, found in shown:
            self._model.appendRow(_heading(f"{heading} · {len(found)}"))
            for each in found:
                self._model.appendRow(_item(each))
        self._filling = False
        self._choose_near(at, row)
        self.viewport().update()

    def choose(self, at: int) -> None:
        """Chooses a rule by its place in the rule book, where it is listed."""
        row = next((row for row in range(self._model.rowCount()) if self._place(row) == at), None)
        if row is not None and at != self.at:
            self.setCurrentIndex(self._model.index(row, 0))

    def choose_first(self) -> None:
        """Chooses the first rule that is listed."""
        first = next((row for row in range(self._model.rowCount()) if self._place(row) is not None), None)
        if first is not None:
            self.setCurrentIndex(self._model.index(first, 0))
            self.scrollToTop()

    def say_when_empty(self, words: str) -> None:
        """Says this while there is nothing to show."""
        self._empty = words
        self.viewport().update()

    def _choose_near(self, at: int | None, row: int) -> None:
        """Chooses the rule again that was chosen, or the one that is in its place now."""
        of_rules = [each for each in range(self._model.rowCount()) if self._place(each) is not None]
        same = [each for each in of_rules if self._place(each) == at]
        near = sorted(same or of_rules, key=lambda each: abs(each - row))
        if near:
            self.setCurrentIndex(self._model.index(near[0], 0))
        else:
            self._on_current(QModelIndex())

    def _place(self, row: int) -> int | None:
        place: int | None = self._model.index(row, 0).data(AT)
        return place

    @Slot(QModelIndex)
    def _on_current(self, index: QModelIndex) -> None:
        if not self._filling:
            place = index.data(AT)
            self.chosen.emit(-1 if place is None else place)

    @Slot(QModelIndex)
    def _on_activated(self, index: QModelIndex) -> None:
        if self.at is not None:
            self.opened.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The arrows go from rule to rule, over the headings."""
        step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(Qt.Key(event.key()))
        if step is None or event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            super().keyPressEvent(event)
            return
        at = self.currentIndex().row() + step
        while 0 <= at < self._model.rowCount() and self._place(at) is None:
            at += step
        if 0 <= at < self._model.rowCount():
            self.setCurrentIndex(self._model.index(at, 0))
        elif step < 0:
            self.scrollToTop()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if not self._model.rowCount() and self._empty:
            painter, margin = QPainter(self.viewport()), self._look.px(1)
            painter.setPen(QColor(self._look.colours.quiet))
            painter.setFont(self._look.font())
            area = self.viewport().rect().adjusted(margin, margin, -margin, -margin)
            painter.drawText(area, Qt.TextFlag.TextWordWrap, self._empty)


def _by_level(rows: Iterable[RuleRow]) -> list[tuple[str, list[RuleRow]]]:
    found = list(rows)
    groups = [(LEVEL_WORDS[level], [row for row in found if row.rule.level == level]) for level in LEVELS]
    return [(heading, group) for heading, group in groups if group]


def _by_appliance(rows: Iterable[RuleRow], lab: Lab) -> list[tuple[str, list[RuleRow]]]:
    """Under every kind of appliance what is for it; a rule for several stands under each."""
    found = list(rows)
    groups = [
        ("The case as a whole", [row for row in found if row.rule.types == "case"]),
        ("Every appliance", [row for row in found if row.rule.types == "every"]),
    ]
    for kind in lab.types:
        groups.append((kind.name, [row for row in found if kind.id in _kinds(row.rule)]))
    return [(heading, group) for heading, group in groups if group]


def _kinds(rule: Requirement) -> tuple[str, ...]:
    return () if isinstance(rule.types, str) else rule.types


def _heading(words: str) -> QStandardItem:
    item = QStandardItem(words)
    item.setData(True, HEADING)
    item.setFlags(Qt.ItemFlag.ItemIsEnabled)
    return item


def _item(row: RuleRow) -> QStandardItem:
    item = QStandardItem(row.says)
    for role, value in ((AT, row.at), (LEVEL, row.rule.level), (NOTE, row.note)):
        item.setData(value, role)
    said = f"{LEVEL_WORDS[row.rule.level]}: {row.says} {row.note}".strip()
    item.setData(said, Qt.ItemDataRole.AccessibleTextRole)
    return item
