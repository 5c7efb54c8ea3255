"""The page Editions of Lab setup: every setup that was in force, compared, put back, kept as a file."""

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QComboBox,
    QFileDialog,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from intake.errors import IntakeError
from intake.ui.help_panel import set_help
from intake.ui.latest import Latest
from intake.ui.plain import Words, button_words
from intake.ui.room import Room
from intake.ui.setup.draft import Draft
from intake.ui.setup.editions import asked
from intake.ui.setup.editions.words import DRAFT, EMPTY, FIRST, TOLD, differ_words, edition_line

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.setup_files import OpenedSetup
    from intake.setup.comparing import Difference
    from intake.store.setup_rows import EditionRow

LIST_HELP = "Every setup that was in force, newest first. ↑ and ↓ choose one; what it changed stands beside it."
WITH_HELP = "What the chosen edition is compared with: by itself the one before it."
FOUND_HELP = "What differs, from what it was to what it is. It can be marked and copied."
BEFORE, IN_FORCE = "the one before it", "what is in force"
ROOMY = 46
"""From this width on, in heights of text, what differs stands beside the editions."""
LOW = 18
"""Under this height what the page is for makes room for what stands on it; the buttons say their keys."""
_EDITION = Qt.ItemDataRole.UserRole


class EditionsPage(QWidget):
    """The page.

    Args:
        room: What every place shares.
        draft: The setup while it is being changed.
    """

    in_force_wanted = Signal(str)
    """The draft is to be put in force; the words that are offered as the reason."""

    def __init__(self, room: Room, draft: Draft) -> None:
        super().__init__()
        self._room, self._draft = room, draft
        self._desk: Desk | None = None
        self._rows, self._found = Latest(room.jobs), Latest(room.jobs)
        self.rows: tuple[EditionRow, ...] = ()
        self.told = Words("", ink="quiet", wraps=True)
        self.list = QListWidget(self)
        self.compared_with = QComboBox(self)
        self.found = QPlainTextEdit(self)
        self.buttons = {name: QPushButton(self) for name in ("edition-back", "edition-keep", "edition-open")}
        self._lay_out()
        self._connect()
        self._label()

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self._desk = desk
        self.read_again()

    @Slot()
    def show_setup(self) -> None:
        """Shows the draft as it is now, over the editions."""
        chosen = self.list.currentItem()
        self._show_rows(chosen.data(_EDITION) if chosen is not None else -1)

    @Slot()
    def read_again(self) -> None:
        """Comes into view: another desk may have put a setup in force meanwhile."""
        if self._desk is not None:
            self._rows.ask(partial(asked.editions, self._desk), self._on_rows, self._trouble)

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._rows.forget()
        self._found.forget()

    @property
    def chosen(self) -> int | None:
        """The edition that is chosen; None where that is the draft, or nothing."""
        item = self.list.currentItem()
        return item.data(_EDITION) if item is not None else None

    @Slot()
    def put_back(self) -> None:
        """Takes the chosen edition into the draft, and asks whether it shall be in force."""
        newest = self.rows[0].edition if self.rows else None
        if self._desk is None or self.chosen is None:
            self._room.news.tell("Choose an edition first.")
        elif self.chosen == newest and not self._draft.is_changed:
            self._room.news.tell(f"Edition {newest} is in force already.")
        else:
            work = partial(asked.edition_text, self._desk, self.chosen)
            self._room.jobs.run(work, partial(self._on_text, self.chosen), self._trouble)

    @Slot()
    def open_file(self) -> None:
        """Takes a setup file of another place into the draft."""
        dialog = self._file_dialog("Open a setup file", QFileDialog.AcceptMode.AcceptOpen)
        dialog.fileSelected.connect(self.take_file)
        dialog.open()

    @Slot()
    def keep_file(self) -> None:
        """Keeps the chosen edition, or the draft, as a file."""
        dialog = self._file_dialog("Keep the setup as a file", QFileDialog.AcceptMode.AcceptSave)
        dialog.selectFile(f"setup-{self.chosen}.toml" if self.chosen is not None else "setup-draft.toml")
        dialog.fileSelected.connect(partial(self.write_file, self.chosen))
        dialog.open()

    @Slot(str)
    def take_file(self, path: str) -> None:
        """Reads a setup file into the draft; what is wrong with it is told with its lines."""
        if self._desk is not None:
            work = partial(asked.open_setup, self._desk, Path(path))
            self._room.jobs.run(work, self._on_opened, self._on_wrong_file)

    def write_file(self, edition: int | None, path: str) -> None:
        """Writes an edition, or the draft, to a file."""
        if self._desk is not None:
            work = partial(asked.keep_setup, self._desk, Path(path), edition, self._draft.text)
            self._room.jobs.run(work, self._room.news.tell, self._trouble)

    def _on_text(self, edition: int, text: str) -> None:
        self._draft.replace(text)
        if self._draft.is_changed:
            self.in_force_wanted.emit(f"Edition {edition} put back")
        else:
            self._room.news.tell(f"Edition {edition} is the same as what is in force.")

    def _on_opened(self, opened: "OpenedSetup") -> None:
        self._draft.replace(opened.text)
        self._show_rows(None)
        self._room.news.tell(opened.said)

    def _on_wrong_file(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        problems = getattr(problem, "problems", ())
        self._found.forget()
        self.found.setPlainText("\n".join([each.said for each in problems] or [str(problem)]))
        self.found.setFocus()
        self._room.news.tell("The file is not taken in. What is wrong with it stands on the page.")

    def _on_rows(self, rows: "tuple[EditionRow, ...]") -> None:
        is_new, self.rows = rows[:1] != self.rows[:1], rows
        if is_new:
            self._show_rows(-1)
        else:
            self.show_setup()
        self._label()

    def _show_rows(self, chosen: int | None) -> None:
        """Lists the draft where it is changed, and the editions; -1 chooses the first of them."""
        newest = self.rows[0].edition if self.rows else None
        self.list.blockSignals(True)
        self.list.clear()
        if self._draft.is_changed:
            self._add(f"{DRAFT}\n{self._draft_words()}", None)
        for row in self.rows:
            self._add(edition_line(row, row.edition == newest), row.edition)
        items = [self.list.item(at).data(_EDITION) for at in range(self.list.count())]
        self.list.setCurrentRow(items.index(chosen) if chosen in items else 0)
        self.list.blockSignals(False)
        self._offer()
        self._compare()

    def _draft_words(self) -> str:
        problems = self._draft.problems
        if problems:
            return f"{len(problems)} {'thing is' if len(problems) == 1 else 'things are'} wrong with it"
        return self._draft.problem or f"{self._room.keys.shown('setup-in-force')} puts it in force".strip()

    def _add(self, words: str, edition: int | None) -> None:
        item = QListWidgetItem(words, self.list)
        item.setData(_EDITION, edition)

    def _offer(self) -> None:
        """What the chosen one can be compared with."""
        before = self.compared_with.currentText()
        self.compared_with.blockSignals(True)
        self.compared_with.clear()
        self.compared_with.addItem(BEFORE, None)
        self.compared_with.addItem(IN_FORCE, self.rows[0].edition if self.rows else None)
        for row in self.rows:
            self.compared_with.addItem(f"edition {row.edition}", row.edition)
        self.compared_with.setCurrentIndex(max(0, self.compared_with.findText(before)))
        self.compared_with.blockSignals(False)

    @Slot()
    def _compare(self) -> None:
        """Shows what differs; of a draft that cannot be read what is wrong with it."""
        item = self.list.currentItem()
        if self._desk is None or item is None:
            self.found.setPlainText("")
            return
        edition: int | None = item.data(_EDITION)
        if edition is None and self._draft.problem:
            self._found.forget()
            lines = [each.said for each in self._draft.problems]
            self.found.setPlainText("\n".join(lines) or self._draft.problem)
            return
        other = self._other(edition)
        if other is None:
            self.found.setPlainText(FIRST)
            return
        one = asked.Side(edition) if edition is not None else asked.Side(text=self._draft.text)
        self._found.ask(partial(asked.compare, self._desk, asked.Side(other), one), self._on_found, self._on_not_found)

    def _other(self, edition: int | None) -> int | None:
        """The edition to compare with; None where there is none."""
        if self.compared_with.currentText() != BEFORE:
            other: int | None = self.compared_with.currentData()
            return other
        earlier = (row.edition for row in self.rows if edition is None or row.edition < edition)
        return next(earlier, None)

    def _on_found(self, found: "tuple[Difference, ...]") -> None:
        self.found.setPlainText(differ_words(found))

    def _on_not_found(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self.found.setPlainText(str(problem))

    def _trouble(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    def _file_dialog(self, title: str, mode: QFileDialog.AcceptMode) -> QFileDialog:
        dialog = QFileDialog(self.window(), title)
        dialog.setAcceptMode(mode)
        dialog.setNameFilter("Setup files (*.toml)")
        dialog.setDefaultSuffix("toml")
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        return dialog

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter on an edition goes to what it changed, Esc from there back to the list."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.list.hasFocus():
            self.found.setFocus()
        elif event.key() == Qt.Key.Key_Escape and not self.list.hasFocus():
            self.list.setFocus()
        else:
            super().keyPressEvent(event)

    def _lay_out(self) -> None:
        self.list.setAccessibleName("Editions")
        self.list.setProperty("ring", "row")
        set_help(self.list, LIST_HELP)
        self.compared_with.setAccessibleName("Compared with")
        set_help(self.compared_with, WITH_HELP)
        self.found.setReadOnly(True)
        self.found.setTabChangesFocus(True)
        self.found.setAccessibleName("What differs")
        set_help(self.found, FOUND_HELP)
        label = Words("Compared &with", ink="quiet")
        label.setBuddy(self.compared_with)
        choice = QHBoxLayout()
        choice.addWidget(label)
        choice.addWidget(self.compared_with, 1)
        row = QHBoxLayout()
        for button in self.buttons.values():
            row.addWidget(button)
        row.addStretch(1)
        self._right = QVBoxLayout()
        self._right.addLayout(choice)
        self._right.addWidget(self.found, 1)
        self._both = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._both.addWidget(self.list, 2)
        self._both.addLayout(self._right, 3)
        self._whole = QVBoxLayout(self)
        self._whole.addWidget(self.told)
        self._whole.addLayout(self._both, 1)
        self._whole.addLayout(row)
        self.setFocusProxy(self.list)
        self._fit()

    def _connect(self) -> None:
        self.list.currentRowChanged.connect(self._compare)
        self.compared_with.currentIndexChanged.connect(self._compare)
        for name, deed in (
            ("edition-back", self.put_back),
            ("edition-keep", self.keep_file),
            ("edition-open", self.open_file),
        ):
            action = self._room.keys.action(name)
            action.triggered.connect(deed)
            self.buttons[name].clicked.connect(action.trigger)
        self._room.keys.changed.connect(self._label)
        self._room.look.changed.connect(self._fit)

    @Slot()
    def _label(self) -> None:
        shown = self._room.keys.shown
        keys = {name.partition("-")[2]: shown(name) for name in self.buttons}
        self.told.setText((TOLD if self.rows else EMPTY).format(**keys))
        for name, words in (
            ("edition-back", "Put it back"),
            ("edition-keep", "Keep as a file"),
            ("edition-open", "Open a file"),
        ):
            self.buttons[name].setText(button_words(f"{words}  {shown(name)}".rstrip()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    @Slot()
    def _fit(self) -> None:
        px, ways = self._room.look.px, QBoxLayout.Direction
        self.told.setVisible(self.height() >= px(LOW))
        self.list.setSpacing(px(0.15))
        self.compared_with.setMinimumHeight(self.compared_with.sizeHint().height())
        for part in (self.list, self.found):
            part.setMinimumHeight(px(2.7))
        self._both.setDirection(ways.LeftToRight if self.width() >= px(ROOMY) else ways.TopToBottom)
        self._whole.setContentsMargins(px(1), px(0.7), px(1), px(0.7))
        for layout in (self._whole, self._both, self._right):
            layout.setSpacing(px(0.6))
