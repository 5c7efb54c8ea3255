"""Takes practices in from a spreadsheet: the file, what it would change row by row, and only then the change."""

from collections import Counter
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QDialog,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from intake.domain.directory_columns import NAMES
from intake.domain.wording import counted, in_sentence
from intake.errors import IntakeError
from intake.ui.drops import Drops
from intake.ui.help_panel import set_help
from intake.ui.plain import Words
from intake.ui.progress_row import ProgressRow
from intake.ui.room import Room
from intake.ui.setup.directory import asked
from intake.ui.setup.directory.preview_view import KINDS, PreviewList
from intake.ui.spreadsheets import FileField, ask_where_to

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.directory_import import Preview, TakenIn

TOLD = (
    "A list of practices from a spreadsheet: CSV or XLSX, its first row the names of the columns. Nothing changes "
    "before you have seen what would."
)
NOTHING = "Nothing in this file would change the directory."
WIDE, TALL = 60, 38
"""In heights of text, where the screen has so much."""


class TakeInDialog(QDialog):
    """The dialog.

    Args:
        room: What every place shares.
        desk: Whose directory it is.
        path: The file, where it is chosen already.
        parent: The window over which it opens.
    """

    taken = Signal(object, str)
    """What was taken in, and what to say of it."""

    def __init__(self, room: Room, desk: "Desk", path: Path | None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Practices from a file")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._room, self._desk = room, desk
        self.preview: Preview | None = None
        self.file = FileField("CSV or XLSX: choose it, drop it here, or type where it is", room.look, self)
        self.file.edit.setText(str(path or ""))
        self.progress = ProgressRow(room.look, self)
        self._told = Words(TOLD, wraps=True)
        self.counts, self.columns = Words("", bold=True, wraps=True), Words("", ink="quiet", wraps=True)
        self.refused = Words("", ink="held", bold=True, wraps=True)
        self.kind = QComboBox(self)
        self.list = PreviewList(room.look, self)
        self.whole = Words("", wraps=True)
        self.faulty_button = QPushButton("&Keep what cannot be read as a file …", self)
        self.leave_button = QPushButton("Leave it  Esc", self)
        self.go_button = QPushButton(self)
        self._lay_out()
        self._connect()
        self._show(None)
        if path is not None:
            self.look_at_file()

    @Slot()
    def look_at_file(self) -> None:
        """Reads the file and shows what it would change."""
        path = self.file.path
        if self.progress.running or path is None:
            return
        self._show(None)
        self._say("")
        watched = self.progress.begin("Reading:")
        work = partial(asked.preview, self._desk, path, watched)
        self._enable()
        self._room.jobs.run(work, self._on_preview, self._on_trouble, lane="beside")

    @Slot()
    def take_in(self) -> None:
        """Takes in what is shown; before that is known, looks at the file."""
        if self.preview is None:
            self.look_at_file()
        elif self._changes and not self.progress.running:
            self._say("")
            watched = self.progress.begin("Taking in:")
            self._enable()
            self._room.jobs.run(
                partial(asked.take_in, self._desk, self.preview, watched), self._on_taken, self._on_trouble
            )

    @Slot()
    def reject(self) -> None:
        """Esc stops what is under way; then it leaves the dialog."""
        if self.progress.running:
            self.progress.stop()
        else:
            super().reject()

    @property
    def _changes(self) -> int:
        count = self._count
        return count["new"] + count["changed"]

    @property
    def _count(self) -> Counter[str]:
        return self.preview.counts if self.preview is not None else Counter()

    def _on_preview(self, preview: "Preview") -> None:
        self.progress.end()
        self._show(preview)
        self.go_button.setFocus() if self._changes else self.file.setFocus()

    def _on_taken(self, taken: "TakenIn") -> None:
        self.progress.end()
        count = self._count
        left = count["faulty"] + count["double"]
        not_taken = f" {counted(left, 'row')} of the file {'was' if left == 1 else 'were'} not taken." if left else ""
        done = [counted(count["new"], "new practice")] if count["new"] else []
        done += [f"{counted(count['changed'], 'practice')} changed"] if count["changed"] else []
        self.taken.emit(taken, f"Taken in: {', '.join(done)}.{not_taken}")
        self.accept()

    def _on_trouble(self, problem: Exception) -> None:
        self.progress.end()
        self._enable()
        if not isinstance(problem, IntakeError):
            self.super_reject()
            raise problem
        self._say(str(problem))
        (self.file if self.preview is None else self.go_button).setFocus()

    def super_reject(self) -> None:
        """Closes, whatever is under way."""
        super().reject()

    def _show(self, preview: "Preview | None") -> None:
        self.preview = preview
        count = self._count
        self.kind.blockSignals(True)
        self.kind.clear()
        for kind, words in KINDS.items():
            if count[kind]:
                self.kind.addItem(f"{count[kind]} {words}", kind)
        self.kind.blockSignals(False)
        for shown in (self._kind_label, self.kind, self.list):
            shown.setVisible(preview is not None and bool(preview.rows))
        self._space.setVisible(preview is None or not preview.rows)
        told = [f"{count[kind]} {words}" for kind, words in KINDS.items() if count[kind]]
        rows = counted(sum(count.values()), "row")
        self.counts.setText(f"{rows}: {', '.join(reversed(told))}." if told else "" if preview is None else NOTHING)
        self.columns.setText(_columns(preview) if preview is not None else "")
        self._told.setVisible(preview is None)  # by then the rows need the room
        for part in (self.counts, self.columns):
            part.setVisible(bool(part.text()))
        self._on_kind()
        self._enable()

    @Slot()
    def _on_kind(self) -> None:
        wanted = self.kind.currentData()
        rows = self.preview.rows if self.preview is not None else ()
        self.list.show_rows([row for row in rows if row.kind == wanted])
        self._on_row()

    @Slot()
    def _on_row(self) -> None:
        """What a row has no room for stands under the list."""
        told = self.list.cut_off
        self.whole.setText(told)
        self.whole.setVisible(bool(told))

    def _enable(self) -> None:
        running, changes = self.progress.running, self._changes
        for part in (self.file, self.kind):
            part.setEnabled(not running)
        self.faulty_button.setVisible(bool(self._count["faulty"] + self._count["double"]))
        self.faulty_button.setEnabled(not running)
        words = f"&Take in {counted(changes, 'practice')}" if self.preview is not None else "&Look at it"
        self.go_button.setText(f"{words}  Enter")
        self.go_button.setEnabled(not running and (self.preview is None or changes > 0))
        self.leave_button.setText("Stop  Esc" if running else "Leave it  Esc")

    def _say(self, why: str) -> None:
        self.refused.setText(why)
        self.refused.setVisible(bool(why))

    @Slot(object)
    def _on_dropped(self, paths: Sequence[Path]) -> None:
        if not self.progress.running:
            self.file.take(paths[0])

    @Slot()
    def _on_faulty(self) -> None:
        name = self.file.path.stem if self.file.path is not None else "practices"
        ask_where_to(self, "Keep what cannot be read", f"{name} - not taken.xlsx", self._on_keep_faulty)

    def _on_keep_faulty(self, path: str) -> None:
        assert self.preview is not None, "there are faulty rows"
        work = partial(asked.write_faulty, self.preview, Path(path))
        self._room.jobs.run(work, partial(self._on_kept_faulty, path), self._on_trouble, lane="beside")

    def _on_kept_faulty(self, path: str, _: object) -> None:
        self._say("")
        self.columns.setText(f"What cannot be read is kept as {Path(path).name}, each row with the reason.")
        self.columns.show()

    @Slot()
    def _on_edited(self) -> None:
        """Another file: what was seen is not of it."""
        if self.preview is not None:
            self._show(None)

    def _connect(self) -> None:
        self.file.edit.textEdited.connect(self._on_edited)
        self.file.chosen.connect(self.look_at_file)
        self.setAcceptDrops(True)
        Drops(self, self).dropped.connect(self._on_dropped)
        self.kind.currentIndexChanged.connect(self._on_kind)
        self.list.selectionModel().currentChanged.connect(self._on_row)
        self.faulty_button.clicked.connect(self._on_faulty)
        self.leave_button.clicked.connect(self.reject)
        self.go_button.clicked.connect(self.take_in)

    def _lay_out(self) -> None:
        px = self._room.look.px
        self.file.edit.setAccessibleName("File")
        set_help(self.file.edit, f"{TOLD} Enter looks at it.")
        self.kind.setAccessibleName("Rows")
        set_help(self.kind, "Which rows of the file are shown.")
        label, self._kind_label = Words("&File", bold=True), Words("&Rows", bold=True)
        label.setBuddy(self.file.edit)
        self._kind_label.setBuddy(self.kind)
        for button in (self.faulty_button, self.leave_button):
            button.setAutoDefault(False)
        self.go_button.setDefault(True)
        first, rows, buttons = QHBoxLayout(), QHBoxLayout(), QHBoxLayout()
        first.addWidget(label)
        first.addWidget(self.file, 1)
        rows.addWidget(self._kind_label)
        rows.addWidget(self.kind)
        rows.addStretch(1)
        rows.addWidget(self.faulty_button)
        buttons.addStretch(1)
        buttons.addWidget(self.leave_button)
        buttons.addWidget(self.go_button)
        self._space = QWidget(self)
        column = QVBoxLayout(self)
        column.addWidget(self._told)
        column.addLayout(first)
        for part in (self.progress, self.counts, self.columns):
            column.addWidget(part)
        column.addLayout(rows)
        column.addWidget(self.list, 1)
        column.addWidget(self.whole)
        column.addWidget(self._space, 1)
        column.addWidget(self.refused)
        column.addLayout(buttons)
        column.setContentsMargins(px(1.2), px(1.2), px(1.2), px(1.2))
        for layout in (column, first, rows, buttons):
            layout.setSpacing(px(0.6))
        self.refused.hide()
        room = (self.parentWidget() or QApplication.primaryScreen()).size()
        self.resize(min(px(WIDE), room.width() * 9 // 10), min(px(TALL), room.height() * 9 // 10))
        self.file.setFocus()


def _columns(preview: "Preview") -> str:
    """Which columns are taken for what, and which are not taken."""
    taken = [f"{header} is {in_sentence(NAMES[field])}" for header, field in preview.columns if field is not None]
    left = [header for header, field in preview.columns if field is None and header]
    said = [f"Columns: {', '.join(taken)}."] if taken else []
    said += [f"Not taken: {', '.join(left)}."] if left else []
    return " ".join((*said, *preview.remarks))
