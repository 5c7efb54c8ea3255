"""Text from outside is shown as it is written: no label, tip or button takes it for markup."""

import html
from typing import Literal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QWidget

Ink = Literal["ink", "quiet", "held", "asks", "caution", "ok"]


class Words(QLabel):
    """A label that shows plain text only.

    Args:
        text: The words.
        size: `small`, `text` or `arm`.
        ink: The colour's name in the palette.
        bold: Whether it stands out.
        wraps: Whether it breaks into lines.
        parent: The owner.
    """

    def __init__(
        self,
        text: str = "",
        size: Literal["small", "text", "arm"] = "text",
        ink: Ink = "ink",
        bold: bool = False,
        wraps: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(wraps)
        self.setProperty("print", size)
        self.setProperty("ink", ink)
        self.setProperty("bold", bold)
        self.setText(text)

    def set_ink(self, ink: Ink) -> None:
        """Takes another colour of the palette."""
        if self.property("ink") != ink:
            self.setProperty("ink", ink)
            restyle(self)


def set_edge(widget: QWidget, edge: Literal["top", "right", "bottom", "left"]) -> None:
    """Draws a faint line along one edge of a widget."""
    widget.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
    widget.setProperty("edge", edge)


def restyle(widget: QWidget) -> None:
    """Makes the style sheet look at a widget's properties again."""
    widget.style().unpolish(widget)
    widget.style().polish(widget)


def set_tip(widget: QWidget, text: str) -> None:
    """Gives a widget a tip that is shown as written."""
    widget.setToolTip(plain_tip(text))


def plain_tip(text: str) -> str:
    """The text so that Qt's tips, which guess whether they are given markup, show it as written."""
    return f'<p style="white-space: pre-wrap">{html.escape(text)}</p>' if text else ""


def button_words(text: str) -> str:
    """The text for a button or a menu, whose `&` would be taken for an access key."""
    return text.replace("&", "&&")
