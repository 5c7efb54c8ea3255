"""Asks for the password of the mail account. It returns what was typed and keeps nothing."""

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from intake.ui.look import Look
from intake.ui.plain import Words

SENDING = "before it takes e-mails"


class PasswordDialog(QDialog):
    """A field whose text is not shown.

    Args:
        server: The mail server.
        user: The account.
        look: For lengths.
        parent: The window over which it opens.
        purpose: What the server does only once it has the password.
    """

    given = Signal(str)

    def __init__(
        self, server: str, user: str, look: Look, parent: QWidget | None = None, purpose: str = SENDING
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Mail password")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.field = QLineEdit(self)
        self.field.setEchoMode(QLineEdit.EchoMode.Password)
        self.field.setAccessibleName("Password")
        self.go_button = QPushButton("&Keep it  Enter", self)
        self.go_button.setDefault(True)
        self.go_button.clicked.connect(self._on_go)
        self.leave_button = QPushButton("Leave it  Esc", self)
        self.leave_button.setAutoDefault(False)
        self.leave_button.clicked.connect(self.reject)
        told = (
            f"{server} asks for the password of {user} {purpose}. "
            "It goes into this system’s own keyring and is kept nowhere else."
        )
        self._lay_out(told, look)

    @Slot()
    def _on_go(self) -> None:
        password = self.field.text()
        if password:
            self.field.clear()
            self.given.emit(password)
            self.accept()

    def _lay_out(self, told: str, look: Look) -> None:
        label = Words("&Password", bold=True)
        label.setBuddy(self.field)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(self.leave_button)
        buttons.addWidget(self.go_button)
        column = QVBoxLayout(self)
        margin = look.px(1.2)
        column.setContentsMargins(margin, margin, margin, margin)
        column.setSpacing(look.px(0.6))
        for part in (Words(told, wraps=True), label, self.field):
            column.addWidget(part)
        column.addLayout(buttons)
        self.setMinimumWidth(look.px(30))
        self.field.setFocus()
