"""One field of the form: its label, its text, and under it what was understood, or what is wrong."""

from collections.abc import Callable
from typing import cast

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QFocusEvent, QFontMetrics, QKeyEvent, QTextCursor
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QPlainTextEdit, QSizePolicy, QVBoxLayout, QWidget

from intake.domain.form_fields import Said
from intake.ui.look import Look
from intake.ui.plain import Words, restyle

ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
NOTE_LINES = 2


class Field(QWidget):
    """A field with its label and its small print.

    Args:
        look: For fonts and lengths.
        place: Where its value stands in the prescription.
        hint: An example, shown while it is empty.
        lines: Whether it takes several lines.
        parent: The owner.
    """

    edited = Signal(str)
    entered = Signal(str)
    left = Signal(str)
    went_on = Signal(str)

    def __init__(self, look: Look, place: str, hint: str, lines: bool, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self.place = look, place
        self.keys_first: Callable[[Field, QKeyEvent], bool] | None = None
        self.edit: QLineEdit | QPlainTextEdit = QPlainTextEdit(self) if lines else QLineEdit(self)
        self.label = Words("", size="small", ink="quiet")
        self.label.setBuddy(self.edit)
        self.corner = Words("", size="small", ink="quiet")
        self.small_print = Words("", size="small", ink="quiet", wraps=True)
        self.edit.setPlaceholderText(hint)
        self.edit.installEventFilter(self)
        self._told = ""
        self._connect_edit()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        head = QHBoxLayout()
        head.addWidget(self.label, 1)
        head.addWidget(self.corner)
        self._column.addLayout(head)
        for part in (self.edit, self.small_print):
            self._column.addWidget(part)
        self._column.addStretch(1)  # in a row with one that says more, its parts stay beside the other's
        # Its row alone decides how wide a field is, so that edges line up whatever is written in it.
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.setMinimumWidth(1)
        for part in (self.label, self.edit):
            part.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        look.changed.connect(self._fit)
        self._fit()

    @property
    def text(self) -> str:
        """What is typed."""
        return self.edit.text() if isinstance(self.edit, QLineEdit) else self.edit.toPlainText()

    def set_text(self, text: str) -> None:
        """Puts a text in without taking it for typing; what is there already stays as it is, with its cursor.

        Text that is marked from end to end stays marked.
        """
        if text == self.text:
            return
        self.edit.blockSignals(True)
        if isinstance(self.edit, QLineEdit):
            marked = bool(self.edit.text()) and self.edit.selectedText() == self.edit.text()
            self.edit.setText(text)
            self.edit.setCursorPosition(len(text))
            if marked:  # whoever was about to write in its place still is
                self.edit.selectAll()
        else:
            self.edit.setPlainText(text)
        self.edit.blockSignals(False)

    def name(self, name: str, label: str) -> None:
        """Takes a name, and a label with the letter that goes to the field."""
        if self.label.text() != label:
            self.label.setText(label)
        if self.edit.accessibleName() != name:
            self.edit.setAccessibleName(name)

    def say(self, said: Said | None, aside: str = "") -> None:
        """Shows what was understood or what is wrong; `aside` while there is nothing to say."""
        text, wrong = (said.text, said.wrong) if said and said.text else (aside, False)
        if text != self._told:
            self._told = text
            self.small_print.setText(text)
            self.edit.setAccessibleDescription(text)
        self.small_print.set_ink("held" if wrong else "quiet")
        if bool(self.edit.property("wrong")) != wrong:
            self.edit.setProperty("wrong", wrong)
            restyle(self.edit)

    def take_keys(self, at_end: bool = False) -> None:
        """Takes the keys; `at_end` puts the cursor behind what is there, to add to it, instead of marking all of it."""
        self.edit.setFocus(Qt.FocusReason.TabFocusReason)
        if not at_end:
            return
        if isinstance(self.edit, QLineEdit):
            self.edit.deselect()
            self.edit.end(False)
        else:
            self.edit.moveCursor(QTextCursor.MoveOperation.End)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.KeyPress:
            return self._on_key(cast("QKeyEvent", event))
        if event.type() == QEvent.Type.FocusIn:
            self.entered.emit(self.place)
        elif event.type() == QEvent.Type.FocusOut and cast("QFocusEvent", event).reason() not in (
            Qt.FocusReason.ActiveWindowFocusReason,
            Qt.FocusReason.PopupFocusReason,
            Qt.FocusReason.MenuBarFocusReason,
        ):
            # Not before the keys have arrived where they go: leaving a field may take it off the form.
            QTimer.singleShot(0, self._on_left)
        return False

    def _on_key(self, event: QKeyEvent) -> bool:
        if self.keys_first is not None and self.keys_first(self, event):
            return True
        plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
        if event.key() in ENTER and plain:
            self.went_on.emit(self.place)
            return True
        return False

    def _connect_edit(self) -> None:
        if isinstance(self.edit, QLineEdit):
            self.edit.textEdited.connect(self._on_edited)
            return
        self.edit.setTabChangesFocus(True)
        self.edit.textChanged.connect(self._on_edited)

    @Slot()
    def _on_edited(self) -> None:
        self.edited.emit(self.place)

    @Slot()
    def _on_left(self) -> None:
        if not self.edit.hasFocus():
            self.left.emit(self.place)

    @Slot()
    def _fit(self) -> None:
        small, text = QFontMetrics(self._look.font("small")), QFontMetrics(self._look.font())
        # Its line is kept free, so that nothing moves when something is said; of notes nothing is ever said.
        self.small_print.setMinimumHeight(small.height())
        if isinstance(self.edit, QPlainTextEdit):
            self.small_print.hide()
            inset = self._look.px(0.35) * 2 + round(self.edit.document().documentMargin()) * 2 + 2
            self.edit.setFixedHeight(NOTE_LINES * text.lineSpacing() + inset)
