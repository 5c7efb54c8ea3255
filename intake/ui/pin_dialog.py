"""Asks for a new PIN, twice. It checks nothing itself."""

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QGridLayout, QLineEdit, QWidget

from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.plain import Words
from intake.ui.tall_dialog import TallDialog

HELP = "Four to twelve digits, and none that is guessed first, such as 1234."


class PinDialog(TallDialog):
    """Asks for a new PIN.

    Args:
        whose: Whose it is, as a sentence has it.
        look: For lengths.
        parent: The window over which it opens.
    """

    given = Signal(str, str)
    """The PIN, and the PIN typed again."""

    def __init__(self, whose: str, look: Look, parent: QWidget | None = None) -> None:
        super().__init__("New PIN", f"A new PIN for {whose}. {HELP}", "&Keep it  Enter", look, wide=26, parent=parent)
        self.pin, self.again = QLineEdit(self), QLineEdit(self)
        fields = QGridLayout()
        for row, (words, name, field) in enumerate((("&PIN", "PIN", self.pin), ("A&gain", "PIN again", self.again))):
            field.setEchoMode(QLineEdit.EchoMode.Password)
            field.setInputMethodHints(Qt.InputMethodHint.ImhDigitsOnly)
            field.setMaxLength(12)
            field.setAccessibleName(name)
            set_help(field, HELP)
            label = Words(words, bold=True)
            label.setBuddy(field)
            fields.addWidget(label, row, 0)
            fields.addWidget(field, row, 1)
        self.add(fields)
        self.pin.setFocus()
        self.fit()

    def not_kept(self, why: str) -> None:
        """Says why it was not kept; both are to be typed again."""
        self.refuse(why)
        for field in (self.again, self.pin):
            field.clear()
        self.pin.setFocus()

    @Slot()
    def go_on(self) -> None:
        """Enter goes from the first field to the second, and from there on."""
        if self.pin.text() and not self.again.text():
            self.again.setFocus()
        else:
            self.given.emit(self.pin.text(), self.again.text())
