"""Asks what a deed is about: which of several, a few words, and why. It returns what was said and does nothing."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QGridLayout, QLineEdit, QListWidget, QListWidgetItem, QWidget

from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.plain import Words
from intake.ui.reason_dialog import ReasonField
from intake.ui.tall_dialog import TallDialog
from intake.ui.tick import Tick

ROWS = 6
"""So many lines of a list show; the rest scrolls."""
TICK_HELP = "Up and Down choose a line, Space ticks it or takes the tick away."


@dataclass(frozen=True)
class Ticks:
    """Several things of which some are meant.

    Attributes:
        label: What they are, with an access key.
        rows: Each in words.
        ticked: The rows that are ticked to begin with.
        least: So many have to be ticked.
        left: So many have to be left.
        refusal: What to say where they are not.
    """

    label: str
    rows: Sequence[str]
    ticked: frozenset[int] = frozenset()
    least: int = 0
    left: int = 0
    refusal: str = ""


@dataclass(frozen=True)
class Deed:
    """What was said."""

    reason: str
    ticked: tuple[int, ...]
    texts: tuple[str, ...]
    flag: bool


class DeedDialog(TallDialog):
    """Ticks, fields, one thing that is so or not, and a reason; each only where it is asked.

    Args:
        title: What is about to be done.
        told: What that means, in a sentence.
        usual: The usual reasons, the likeliest first.
        go: The words of the button that goes on, with its access key.
        look: For lengths.
        ticks: What is chosen from.
        fields: The label of each field, with an access key, and what stands in it while it is empty.
        flag: What is so or not, with an access key; empty where that is not asked.
        parent: The window over which it opens.
    """

    given = Signal(object)
    """A `Deed`."""

    def __init__(
        self,
        title: str,
        told: str,
        usual: Sequence[str],
        go: str,
        look: Look,
        ticks: Ticks | None = None,
        fields: Sequence[tuple[str, str]] = (),
        flag: str = "",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(title, told, go, look, parent=parent)
        self._ticks = ticks
        self.list = QListWidget(self.middle)
        self.list.hide()
        if ticks is not None and ticks.rows:
            self._add_ticks(ticks, look)
        self.fields = [self._field(*field) for field in fields]
        self._add_fields(fields, look)
        self.flag = Tick(flag, self.middle)
        self.flag.setVisible(bool(flag))
        self.flag.setChecked(bool(flag))
        if flag:
            self.add(self.flag)
        self.why = ReasonField(usual, look, self.middle)
        self.why.went_on.connect(self.go_on)
        self.add(self.why)
        first = self.list if ticks is not None and ticks.least and ticks.rows else self.why.field
        first.setFocus()
        self.fit()

    @property
    def ticked(self) -> tuple[int, ...]:
        """The rows that are ticked."""
        rows = range(self.list.count())
        return tuple(row for row in rows if self.list.item(row).checkState() == Qt.CheckState.Checked)

    @Slot()
    def go_on(self) -> None:
        ticks, chosen = self._ticks, len(self.ticked)
        if ticks is not None and (chosen < ticks.least or self.list.count() - chosen < ticks.left):
            self.refuse(ticks.refusal)
            self.list.setFocus()
        elif self.why.reason:
            texts = tuple(field.text().strip() for field in self.fields)
            self.given.emit(Deed(self.why.reason, self.ticked, texts, self.flag.isChecked()))
            self.accept()

    def _add_ticks(self, ticks: Ticks, look: Look) -> None:
        label = Words(ticks.label, bold=True)
        label.setBuddy(self.list)
        self.list.setAccessibleName(ticks.label.replace("&", ""))
        set_help(self.list, TICK_HELP)
        self.list.setWordWrap(True)
        self.list.setTextElideMode(Qt.TextElideMode.ElideNone)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        for at, row in enumerate(ticks.rows):
            item = QListWidgetItem(row, self.list)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Checked if at in ticks.ticked else Qt.CheckState.Unchecked)
        self.list.setCurrentRow(0)
        self.list.show()
        self.list.itemChanged.connect(lambda _: self.refuse(""))
        self.add(label)
        self.add(self.list)
        self.add(Words("Space ticks a line, Up and Down go to the next.", size="small", ink="quiet", wraps=True))
        lines = min(self.list.count(), ROWS)
        self.list.setFixedHeight(sum(self.list.sizeHintForRow(row) for row in range(lines)) + look.px(0.5))

    def _add_fields(self, fields: Sequence[tuple[str, str]], look: Look) -> None:
        if not fields:
            return
        grid = QGridLayout()
        grid.setHorizontalSpacing(look.px(1))
        grid.setVerticalSpacing(look.px(0.4))
        for row, ((words, _), field) in enumerate(zip(fields, self.fields, strict=True)):
            label = Words(words)
            label.setBuddy(field)
            grid.addWidget(label, row, 0)
            grid.addWidget(field, row, 1)
        grid.setColumnStretch(1, 1)
        self.add(grid)

    def _field(self, words: str, empty: str) -> QLineEdit:
        field = QLineEdit(self.middle)
        field.setAccessibleName(words.replace("&", ""))
        field.setPlaceholderText(empty)
        field.setMaxLength(120)
        return field
