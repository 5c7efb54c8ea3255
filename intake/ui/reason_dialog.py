"""Asks for a reason: one of the usual ones, or what is typed. It returns the reason and does nothing with it."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLineEdit, QListWidget, QPushButton, QVBoxLayout, QWidget

from intake.ui.look import Look
from intake.ui.plain import Words


class ReasonField(QWidget):
    """A field for a reason with the usual ones under it; the arrow keys choose among them, typing overrules them.

    Args:
        usual: The usual reasons, the likeliest first.
        look: For lengths.
        parent: The owner.
    """

    went_on = Signal()
    """One of the usual reasons was taken."""

    def __init__(self, usual: Sequence[str], look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.field = QLineEdit(self)
        self.field.setAccessibleName("Why")
        self.field.setMaxLength(200)
        self.field.setPlaceholderText("type a reason, or choose one below")
        self.field.installEventFilter(self)
        self.field.textEdited.connect(self._on_typed)
        self.usual = QListWidget(self)
        self.usual.setAccessibleName("Usual reasons")
        self.usual.addItems(list(usual))
        self.usual.setCurrentRow(0)
        self.usual.itemActivated.connect(self.went_on)
        label = Words("W&hy?", bold=True)
        label.setBuddy(self.field)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(look.px(0.6))
        for part in (label, self.field, self.usual):
            column.addWidget(part)
        self.usual.setFixedHeight(self.usual.sizeHintForRow(0) * self.usual.count() + look.px(0.5))
        self.setFocusProxy(self.field)

    @property
    def reason(self) -> str:
        """What was typed; else the usual reason that is chosen."""
        chosen = self.usual.currentItem()
        return self.field.text().strip() or (chosen.text() if chosen is not None else "")

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            step = (event.key() == Qt.Key.Key_Down) - (event.key() == Qt.Key.Key_Up)
            if step:
                self.field.clear()
                self.usual.setCurrentRow(min(max(0, self.usual.currentRow() + step), self.usual.count() - 1))
                return True
        return super().eventFilter(watched, event)

    @Slot(str)
    def _on_typed(self, text: str) -> None:
        self.usual.setCurrentRow(-1 if text.strip() else 0)


class ReasonDialog(QDialog):
    """Asks for a reason.

    Args:
        title: What is about to be done.
        told: What that means, in a sentence.
        usual: The usual reasons, the likeliest first.
        go: The words of the button that goes on, with its access key.
        look: For lengths.
        parent: The window over which it opens.
    """

    given = Signal(str)

    def __init__(
        self, title: str, told: str, usual: Sequence[str], go: str, look: Look, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.why = ReasonField(usual, look, self)
        self.why.went_on.connect(self._on_go)
        self.field, self.usual = self.why.field, self.why.usual
        self.go_button = QPushButton(go, self)
        self.go_button.setDefault(True)
        self.go_button.clicked.connect(self._on_go)
        self.leave_button = QPushButton("Leave it  Esc", self)
        self.leave_button.setAutoDefault(False)
        self.leave_button.clicked.connect(self.reject)
        self._lay_out(told, look)

    @property
    def reason(self) -> str:
        """What was typed; else the usual reason that is chosen."""
        return self.why.reason

    @Slot()
    def _on_go(self) -> None:
        if self.reason:
            self.given.emit(self.reason)
            self.accept()

    def _lay_out(self, told: str, look: Look) -> None:
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(self.leave_button)
        buttons.addWidget(self.go_button)
        column = QVBoxLayout(self)
        margin = look.px(1.2)
        column.setContentsMargins(margin, margin, margin, margin)
        column.setSpacing(look.px(0.6))
        column.addWidget(Words(told, wraps=True))
        column.addWidget(self.why)
        column.addLayout(buttons)
        self.setMinimumWidth(look.px(30))
        self.field.setFocus()
