"""The fields of a practice: a line, several lines, or a choice; each with its label and what is said of it."""

from collections.abc import Sequence
from typing import cast

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QFocusEvent, QFontMetrics, QKeyEvent
from PySide6.QtWidgets import QComboBox, QPlainTextEdit, QSizePolicy, QVBoxLayout, QWidget

from intake.domain.form_fields import Said
from intake.ui.arrivals.field import ENTER, Field
from intake.ui.look import Look
from intake.ui.plain import Words

_NOT_LEFT = (
    Qt.FocusReason.ActiveWindowFocusReason,
    Qt.FocusReason.PopupFocusReason,
    Qt.FocusReason.MenuBarFocusReason,
)


class Lines(Field):
    """A field of several lines. Enter begins the next line; on an empty line, or on the last of them, it goes on.

    Args:
        look: For fonts and lengths.
        place: Which field of the entry it is.
        hint: An example, shown while it is empty.
        count: So many lines show.
        parent: The owner.
    """

    def __init__(self, look: Look, place: str, hint: str, count: int, parent: QWidget) -> None:
        self._count = count
        super().__init__(look, place, hint, True, parent)

    @Slot()
    def _fit(self) -> None:
        super()._fit()
        self.small_print.show()
        inset = self._look.px(0.35) * 2 + round(self._page.document().documentMargin()) * 2 + 2
        self._page.setFixedHeight(self._count * QFontMetrics(self._look.font()).lineSpacing() + inset)

    def _on_key(self, event: QKeyEvent) -> bool:
        plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
        if event.key() in ENTER and plain:
            cursor = self._page.textCursor()
            if not cursor.block().text().strip():
                self.went_on.emit(self.place)
                return True
        return False

    @property
    def _page(self) -> QPlainTextEdit:
        return cast("QPlainTextEdit", self.edit)


class Choice(QWidget):
    """A choice among a few; what it is set to counts when it is left or Enter is pressed.

    Args:
        look: For fonts and lengths.
        place: Which field of the entry it is.
        usual: What the choice of nothing says.
        parent: The owner.
    """

    left = Signal(str)
    went_on = Signal(str)
    entered = Signal(str)
    chosen = Signal(str)
    """Something else is chosen; it does not count yet."""

    def __init__(self, look: Look, place: str, usual: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self.place, self._usual = look, place, usual
        self.edit = QComboBox(self)
        self.edit.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.edit.setMinimumContentsLength(6)
        self.edit.installEventFilter(self)
        self.edit.activated.connect(self._on_activated)
        self.label = Words("", size="small", ink="quiet")
        self.label.setBuddy(self.edit)
        self.small_print = Words("", size="small", ink="quiet", wraps=True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for part in (self.label, self.edit, self.small_print):
            column.addWidget(part)
        column.addStretch(1)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.setMinimumWidth(1)
        look.changed.connect(self._fit)
        self._fit()
        self.offer(())

    @property
    def text(self) -> str:
        """What is chosen, as the directory keeps it; empty for the usual."""
        return str(self.edit.currentData() or "")

    def set_text(self, text: str) -> None:
        """Chooses a value; one that is not among the choices is added, and said to be unknown."""
        at = self.edit.findData(text)
        if at < 0:
            self.edit.addItem(f"{text} (not known here)", text)
            at = self.edit.count() - 1
        self.edit.setCurrentIndex(at)

    def offer(self, choices: Sequence[tuple[str, str]]) -> None:
        """Offers these: the words and the value of each; the usual stands first. What is chosen stays chosen."""
        before = self.text
        self.edit.clear()
        self.edit.addItem(self._usual, "")
        for words, value in choices:
            self.edit.addItem(words, value)
        self.set_text(before)

    def name(self, name: str, label: str) -> None:
        """Takes a name, and a label with the letter that goes to the field."""
        self.label.setText(label)
        self.edit.setAccessibleName(name)

    def say(self, said: Said | None, aside: str = "") -> None:
        """Shows what is wrong; `aside` while there is nothing to say."""
        self.small_print.setText(said.text if said and said.text else aside)
        self.small_print.set_ink("held" if said and said.wrong else "quiet")
        self.edit.setAccessibleDescription(self.small_print.text())

    def take_keys(self, at_end: bool = False) -> None:
        """Takes the keys."""
        self.edit.setFocus(Qt.FocusReason.TabFocusReason)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusOut and cast("QFocusEvent", event).reason() not in _NOT_LEFT:
            QTimer.singleShot(0, self._on_left)
        elif event.type() == QEvent.Type.FocusIn:
            self.entered.emit(self.place)
        elif event.type() == QEvent.Type.KeyPress and cast("QKeyEvent", event).key() in ENTER:
            self.went_on.emit(self.place)
            return True
        elif event.type() == QEvent.Type.Wheel and not self.edit.hasFocus():
            event.ignore()  # whoever scrolls the page changes nothing in passing
            return True
        return False

    @Slot()
    def _on_left(self) -> None:
        if not self.edit.hasFocus():
            self.left.emit(self.place)

    @Slot()
    def _on_activated(self) -> None:
        self.chosen.emit(self.place)

    @Slot()
    def _fit(self) -> None:
        self.small_print.setMinimumHeight(QFontMetrics(self._look.font("small")).height())
