"""One setting: its name, a field of the kind that fits it, its unit, and beneath what is wrong with what is typed."""

from collections.abc import Sequence

from PySide6.QtCore import QSignalBlocker, Qt, Signal, Slot
from PySide6.QtGui import QFocusEvent, QFontMetrics, QWheelEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QComboBox,
    QHBoxLayout,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from intake.setup.settings import Setting
from intake.setup.typed import WORD_LIST
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.plain import Words, restyle
from intake.ui.tick import Tick

LABEL = 15
"""The width of the names, in heights of text, where they stand beside the fields."""
NUMBER, LINE, WIDE = 6, 24, 40
LINES, MANY_LINES = 4, 7
ENDLESS = 16_777_215
"""The width that Qt gives what has no bounds."""
_WINDOW = (Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason, Qt.FocusReason.MenuBarFocusReason)


class SettingField(QWidget):
    """The field. What is typed counts when it is left or Enter is pressed, a choice at once.

    Args:
        setting: What it is about.
        group: The name of what it belongs to, for who does not see it.
        look: For lengths.
        parent: The owner.
    """

    finished = Signal(object)
    """The field, whose text is to count."""
    choose = Signal(object)
    """A file is wanted for the field."""

    def __init__(self, setting: Setting, group: str, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self.setting, self._look = setting, look
        self.label = Words(setting.label, ink="quiet", wraps=True)
        self.unit = Words(setting.unit, ink="quiet")
        self.wrong = Words("", size="small", ink="held", wraps=True)
        self.wrong.hide()
        self.edit = self._made()
        self.edit.setAccessibleName(f"{group}: {setting.label}")
        set_help(self.edit, f"{setting.help} {setting.unit.capitalize()}." if setting.unit else setting.help)
        self.choose_button = QPushButton("Choose …", self)
        self.choose_button.setAccessibleName(f"Choose a file: {setting.label}")
        self.choose_button.setVisible(setting.offers == "logo")
        self.choose_button.clicked.connect(lambda: self.choose.emit(self))
        self.setFocusProxy(self.edit)
        self._shown = ""
        self._lay_out()
        look.changed.connect(self._fit)
        self._fit()

    @property
    def text(self) -> str:
        """What stands in it."""
        if isinstance(self.edit, Tick):
            return "yes" if self.edit.isChecked() else "no"
        if isinstance(self.edit, QComboBox):
            return self.edit.currentText()
        return self.edit.toPlainText() if isinstance(self.edit, QPlainTextEdit) else self.edit.text()

    @property
    def is_typed(self) -> bool:
        """Whether something else stands in it than the setup has."""
        return self.text != self._shown

    def show_text(self, text: str) -> None:
        """Shows what the setup has."""
        self._shown = text
        if self.text == text:
            return
        with QSignalBlocker(self.edit):
            self.put(text)

    def put(self, text: str) -> None:
        """Puts a text in as if it were typed."""
        if isinstance(self.edit, Tick):
            self.edit.setChecked(text == "yes")
        elif isinstance(self.edit, QComboBox):
            self.edit.setCurrentText(text)
        elif isinstance(self.edit, QPlainTextEdit):
            self.edit.setPlainText(text)
        else:
            self.edit.setText(text)

    def offer(self, words: Sequence[str]) -> None:
        """Offers these to choose from; any other can be typed all the same."""
        if isinstance(self.edit, QComboBox) and self.edit.isEditable():
            text = self.text
            with QSignalBlocker(self.edit):
                self.edit.clear()
                self.edit.addItems(list(words))
                self.edit.setCurrentText(text)

    def say(self, wrong: str) -> None:
        """Says what is wrong; nothing, where nothing is."""
        self.wrong.setText(wrong)
        self.wrong.setVisible(bool(wrong))
        self.edit.setAccessibleDescription(wrong)
        if bool(self.edit.property("wrong")) != bool(wrong):
            self.edit.setProperty("wrong", bool(wrong))
            restyle(self.edit)

    def set_roomy(self, roomy: bool) -> None:
        """Puts the name beside the field, or above it where there is no room."""
        ways = QBoxLayout.Direction
        self._whole.setDirection(ways.LeftToRight if roomy else ways.TopToBottom)
        self._whole.setSpacing(self._look.px(0.8 if roomy else 0.15))
        self.label.setContentsMargins(0, self._look.px(0.4) if roomy else 0, 0, 0)  # on the line of what is typed
        self.label.setMinimumWidth(self._look.px(LABEL) if roomy else 0)
        self.label.setMaximumWidth(self._look.px(LABEL) if roomy else ENDLESS)

    @Slot()
    def _finish(self) -> None:
        self.finished.emit(self)

    def _made(self) -> QLineEdit | QPlainTextEdit | QComboBox | Tick:
        kind = self.setting.typed
        if kind.look == "tick":
            tick = Tick(self)
            tick.toggled.connect(self._finish)
            return tick
        if kind.look == "choice" or self.setting.offers == "queues":
            box = _Choice(self)
            box.addItems(list(kind.offers))
            box.activated.connect(self._finish)
            if self.setting.offers == "queues":
                box.setEditable(True)
                box.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
                edit = box.lineEdit()
                assert edit is not None, "a list that can be typed into has a line"
                edit.editingFinished.connect(self._finish)
            return box
        if kind.look == "lines":
            page = _Page(self)
            page.left.connect(self._finish)
            return page
        line = QLineEdit(self)
        line.editingFinished.connect(self._finish)
        return line

    def _lay_out(self) -> None:
        self.label.setBuddy(self.edit)
        self._line = QHBoxLayout()
        self._line.addWidget(self.edit)
        self._line.addWidget(self.choose_button)
        self._line.addWidget(self.unit)
        self._line.addStretch(1)
        self._right = QVBoxLayout()
        self._right.addLayout(self._line)
        self._right.addWidget(self.wrong)
        self._whole = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._whole.setContentsMargins(0, 0, 0, 0)
        self._whole.addWidget(self.label, 0, Qt.AlignmentFlag.AlignTop)
        self._whole.addLayout(self._right, 1)

    @Slot()
    def _fit(self) -> None:
        px = self._look.px
        self._right.setSpacing(px(0.15))
        self.set_roomy(self._whole.direction() == QBoxLayout.Direction.LeftToRight)
        self._line.setSpacing(px(0.6))
        if isinstance(self.edit, QPlainTextEdit):
            lines = MANY_LINES if self.setting.typed is WORD_LIST else LINES
            self.edit.setFixedHeight(QFontMetrics(self._look.font()).lineSpacing() * lines + px(1.3))
        wide = NUMBER if self.setting.typed.look == "number" else LINE
        if not isinstance(self.edit, Tick):
            self.edit.setMinimumWidth(min(px(wide), px(8)))
            self.edit.setMaximumWidth(px(WIDE if self.setting.typed is WORD_LIST else wide))
            self._line.setStretch(0, 100)
            self._line.setStretch(3, 1)


class _Choice(QComboBox):
    """A choice that the mouse wheel does not change in passing."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(6)

    def wheelEvent(self, event: QWheelEvent) -> None:
        super().wheelEvent(event) if self.hasFocus() else event.ignore()


class _Page(QPlainTextEdit):
    """Several lines; Tab leaves them."""

    left = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setTabChangesFocus(True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() not in _WINDOW:
            self.left.emit()
