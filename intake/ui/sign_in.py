"""Asks who is at the desk: initials and PIN. It checks nothing itself."""

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QGridLayout, QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from intake.domain.scan_codes import ScanCode
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.plain import Words

LOCKED = "Sign in to go on. What was half typed is as it was."
CHANGE = "Who is at the desk now? Esc leaves it as it is."
NOT_WHILE = "Sign in first; the scan was not taken."
INITIALS_HELP = "Your initials, as a lead entered them in Lab setup, People."
PIN_HELP = "Your PIN. After some wrong ones none is taken for a while; a lead can give you a new one."


class SignInDialog(QDialog):
    """Asks for initials and PIN.

    Args:
        look: For lengths.
        parent: The window.
        leaves: Whether it can be left without signing in.
    """

    given = Signal(str, str)
    """Initials and PIN as they were typed."""
    ended = Signal()
    """Intake is to be left."""

    def __init__(self, look: Look, parent: QWidget, leaves: bool) -> None:
        super().__init__(parent)
        self.setWindowTitle("Sign in")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowModality(Qt.WindowModality.ApplicationModal)
        self._look, self._leaves = look, leaves
        self.initials, self.pin = QLineEdit(self), QLineEdit(self)
        self.initials.setMaxLength(4)
        self.pin.setMaxLength(12)
        self.pin.setEchoMode(QLineEdit.EchoMode.Password)
        self.pin.setInputMethodHints(Qt.InputMethodHint.ImhDigitsOnly)
        for field, name, told in ((self.initials, "Initials", INITIALS_HELP), (self.pin, "PIN", PIN_HELP)):
            field.setAccessibleName(name)
            set_help(field, told)
        self.refused = Words("", ink="held", bold=True, wraps=True)
        self.refused.hide()
        self.go_button = QPushButton("&Sign in  Enter", self)
        self.go_button.setDefault(True)
        self.go_button.clicked.connect(self._on_go)
        self.leave_button = QPushButton("Leave it  Esc" if leaves else "&Leave Intake", self)
        self.leave_button.setAutoDefault(False)
        self.leave_button.clicked.connect(self.reject if leaves else self.ended)
        self._lay_out()

    def refuse(self, why: str) -> None:
        """Says why nobody is signed in; the PIN is to be typed again."""
        self.refused.setText(why)
        self.refused.setVisible(bool(why))
        self.set_busy(False)
        self.pin.clear()
        self.pin.setFocus()

    def set_busy(self, busy: bool) -> None:
        """While a PIN is looked at, nothing else is taken."""
        for part in (self.initials, self.pin, self.go_button):
            part.setEnabled(not busy)

    def take_code(self, code: ScanCode) -> bool:
        """Takes a scan, and does nothing with it: nobody is there yet to have done it."""
        self.refused.setText(NOT_WHILE)
        self.refused.show()
        return True

    def reject(self) -> None:
        """Esc leaves it where it may be left."""
        if self._leaves:
            super().reject()

    @Slot()
    def _on_go(self) -> None:
        """Enter goes from the initials to the PIN, and from there on."""
        if not self.initials.text().strip():
            self.initials.setFocus()
        elif not self.pin.text():
            self.pin.setFocus()
        else:
            self.set_busy(True)
            self.given.emit(self.initials.text(), self.pin.text())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and not self._leaves:
            return
        super().keyPressEvent(event)

    def _lay_out(self) -> None:
        fields = QGridLayout()
        for row, (words, field) in enumerate((("&Initials", self.initials), ("&PIN", self.pin))):
            label = Words(words, bold=True)
            label.setBuddy(field)
            fields.addWidget(label, row, 0)
            fields.addWidget(field, row, 1)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(self.leave_button)
        buttons.addWidget(self.go_button)
        column = QVBoxLayout(self)
        margin = self._look.px(1.2)
        column.setContentsMargins(margin, margin, margin, margin)
        column.setSpacing(self._look.px(0.6))
        column.addWidget(Words(CHANGE if self._leaves else LOCKED, wraps=True))
        column.addLayout(fields)
        column.addWidget(self.refused)
        column.addLayout(buttons)
        self.setMinimumWidth(self._look.px(24))
        self.initials.setFocus()
