"""Looks closer at the scans of an arrival: one of them, or both arches, turned by hand or keys, with what was seen."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QKeyEvent, QTextOption
from PySide6.QtWidgets import QDialog, QHBoxLayout, QListWidget, QPlainTextEdit, QPushButton, QVBoxLayout, QWidget
from shiboken6 import isValid

from intake.errors import IntakeError
from intake.ui.plain import Words
from intake.ui.room import Room
from intake.ui.scans import asked
from intake.ui.scans.telling import asked_words
from intake.ui.scans.turntable import TurntableView

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.scan_panel import ScanPanel, ScanShown
    from intake.inbox.mesh.turntable import Turntable

BOTH = "Both arches"
READING = "Reading the scan …"
NOT_READ = "There is no picture of this one."
NO_SCANS = "This message brought no scans."
MOST_ROWS = 7
"""So many scans are in sight in the list."""
STEPS = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}
ACTIONS = ("scan-upper", "scan-lower", "scan-bite", "scan-unit", "next-scan", "undo")
"""What of the window's actions works here too."""


class Looking(QDialog):
    """The scans of an arrival, one at a time.

    Args:
        room: What every place shares.
        desk: Reads the scans.
        panel: What was seen of them.
        first: The scan to begin with.
        parent: The window over which it opens.
    """

    def __init__(
        self, room: Room, desk: "Desk", panel: "ScanPanel", first: "ScanShown | None", parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Scans: Page Down goes on to the next, Page Up back")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._room, self._desk, self._panel = room, desk, panel
        self._on_view: object = None
        self._said = ""
        self.view = TurntableView(room.look, room.jobs, READING, self)
        self.list = _List(self)
        self.list.setAccessibleName("Scans of this arrival")
        self.title = Words("", bold=True, wraps=True)
        self.told, self.message = _page("What was seen", self), _page("The message", self)
        self.hint = Words("", size="small", ink="quiet", wraps=True)
        self.leave_button = QPushButton("Close  Esc", self)
        self.leave_button.setAutoDefault(False)
        self.leave_button.clicked.connect(self.reject)
        self.addActions([room.keys.action(name) for name in ACTIONS])
        self._lay_out()
        self._fill_list(first.seen.file.file_id if first is not None else None)
        self.list.currentRowChanged.connect(self._on_row)
        self.finished.connect(self.view.forget)
        self._on_row()
        (self.view if self.list.count() else self.message).setFocus()

    @property
    def current(self) -> "ScanShown | None":
        """The scan that is looked at; None while it is both arches, or none came."""
        row = self.list.currentRow()
        return self._panel.shown[row] if 0 <= row < len(self._panel.shown) else None

    def show_panel(self, panel: "ScanPanel") -> None:
        """Shows what was seen since; the scan that is looked at stays in view."""
        current, self._panel = self.current, panel
        self.list.blockSignals(True)
        self._fill_list(current.seen.file.file_id if current else None, at_end=current is None)
        self.list.blockSignals(False)
        self._show_row()

    def step(self, by: int) -> None:
        """Goes on to the next scan, or back; behind the last it begins anew."""
        if self.list.count():
            self.list.setCurrentRow((self.list.currentRow() + by) % self.list.count())

    def tell(self, said: str) -> None:
        """Says what was done, until another scan is looked at."""
        self._said = said
        self._show_hint()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = STEPS.get(Qt.Key(event.key()))
        if step is None:
            super().keyPressEvent(event)
        else:
            self.step(step)

    def _fill_list(self, file_id: int | None, at_end: bool = False) -> None:
        names = [f"{scan.name}  {scan.seen.file.name}" for scan in self._panel.shown]
        names += [BOTH] if self._panel.scans.arches is not None else []
        ids = [scan.seen.file.file_id for scan in self._panel.shown]
        self.list.clear()
        self.list.addItems(names)
        self.list.setCurrentRow(ids.index(file_id) if file_id in ids else len(names) - 1 if at_end else 0)

    @Slot()
    def _on_row(self) -> None:
        self._said = ""
        self._show_row()

    def _show_row(self) -> None:
        scan, row = self.current, self.list.currentRow()
        if row < 0:
            self._show_view(None, None, NO_SCANS)
            return
        if scan is not None:
            self._tell(scan.name, "\n".join((*scan.facts, *scan.faults)))
            shows: object = (scan.seen.file.file_id, scan.seen.jaw.jaw, scan.seen.unit.unit)
        else:
            self._tell(BOTH, self._panel.arches)
            shows = tuple(each.seen.file.file_id for each in self._panel.shown), self._panel.arches
        self._show_hint()
        if shows != self._on_view:
            self._show_view(shows, None, READING)
            work = partial(asked.turntable, self._desk, self._panel, row)
            self._room.jobs.run(work, partial(self._on_turntable, shows), self._on_failed, lane="beside")

    def _on_turntable(self, shows: object, turntable: "Turntable | None") -> None:
        if isValid(self) and shows == self._on_view:  # closed, or gone on, meanwhile
            self._show_view(shows, turntable, NOT_READ)

    def _on_failed(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        if isValid(self):
            self._show_view(self._on_view, None, str(problem))

    def _show_view(self, shows: object, turntable: "Turntable | None", otherwise: str) -> None:
        self._on_view = shows
        self.view.show_scans(turntable, otherwise)

    def _show_hint(self) -> None:
        asks = asked_words(self.current, self._room.keys, len(self._panel.shown) > 1)
        self.hint.setText(f"{self._said} {asks}".strip())

    def _tell(self, title: str, told: str) -> None:
        self.title.setText(title)
        self.told.setPlainText(told)

    def _lay_out(self) -> None:
        px, mail, window = self._room.look.px, self._panel.message, self.parentWidget()
        room = window.size() if window is not None else self.sizeHint()
        side = QVBoxLayout()
        side.setSpacing(px(0.5))
        if self._panel.shown:
            side.addWidget(self.list)
            self.list.setFixedHeight(px(1.5) * min(len(self._panel.shown) + 1, MOST_ROWS, room.height() // px(6)))
            side.addWidget(self.title)
            side.addWidget(self.told, 2)
            side.addWidget(self.hint)
        else:
            for part in (self.list, self.title, self.told, self.hint):
                part.hide()
        if mail is not None:
            sender = " ".join(filter(None, (mail.sender_name, f"<{mail.sender}>" if mail.sender else "")))
            side.addWidget(Words(f"The message from {sender}" if sender else "The message", bold=True, wraps=True))
            self.message.setPlainText("\n".join(filter(None, (mail.subject, "", mail.text))))
            side.addWidget(self.message, 3)
        else:
            self.message.hide()
        side.addWidget(self.leave_button, 0, Qt.AlignmentFlag.AlignRight)
        whole = QHBoxLayout(self)
        margin = px(1)
        whole.setContentsMargins(margin, margin, margin, margin)
        whole.setSpacing(margin)
        whole.addWidget(self.view, 3)
        whole.addLayout(side, 2)
        self.resize(min(px(58), room.width() - px(2)), min(px(38), room.height() - px(2)))


class _List(QListWidget):
    """The names of the scans; Page Up and Page Down are the dialog's."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if Qt.Key(event.key()) in STEPS:
            event.ignore()
        else:
            super().keyPressEvent(event)


def _page(name: str, parent: QWidget) -> QPlainTextEdit:
    """Text to read, which can be gone through by keys, and in which a long name of a file breaks anywhere."""
    page = QPlainTextEdit(parent)
    page.setReadOnly(True)
    page.setAccessibleName(name)
    page.setTabChangesFocus(True)
    page.setWordWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    return page
