"""A field with what was understood under it, and the usual answers under that."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import Signal, Slot
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from intake.domain.form_fields import Said
from intake.ui.lookup.search_field import SearchField
from intake.ui.plain import Words, restyle
from intake.ui.room import Room
from intake.ui.waiting.asking import Offer
from intake.ui.waiting.offers import Offers

MOST_SIGNS = 1000


class TypingField(QWidget):
    """One line to type into. Every key stroke is echoed by what was understood.

    Args:
        room: What every place shares.
        label: Its label, with the letter that goes to it.
        read: Says what was understood of a text.
        parent: The owner.
        compact: Whether the usual answers are shown small.
    """

    edited = Signal(str)
    entered = Signal()
    paged = Signal(int)
    taken = Signal(int)
    """A usual answer was asked for by its key or a click."""

    def __init__(
        self,
        room: Room,
        label: str,
        read: Callable[[str], Said],
        parent: QWidget | None = None,
        compact: bool = False,
    ) -> None:
        super().__init__(parent)
        self._look, self._read = room.look, read
        self._typed = ""
        self._aside = ""
        self._refused = False
        self.label = Words(label, size="small", ink="quiet")
        self.edit = SearchField(self)
        self.edit.setMaxLength(MOST_SIGNS)
        self.echo = Words("", wraps=True)
        self.offers = Offers(room.look, room.keys, self, compact)
        self.label.setBuddy(self.edit)
        self.row = QHBoxLayout()
        """The field's own row, for what stands beside it."""
        self.row.addWidget(self.edit, 1)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self.label)
        self._column.addLayout(self.row)
        for part in (self.echo, self.offers):
            self._column.addWidget(part)
        self.edit.textEdited.connect(self._on_edited)
        self.edit.entered.connect(self.entered)
        self.edit.paged.connect(self.paged)
        self.edit.moved.connect(self._on_moved)
        self.offers.taken.connect(self.taken)
        self.setFocusProxy(self.edit)
        self._look.changed.connect(self._fit)
        self._fit()

    @property
    def text(self) -> str:
        """What is typed."""
        return self.edit.text()

    def ask(self, name: str, text: str, offers: Sequence[Offer], aside: str = "") -> None:
        """Asks for something.

        Args:
            name: What is asked, for those who hear the window.
            text: What is typed already.
            offers: The usual answers.
            aside: What stands under the field while nothing is typed.
        """
        self._aside = aside
        self.edit.setAccessibleName(name)
        if tuple(offers) != self.offers.offers or self._typed != text:
            self.offers.offer(offers)
        self.put(text)

    def put(self, text: str) -> None:
        """Puts a text in, with the cursor behind it."""
        self._typed = text
        if self.edit.text() != text:
            self._refused = False
            self.edit.setText(text)
        self.say()

    def say(self) -> None:
        """Says what was understood, or what would be right; that it is wrong only once it was to be taken."""
        said = self._read(self.text) if self.text.strip() else Said(self._aside)
        wrong = said.wrong and self._refused
        self.echo.setText(said.text)
        self.echo.set_ink("held" if wrong else "ink" if self.text.strip() and not said.wrong else "quiet")
        self.edit.setAccessibleDescription(said.text)
        if bool(self.edit.property("wrong")) != wrong:
            self.edit.setProperty("wrong", wrong)
            restyle(self.edit)

    def refuse(self) -> None:
        """Says that it cannot be taken as it stands."""
        self._refused = True
        self.say()

    @Slot(str)
    def _on_edited(self, text: str) -> None:
        self._typed, self._refused = text, False
        self.offers.mark(None)
        self.say()
        self.edited.emit(text)

    @Slot(int)
    def _on_moved(self, step: int) -> None:
        """Down goes into the usual answers; Up out of them again, back to what was typed."""
        count = len(self.offers.offers)
        at = -1 if self.offers.at is None else self.offers.at
        at = max(-1, min(count - 1, at + step))
        if not count:
            return
        self.offers.mark(at if at >= 0 else None)
        self.edit.setText(self.offers.offers[at].beginning if at >= 0 else self._typed)
        self.say()
        self.edited.emit(self.text)

    @Slot()
    def _fit(self) -> None:
        self._column.setSpacing(self._look.px(0.25))
        self.row.setSpacing(self._look.px(0.5))
        # Its line is kept free, so that nothing moves when something is said.
        self.echo.setMinimumHeight(QFontMetrics(self._look.font()).height())
