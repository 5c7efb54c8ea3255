"""Asks which of several that wait something goes with. It returns the choice and does nothing with it."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QDialog, QHBoxLayout, QListWidget, QPushButton, QVBoxLayout, QWidget

from intake.ui.look import Look
from intake.ui.plain import Words


class WhichJob(QDialog):
    """A list of what waits; the arrow keys choose, Enter takes.

    Args:
        waits: Each job or arrival in a sentence.
        look: For lengths.
        parent: The window over which it opens.
    """

    taken = Signal(int)
    """The row that was taken."""

    def __init__(self, waits: Sequence[str], look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("What does it go with?")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.list = QListWidget(self)
        self.list.setAccessibleName("What waits")
        self.list.setWordWrap(True)
        self.list.addItems(list(waits))
        self.list.setCurrentRow(0)
        self.go_button = QPushButton("&Put it there  Enter", self)
        self.go_button.setDefault(True)
        self.go_button.clicked.connect(self._on_go)
        self.leave_button = QPushButton("Leave it  Esc", self)
        self.leave_button.setAutoDefault(False)
        self.leave_button.clicked.connect(self.reject)
        self._lay_out(look)

    @Slot()
    def _on_go(self) -> None:
        self.taken.emit(self.list.currentRow())
        self.accept()

    def _lay_out(self, look: Look) -> None:
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(self.leave_button)
        buttons.addWidget(self.go_button)
        column = QVBoxLayout(self)
        margin = look.px(1.2)
        column.setContentsMargins(margin, margin, margin, margin)
        column.setSpacing(look.px(0.6))
        column.addWidget(Words("Several that wait may belong to this. Choose one.", wraps=True))
        column.addWidget(self.list)
        column.addLayout(buttons)
        self.setMinimumWidth(look.px(38))
        self.list.setFixedHeight(look.px(9))
        self.list.setFocus()
