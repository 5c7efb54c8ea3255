"""The list of the pages of Lab setup; where the window is narrow it shows only while it has the keys."""

from collections.abc import Iterable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QListWidget, QWidget

from intake.ui.help_panel import set_help
from intake.ui.look import Look

HELP = "The pages of Lab setup. ↑ and ↓ go through them, Enter goes into the page that is shown."


class PageList(QListWidget):
    """Lists the pages.

    Args:
        names: What they are called.
        look: For lengths.
        parent: The owner.
    """

    entered = Signal()
    """The keys go into the page."""

    def __init__(self, names: Iterable[str], look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._folds = look, False
        self.addItems(list(names))
        self.setAccessibleName("Pages of the setup")
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setProperty("ring", "row")
        set_help(self, HELP)

    def fit(self, folds: bool) -> None:
        """Takes the width that its names need; `folds` hides it unless it has the keys."""
        self._folds = folds
        self.setSpacing(self._look.px(0.15))
        self.setFixedWidth(self.sizeHintForColumn(0) + self._look.px(2))
        self.setVisible(not folds or self.hasFocus())

    def take_keys(self) -> None:
        """Shows itself, with the keys."""
        self.show()
        self.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if self._folds and event.reason() != Qt.FocusReason.ActiveWindowFocusReason:
            self.hide()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.entered.emit()
        else:
            super().keyPressEvent(event)
