"""A field for a sentence or two, as high as what stands in it."""

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QPlainTextEdit, QWidget

from intake.ui.help_panel import set_help
from intake.ui.look import Look

MOST = 6
"""Lines that it shows at most."""


class Paragraph(QPlainTextEdit):
    """A text without line breaks of its own: Enter finishes it.

    Args:
        name: What a screen reader calls it.
        told: Its help.
        look: For lengths.
        parent: The owner.
    """

    finished = Signal()
    """It was left, or Enter was pressed."""

    def __init__(self, name: str, told: str, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self.setAccessibleName(name)
        set_help(self, told)
        self.setTabChangesFocus(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.textChanged.connect(self._fit)
        look.changed.connect(self._fit)
        self._fit()

    def text(self) -> str:
        """What stands in it, in one line."""
        return " ".join(self.toPlainText().split())

    def setText(self, text: str) -> None:
        """Writes it anew."""
        if text != self.toPlainText():
            self.setPlainText(text)
        self.setModified(False)

    def isModified(self) -> bool:
        """Whether anything was typed since it was written."""
        return self.document().isModified()

    def setModified(self, modified: bool) -> None:
        """Counts what stands in it as typed, or as written."""
        self.document().setModified(modified)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if event.modifiers() & ~(Qt.KeyboardModifier.KeypadModifier | Qt.KeyboardModifier.ShiftModifier):
                event.ignore()
                return
            self.finished.emit()
            return
        super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.finished.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    @Slot()
    def _fit(self) -> None:
        lines = min(MOST, max(2, round(self.document().size().height())))
        self.setFixedHeight(lines * self.fontMetrics().lineSpacing() + self._look.px(1.6))
