"""Tries a scanner gun out, and asks what it sends before each code. It returns the answer and keeps nothing."""

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from intake.domain.scan_codes import ScanCode
from intake.ui.look import Look
from intake.ui.plain import Words

TOLD = (
    "Scan a ticket here. What the gun sends before its number, if it sends anything, comes into the field. "
    "A gun that sends something before each code, and Enter or Tab behind it, is told from typing most surely."
)
MOST = 16
"""Characters of a prefix."""


class GunDialog(QDialog):
    """A field for the prefix, and the answer to what is scanned meanwhile.

    Args:
        prefix: What is set up at present.
        is_sound: Whether a code proves itself.
        look: For lengths.
        parent: The window over which it opens.
    """

    chosen = Signal(str)
    """The prefix; empty where the gun sends none."""

    def __init__(self, prefix: str, is_sound: Callable[[str], bool], look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Scanner gun")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._is_sound = is_sound
        self.field = QLineEdit(prefix, self)
        self.field.setAccessibleName("Before each code the gun sends")
        self.field.setPlaceholderText("nothing")
        # Queued, since the characters of a whole code come one after the other.
        self.field.textChanged.connect(self._on_text, Qt.ConnectionType.QueuedConnection)
        self.answer = Words(" ", ink="ok", wraps=True)
        self.go_button = QPushButton("&Use it  Enter", self)
        self.go_button.setDefault(True)
        self.go_button.clicked.connect(self._on_go)
        self.leave_button = QPushButton("Leave it  Esc", self)
        self.leave_button.setAutoDefault(False)
        self.leave_button.clicked.connect(self.reject)
        self._lay_out(look)

    def take_code(self, code: ScanCode) -> bool:
        """Answers a code that was read, whatever it is."""
        self.answer.set_ink("ok")
        self.answer.setText(f"{code.words} was read. The gun works.")
        return True

    def take_refused(self, text: str, why: str) -> None:
        """Takes what came but was no code: with a prefix that is not known yet, for instance."""
        if self._prefix_in(text) is None:
            self.answer.set_ink("held")
            self.answer.setText(why)
        else:
            self.field.setText(text)

    def _prefix_in(self, text: str) -> str | None:
        """What stands before a sound code; None where there is none or nothing before it."""
        return next((text[:at] for at in range(1, min(MOST, len(text)) + 1) if self._is_sound(text[at:])), None)

    @Slot()
    def _on_text(self) -> None:
        """A gun whose prefix is not known and that sends no end key types its code into the field."""
        prefix = self._prefix_in(self.field.text())
        if prefix is not None:
            self.field.setText(prefix)
            self.answer.set_ink("ok")
            self.answer.setText("This came before a code. Use it, then scan once more.")
        self.go_button.setEnabled(len(self.field.text()) <= MOST)

    @Slot()
    def _on_go(self) -> None:
        self.chosen.emit(self.field.text().strip())
        self.accept()

    def _lay_out(self, look: Look) -> None:
        label = Words("&Before each code the gun sends", bold=True)
        label.setBuddy(self.field)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(self.leave_button)
        buttons.addWidget(self.go_button)
        column = QVBoxLayout(self)
        margin = look.px(1.2)
        column.setContentsMargins(margin, margin, margin, margin)
        column.setSpacing(look.px(0.6))
        for part in (Words(TOLD, wraps=True), label, self.field, self.answer):
            column.addWidget(part)
        column.addLayout(buttons)
        self.setMinimumWidth(look.px(36))
        self.field.setFocus()
