"""A short list of entries, such as closures, and under it the fields of the one that is chosen."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from PySide6.QtCore import QSize, Qt, Signal, Slot
from PySide6.QtGui import QFontMetrics, QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QGridLayout, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from intake.domain.calendar_entry import Reader
from intake.domain.form_fields import FormWrong, Said
from intake.ui.arrivals.field import Field
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.plain import Words

AT = Qt.ItemDataRole.UserRole
_LEAST, _MOST = 1, 6
"""So many entries show at the least, and at the most."""


@dataclass(frozen=True)
class Part:
    """One field of an entry.

    Attributes:
        key: Its name in the file.
        name: What it is called.
        label: The same with its access key.
        read: Reads what is typed.
        write: Writes what is known.
        wide: Whether it takes a line of its own.
        help: Its help.
    """

    key: str
    name: str
    label: str
    read: Reader
    write: Callable[[Any], str] = str
    wide: bool = False
    help: str = ""


class EntryList(QWidget):
    """Shows entries, and says what is changed of one.

    Args:
        look: For fonts and lengths.
        heading: What they are, with its access key.
        help: Their help.
        parts: The fields of one.
        parent: The owner.
    """

    changed = Signal(int, str, object)
    """Of an entry, by its position in the file, a field was left with another value."""
    chosen = Signal()
    """Another entry is chosen by the keys."""

    def __init__(self, look: Look, heading: str, help: str, parts: Sequence[Part], parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self._parts = {part.key: part for part in parts}
        self._entries: Sequence[Mapping[str, Any]] = ()
        self._shown: dict[str, str] = {}
        self._at = -1
        self.today = date.min
        self.head = Words(heading, bold=True)
        self.empty = Words("", ink="quiet", wraps=True)
        self.aside = Words("", size="small", ink="caution", wraps=True)
        self.list = QListWidget(self)
        self.list.setAccessibleName(heading.replace("&", ""))
        self.list.setTabKeyNavigation(False)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        set_help(self.list, help)
        self.head.setBuddy(self.list)
        self.fields = {part.key: self._field(part) for part in parts}
        self._lay_out()
        self.list.currentRowChanged.connect(self._on_row)
        look.changed.connect(self._fit)
        self._fit()

    @property
    def at(self) -> int:
        """The position in the file of the entry that is chosen; -1 where there is none."""
        return self._at

    @property
    def has_keys(self) -> bool:
        """Whether the keys go to the list or to one of its fields."""
        return self.list.hasFocus() or any(field.edit.hasFocus() for field in self.fields.values())

    def show_entries(self, entries: Sequence[Mapping[str, Any]], words: Sequence[str], empty: str) -> None:
        """Shows entries, each in words, in the order given; `at` is each one's position in the file, under "at".

        The entry that was chosen stays chosen, and what is half typed in its fields stays.
        """
        self._entries = entries
        self.list.blockSignals(True)
        self.list.clear()
        for entry, said in zip(entries, words, strict=True):
            item = QListWidgetItem(said)
            item.setData(AT, entry["at"])
            self.list.addItem(item)
        places = [entry["at"] for entry in entries]
        row = places.index(self._at) if self._at in places else min(0, len(places) - 1)
        self.list.setCurrentRow(row)
        self.list.blockSignals(False)
        self.empty.setText(empty)
        self._take(row, keep_typed=True)
        for field in self.fields.values():
            field.setVisible(bool(entries))
        self.empty.setVisible(not entries)
        self._fit()

    def choose(self, at: int, field: str = "") -> None:
        """Chooses the entry at a position in the file; the keys go to one of its fields where it is named."""
        rows = [row for row, entry in enumerate(self._entries) if entry["at"] == at]
        if rows:
            self.list.setCurrentRow(rows[0])
            if field:
                self.fields[field].take_keys()
                edit = self.fields[field].edit
                edit.selectAll()

    def commit(self) -> None:
        """Takes what is typed and not left yet."""
        for key in self.fields:
            self._leave(key)

    def _take(self, row: int, keep_typed: bool = False) -> None:
        """Shows the fields of an entry."""
        entry = self._entries[row] if 0 <= row < len(self._entries) else None
        same = entry is not None and entry["at"] == self._at
        self._at = entry["at"] if entry is not None else -1
        for key, field in self.fields.items():
            known = self._parts[key].write(entry[key]) if entry is not None else ""
            typing = keep_typed and same and field.text != self._shown.get(key, "")
            self._shown[key] = known
            if not typing:
                field.set_text(known)
                field.say(None)

    @Slot(int)
    def _on_row(self, row: int) -> None:
        self.commit()
        self._take(row)
        if row >= 0:
            self.chosen.emit()

    def _on_left(self, key: str) -> None:
        self._leave(key)

    def _leave(self, key: str) -> bool:
        """A field counts when it is left; what is refused stays typed, with the reason."""
        field = self.fields[key]
        if self._at < 0 or field.text == self._shown.get(key, ""):
            field.say(None)
            return True
        try:
            value = self._parts[key].read(field.text, self.today)
        except FormWrong as problem:
            field.say(Said(str(problem), wrong=True))
            return False
        field.say(None)
        self._shown[key] = field.text
        self.changed.emit(self._at, key, value)
        return not field.edit.property("wrong")

    def refuse(self, key: str, why: str) -> None:
        """Says why what a field said cannot be; it stays typed, and is no longer taken for known."""
        self._shown[key] = ""
        self.fields[key].say(Said(why, wrong=True))

    def _on_went_on(self, key: str) -> None:
        """Enter takes the field and goes to the next; behind the last, back to the list."""
        if not self._leave(key):
            return
        keys = list(self.fields)
        after = keys.index(key) + 1
        if after < len(keys):
            self.fields[keys[after]].take_keys()
        else:
            self.list.setFocus(Qt.FocusReason.TabFocusReason)

    def _put_back(self, field: Field, event: QKeyEvent) -> bool:
        """Esc puts back what is known."""
        known = self._written(field.place)
        if event.key() != Qt.Key.Key_Escape or field.text == known:
            return False
        field.set_text(known)
        self._shown[field.place] = known
        field.say(None)
        return True

    def _written(self, key: str) -> str:
        entry = next((entry for entry in self._entries if entry["at"] == self._at), None)
        return self._parts[key].write(entry[key]) if entry is not None else ""

    def _field(self, part: Part) -> Field:
        field = Field(self._look, part.key, "", False, self)
        field.name(part.name, part.label)
        set_help(field.edit, part.help)
        field.left.connect(self._on_left)
        field.went_on.connect(self._on_went_on)
        field.keys_first = self._put_back
        return field

    def _lay_out(self) -> None:
        self._grid = QGridLayout()
        row = column = 0
        for part in self._parts.values():
            if part.wide and column:
                row, column = row + 1, 0
            self._grid.addWidget(self.fields[part.key], row, column, 1, 2 if part.wide else 1)
            row, column = (row + 1, 0) if part.wide or column else (row, 1)
        self._grid.setColumnStretch(0, 1)
        self._grid.setColumnStretch(1, 1)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        for each in (self.head, self.list, self.empty, self.aside):
            self._column.addWidget(each)
        self._column.addLayout(self._grid)
        self.aside.hide()

    @Slot()
    def _fit(self) -> None:
        px, line = self._look.px, QFontMetrics(self._look.font()).height()
        self._column.setSpacing(px(0.35))
        self._grid.setHorizontalSpacing(px(0.7))
        self._grid.setVerticalSpacing(px(0.1))
        rows = min(max(self.list.count(), _LEAST), _MOST)
        self.list.setFixedHeight(rows * (line + px(0.3)) + px(0.6))
        for at in range(self.list.count()):
            self.list.item(at).setSizeHint(QSize(0, line + px(0.3)))
