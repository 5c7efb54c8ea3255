"""What stands before the desk: what to say, to be read at arm's length, and the field for what is said to it."""

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QPixmap, QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from intake.domain.answer import Speaker
from intake.domain.form_fields import Said
from intake.ui.help_panel import set_help
from intake.ui.plain import Words, restyle, set_edge
from intake.ui.room import Room
from intake.ui.waiting.asking import Asking, Read, nothing_read
from intake.ui.waiting.typing_field import TypingField

LEVELS = {"stops": "Stops the work", "asks": "To ask", "warns": "To go through again"}
HELP = (
    "What the practice says: a measure, a shade, a day, “post”, “usual”, “not needed”, “rings back”, or a note behind "
    "a stroke. ↑ and ↓ go through the usual answers, Enter takes it down and goes on to the next question, Page Up and "
    "Page Down turn to another, Esc goes back to the list. “Always” before an answer makes it standing."
)
GO_ON = "Enter goes back to the list."
LONG = 90
"""From so many signs on, a question is shown in the size of text where there is little room."""
ROOMY = 44


class ToSay(QWidget):
    """Shows one thing to say and takes what is answered.

    Args:
        room: What every place shares.
        speaker: Gives who speaks.
        parent: The owner.
    """

    typed = Signal(str)
    entered = Signal()
    paged = Signal(int)

    def __init__(self, room: Room, speaker: Callable[[], Speaker], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look, self._speaker = room.look, speaker
        self._asking = Asking("", "", "", nothing_read)
        self.about = Words(bold=True, wraps=True)
        self.words = Words(size="arm", wraps=True)
        self.because = Words(ink="quiet", wraps=True)
        self.notes = Words(size="small", wraps=True)
        self.refused = Words(ink="held", bold=True, wraps=True)
        self.picture = Words(parent=self)
        self.picture.setAccessibleName("Picture of the returned form")
        self.field = TypingField(room, "Ans&wer", self._read, self)
        set_help(self.field.edit, HELP)
        set_edge(self, "top")
        self._column = QVBoxLayout(self)
        for part in (self.about, self.words, self.because, self.notes, self.picture, self.field, self.refused):
            self._column.addWidget(part)
        self.setFocusProxy(self.field.edit)
        self.field.edited.connect(self.typed)
        self.field.entered.connect(self.entered)
        self.field.paged.connect(self.paged)
        self.field.taken.connect(self.take)
        room.look.changed.connect(self._fit)
        self._fit()

    @property
    def asking(self) -> Asking:
        """What stands there."""
        return self._asking

    @property
    def read(self) -> Read:
        """What was understood of what is typed."""
        return self._asking.read(self.field.text, self._speaker())

    def show_asking(self, asking: Asking, text: str, refused: str = "") -> None:
        """Shows something to say, with what was typed to it before and why it was not taken down, if it was not."""
        self._asking = asking
        level = f"{LEVELS[asking.level]}. " if asking.level else ""
        for label, told in (
            (self.about, asking.about),
            (self.words, asking.words),
            (self.because, f"{level}{asking.because}" if asking.because else ""),
            (self.notes, "\n".join(asking.notes)),
            (self.refused, refused),
        ):
            label.setText(told)
            label.setVisible(bool(told))
        self._show_picture()
        is_end = asking.read is nothing_read
        self.field.ask(f"Answer. {asking.about}. {asking.words}", text, asking.offers, GO_ON if is_end else "")
        self._fit()

    @Slot(int)
    def take(self, at: int) -> None:
        """Takes one of the usual answers; where it is only a beginning, the rest is typed."""
        offers = self.field.offers.offers
        if at < len(offers):
            self.field.put(offers[at].beginning)
            self.typed.emit(self.field.text)
            if offers[at].is_whole:
                self.entered.emit()

    @Slot()
    def say(self) -> None:
        """Says anew what was understood: somebody else speaks."""
        self.field.say()

    def _read(self, text: str) -> Said:
        return self._asking.read(text, self._speaker()).said

    def _show_picture(self) -> None:
        picture = QPixmap()
        if self._asking.picture:
            picture.loadFromData(self._asking.picture)
        self.picture.setVisible(not picture.isNull())
        if not picture.isNull():
            width = min(picture.width(), max(self._look.px(20), self.width() - self._look.px(2)))
            self.picture.setPixmap(picture.scaledToWidth(width, Qt.TransformationMode.SmoothTransformation))

    @Slot()
    def _fit(self) -> None:
        px = self._look.px
        roomy = self.width() >= px(ROOMY) and len(self._asking.words) < LONG
        if self.words.property("print") != (size := "arm" if roomy else "text"):
            self.words.setProperty("print", size)
            self.words.setProperty("bold", not roomy)
            restyle(self.words)
        self._column.setContentsMargins(0, px(0.6), 0, 0)
        self._column.setSpacing(px(0.3))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()
