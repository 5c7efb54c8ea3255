"""The one voice of the window: a quiet bar that says what was done, what went wrong and what can be taken back."""

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import Slot
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent, QAction, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.plain import Words, button_words, set_edge

ROOMY = 64
"""From this width on, in heights of text, news and what stands aside share a line."""


@dataclass(frozen=True)
class Trouble:
    """Something that went wrong and stands until it is settled."""

    text: str
    action: QAction | None


class News(QWidget):
    """A bar with the latest news, and over it what is wrong for as long as it is.

    Args:
        look: For lengths.
        keys: Its `undo` action takes back what was offered.
        parent: The owner.
    """

    def __init__(self, look: Look, keys: Keys, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look, self._keys = look, keys
        self._troubles: dict[str, Trouble] = {}
        self._undo: Callable[[], None] | None = None
        self._undoes = ""
        self.words = Words("", wraps=True)
        self.undo_button = QPushButton(self)
        self.trouble_words = Words("", ink="held", bold=True, wraps=True)
        self.trouble_button = QPushButton(self)
        self._trouble_row = QWidget(self)
        self.beside, self.aside = QHBoxLayout(), QHBoxLayout()
        """Behind what is said: on its line, and at the bar's end."""
        self._lay_out()
        keys.action("undo").triggered.connect(self.undo)
        self.undo_button.clicked.connect(self.undo)
        self.trouble_button.clicked.connect(self._on_trouble_button)
        keys.changed.connect(self._show)
        look.changed.connect(self._fit)
        self._fit()
        self._show()

    def tell(self, text: str) -> None:
        """Says what was done. It takes the place of what was said before; an undo that is on offer stays."""
        self.words.setText(text)
        self._announce(text, QAccessible.AnnouncementPoliteness.Polite)

    def no_longer(self, text: str) -> None:
        """Takes back what was said, where nothing else was said since: it is true no more."""
        if text and self.words.text() == text:
            self.words.setText("")

    def trouble(self, text: str, key: str, action: QAction | None = None) -> None:
        """Says what is wrong, until it is settled.

        Args:
            text: What is wrong and what would be right, in the user's words.
            key: What it is about; a newer trouble with the same key takes its place.
            action: What would put it right; shown as a button with its key.
        """
        said_already = self._troubles.pop(key, None) == Trouble(text, action)
        self._troubles[key] = Trouble(text, action)
        self._show()
        if not said_already:
            self._announce(text, QAccessible.AnnouncementPoliteness.Assertive)

    def settle(self, key: str) -> None:
        """Takes a trouble away."""
        if self._troubles.pop(key, None) is not None:
            self._show()

    def offer_undo(self, text: str, undo: Callable[[], None], what: str = "") -> None:
        """Says what was done and offers to take it back, until something else is done or the offer is withdrawn.

        Args:
            text: What was done.
            undo: Takes it back.
            what: What would be undone, in a few words; the offer outlives the text.
        """
        self._undo, self._undoes = undo, what
        self._show()
        self.tell(text)

    def withdraw_undo(self) -> None:
        """Ends the offer: from here on there is nothing to take back."""
        self._undo = None
        self._show()

    @Slot()
    def undo(self) -> None:
        """Takes back what was offered, once."""
        undo, self._undo = self._undo, None
        self._show()
        if undo is not None:
            undo()

    @Slot()
    def _on_trouble_button(self) -> None:
        newest = next(reversed(self._troubles.values()), None)
        if newest is not None and newest.action is not None:
            newest.action.trigger()

    @Slot()
    def _show(self) -> None:
        self._keys.action("undo").setEnabled(self._undo is not None)
        self.undo_button.setVisible(self._undo is not None)
        undo = f"Undo: {self._undoes}" if self._undoes else "Undo"
        self.undo_button.setText(_with_key(undo, self._keys.shown("undo")))
        self._trouble_row.setVisible(bool(self._troubles))
        newest = next(reversed(self._troubles.values()), None)
        if newest is None:
            return
        more = len(self._troubles) - 1
        self.trouble_words.setText(newest.text + (f" ({more} more)" if more else ""))
        self.trouble_button.setVisible(newest.action is not None)
        if newest.action is not None:
            self.trouble_button.setText(
                _with_key(
                    newest.action.text().replace("&", ""),
                    newest.action.shortcut().toString(QKeySequence.SequenceFormat.NativeText),
                )
            )

    def _lay_out(self) -> None:
        self._trouble_line = QHBoxLayout(self._trouble_row)
        self._trouble_line.addWidget(self.trouble_words, 1)
        self._trouble_line.addWidget(self.trouble_button)
        said = QHBoxLayout()
        said.addWidget(self.words, 1)
        said.addLayout(self.beside)
        said.addWidget(self.undo_button)
        self._line = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._line.addLayout(said, 1)
        self._line.addLayout(self.aside)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._trouble_row)
        column.addLayout(self._line)
        set_edge(self, "top")

    @Slot()
    def _fit(self) -> None:
        wide, narrow = self._look.px(1), self._look.px(0.35)
        for line in (self._trouble_line, self._line):
            line.setContentsMargins(wide, narrow, wide, narrow)
            line.setSpacing(wide)
        roomy = self.width() >= self._look.px(ROOMY)
        sideways, downwards = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        self._line.setDirection(sideways if roomy else downwards)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _announce(self, text: str, politeness: QAccessible.AnnouncementPoliteness) -> None:
        event = QAccessibleAnnouncementEvent(self, text)
        event.setPoliteness(politeness)
        QAccessible.updateAccessibility(event)


def _with_key(words: str, key: str) -> str:
    return button_words(f"{words}  {key}" if key else words)
