"""Help for the field that has the focus, always in the same place: a strip above the news."""

from typing import cast

from PySide6.QtCore import Slot
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QApplication, QHBoxLayout, QVBoxLayout, QWidget

from intake.ui.look import Look
from intake.ui.plain import Words, set_edge

NO_HELP = "There is no help for this place. Go to a field with Tab: its help then stands here."


class HelpPanel(QWidget):
    """Shows the help of the field in focus, and follows the focus while it is open.

    Args:
        look: For lengths.
        key: How to close it, such as “F1”.
        parent: The owner.
    """

    def __init__(self, look: Look, key: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        set_edge(self, "top")
        self._look = look
        self.title = Words("", bold=True)
        self.text = Words("", wraps=True)
        self.way_out = Words("", size="small", ink="quiet")
        self.name_key(key)
        self._column = QVBoxLayout(self)
        head = QHBoxLayout()
        head.addWidget(self.title, 1)
        head.addWidget(self.way_out)
        self._column.addLayout(head)
        self._column.addWidget(self.text)
        look.changed.connect(self._fit)
        cast("QApplication", QApplication.instance()).focusChanged.connect(self._on_focus)
        self._fit()
        self.hide()

    def name_key(self, key: str) -> None:
        """Says which key closes the help."""
        self.way_out.setText(f"{key} closes this" if key else "")

    @Slot()
    def toggle(self) -> None:
        """Opens the help, or closes it."""
        self.setVisible(self.isHidden())

    def showEvent(self, event: QShowEvent) -> None:
        self._on_focus(None, QApplication.focusWidget())

    @Slot("QWidget*", "QWidget*")
    def _on_focus(self, before: QWidget | None, now: QWidget | None) -> None:
        if now is None or self.isHidden():
            return
        title, text = help_of(now)
        self.title.setText(title)
        self.text.setText(text)

    @Slot()
    def _fit(self) -> None:
        wide, narrow = self._look.px(1), self._look.px(0.6)
        self._column.setContentsMargins(wide, narrow, wide, narrow)
        self._column.setSpacing(self._look.px(0.2))


def set_help(widget: QWidget, text: str) -> None:
    """Gives a field its help, which F1 shows."""
    widget.setProperty("help", text)


def help_of(widget: QWidget) -> tuple[str, str]:
    """The name of the field and its help, or those of what it lies in."""
    at: QWidget | None = widget
    while at is not None:
        text = at.property("help")
        if text:
            return at.accessibleName(), str(text)
        at = at.parentWidget()
    return "Help", NO_HELP
