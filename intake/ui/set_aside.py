"""Codes that were scanned while a dialog asked something: told in it at once, and taken when it closes."""

from collections.abc import Callable

from PySide6.QtCore import QObject, Qt, Slot
from PySide6.QtWidgets import QApplication, QBoxLayout, QDialog, QWidget

from intake.domain.scan_codes import ScanCode
from intake.ui.plain import Words

NOTE = "scanned"
"""The name of the line in a dialog that says what was scanned."""


class SetAside(QObject):
    """Keeps codes in their order until no dialog is open any more.

    Args:
        take: Takes a code, once the window can be worked in again.
        parent: The owner.
    """

    def __init__(self, take: Callable[[ScanCode], None], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._take_one = take
        self._codes: list[ScanCode] = []

    def put(self, dialog: QWidget, code: ScanCode) -> str:
        """Sets a code aside, says so in the dialog, and returns what it said."""
        self._codes.append(code)
        self._wait_for(dialog)
        more = f" So are {len(self._codes) - 1} before it." if len(self._codes) > 1 else ""
        said = f"{code.words} was scanned. It is shown when this is closed.{more}"
        self.say(dialog, said)
        return said

    def say(self, dialog: QWidget, text: str) -> None:
        """Shows a line at the foot of a dialog."""
        note, column = dialog.findChild(Words, NOTE), dialog.layout()
        if note is None and isinstance(column, QBoxLayout):
            note = Words(ink="asks", wraps=True, parent=dialog)
            note.setObjectName(NOTE)
            column.addWidget(note)
        if note is not None:
            note.setText(text)
            note.show()  # what is still hidden is not counted
            _make_room(dialog)

    def _wait_for(self, dialog: QWidget) -> None:
        if isinstance(dialog, QDialog):
            dialog.finished.connect(self._on_closed, Qt.ConnectionType.QueuedConnection)
        dialog.destroyed.connect(self._on_closed, Qt.ConnectionType.QueuedConnection)

    @Slot()
    def _on_closed(self) -> None:
        """A dialog was closed, and has done what it was for; another one may have opened behind it."""
        dialog = QApplication.activeModalWidget()
        if dialog is not None:
            if self._codes:
                self._wait_for(dialog)
            return
        codes, self._codes = self._codes, []
        for code in codes:
            self._take_one(code)


def _make_room(dialog: QWidget) -> None:
    """Lets a dialog grow by what a new line needs, as far as the screen reaches."""
    column = dialog.layout()
    if column is not None:
        needed = column.totalHeightForWidth(dialog.width())
        room = dialog.screen().availableSize().height()
        dialog.resize(dialog.width(), max(dialog.height(), min(needed, room)))
