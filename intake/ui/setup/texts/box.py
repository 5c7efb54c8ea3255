"""A field for a text of the setup: prose, or a list with a line for each entry."""

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QPlainTextEdit, QWidget

from intake.ui.help_panel import set_help
from intake.ui.look import Look

PROSE_HELP = (
    "Enter keeps the text, Shift+Enter begins a new line, Tab goes on. What can stand in braces is said below the "
    "field; it is filled in when the paper is drawn."
)
LIST_HELP = (
    "A line for each entry: Enter begins the next, Tab keeps the list and goes on. In an answer to tick a line of "
    "underscores is to be filled in."
)
MOST, MOST_LINES = 6, 12
"""Lines that it shows at most: of prose, and of a list."""
_KEYPAD = Qt.KeyboardModifier.KeypadModifier


class TextBox(QPlainTextEdit):
    """The field. Enter keeps prose; a list is kept when the field is left.

    Args:
        name: What a screen reader calls it.
        look: For lengths.
        parent: The owner.
    """

    finished = Signal()
    """It was left, or Enter was pressed in prose."""

    def __init__(self, name: str, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._is_list = look, False
        self.setAccessibleName(name)
        self.setTabChangesFocus(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.textChanged.connect(self._fit)
        look.changed.connect(self._fit)
        set_help(self, PROSE_HELP)

    @property
    def words(self) -> str | tuple[str, ...]:
        """What stands in it; of a list its lines, without empty ones at the end."""
        text = self.toPlainText()
        if not self._is_list:
            return text.strip()
        return tuple(line.strip() for line in text.rstrip().split("\n")) if text.strip() else ()

    def show_words(self, words: str | tuple[str, ...]) -> None:
        """Writes it anew."""
        self._is_list = not isinstance(words, str)
        set_help(self, LIST_HELP if self._is_list else PROSE_HELP)
        self.setPlainText(words if isinstance(words, str) else "\n".join(words))
        self.setModified(False)

    def is_modified(self) -> bool:
        """Whether anything was typed since it was written."""
        return self.document().isModified()

    def setModified(self, modified: bool) -> None:
        """Counts what stands in it as typed, or as written."""
        self.document().setModified(modified)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            super().keyPressEvent(event)
        elif event.modifiers() & ~(_KEYPAD | Qt.KeyboardModifier.ShiftModifier):
            event.ignore()
        elif self._is_list or event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            self.insertPlainText("\n")
        else:
            self.finished.emit()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.finished.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    @Slot()
    def _fit(self) -> None:
        """As high as what stands in it, within limits."""
        most = MOST_LINES if self._is_list else MOST
        lines = min(most, max(2, round(self.document().size().height())))
        wanted = lines * self.fontMetrics().lineSpacing() + self._look.px(1.6)
        if wanted != self.height() or self.minimumHeight() != wanted:
            self.setFixedHeight(wanted)
