"""The place itself: whom to ring at the left, the call card at the right."""

from functools import partial
from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QSize, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QSplitter, QVBoxLayout, QWidget

from intake.domain.lab import Lab
from intake.ui.latest import Latest
from intake.ui.room import Room
from intake.ui.waiting import asked
from intake.ui.waiting.acts import Acts
from intake.ui.waiting.call_view import CallView
from intake.ui.waiting.calling import Calling
from intake.ui.waiting.deeds import Deeds
from intake.ui.waiting.offers import KEYED
from intake.ui.waiting.ring_view import RingView

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.ring_list import RingLine

NARROW = 58
"""Below this width, in heights of text, list and card take turns."""
EVERY_MS = 30_000
"""So often the list is read again: time passes, and other desks work too."""
EMPTY = (
    "Nobody has to be rung. Once a case lacks something, its practice stands here with all that is to be asked of it, "
    "the most pressing first. {arrivals} goes to Arrivals, where cases are booked in."
)
NO_CARD = "The practice that is chosen on the left is shown here, with everything to ask it in the order to say it."
OPENING = "The data are still being opened."


class Waiting(QWidget):
    """Waiting.

    Args:
        room: What every place shares.
        lab: The lab setup.
    """

    issued = Signal(object)
    """The letters that were handed to the printer: a tuple of `Issued`."""
    freed = Signal(str, object)
    """What was taken down, and the tickets that were printed for it: a tuple of `Issued`."""
    left = Signal()
    """The desk goes back to where it was."""

    def __init__(self, room: Room, lab: Lab) -> None:
        super().__init__()
        self._room = room
        self._desk: Desk | None = None
        self._lists, self._cards = Latest(room.jobs), Latest(room.jobs)
        self._reading = False
        self._over = ""
        self.ring = RingView(room.look, OPENING, self)
        self.card = CallView(room, NO_CARD, self)
        self._deeds = Deeds(room, self)
        self.calling = Calling(room, lab, self.card, self._deeds)
        self._acts = Acts(room, self.card, self.calling, self._deeds, self.ring.model.line_of)
        self._timer = QTimer(self)
        self._timer.setInterval(EVERY_MS)
        self.setFocusProxy(self.ring.field)
        self._lay_out()
        self._connect()

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self._desk = self._deeds.desk = desk
        self.calling.set_lab(desk.lab)
        self.ring.list.say_when_empty(EMPTY.format(arrivals=self._room.keys.shown("go-arrivals")))
        self.read_again()

    @Slot()
    def read_again(self) -> None:
        """Reads whom to ring again, and the card that is shown: time has passed, or something has changed."""
        if self._desk is not None:
            self._lists.ask(partial(asked.ring_list, self._desk), self._on_list, self._deeds.trouble)
        if self.calling.key:
            self._deeds.read_again(self.calling.key)

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._timer.stop()
        self._lists.forget()
        self._cards.forget()

    def show_letter(self, letter_id: int) -> None:
        """Shows the practice that a letter went to, whose reply form was scanned."""
        if self._desk is None:
            self._room.news.tell("The data are still being opened; scan again in a moment.")
            return
        self._lists.ask(partial(asked.of_letter, self._desk, letter_id), self._on_letter, self._deeds.trouble)

    def _on_letter(self, found: asked.OfLetter) -> None:
        self.ring.show_lines(found.lines)
        self.to_list()
        if not self.ring.show_practice(found.key):
            self._room.news.tell(f"Letter {found.letter_id}: nothing is open for {found.practice} any more.")
            return
        self.to_card()

    @Slot()
    def to_list(self) -> None:
        """Takes the keys back to the list."""
        self._read(False)
        self._take_keys(self.ring.field)
        self._show_chosen()

    @Slot()
    def to_card(self) -> None:
        """Takes the keys to the card of the practice that is chosen: first to who speaks."""
        line = self.ring.current
        if line is None:
            self._room.news.tell("There is nobody to ring in the list.")
            return
        self.calling.expect(line)
        self._read(True)
        self.card.speaker.take_keys()
        self.card.see(self.card.speaker)

    def _on_list(self, lines: "tuple[RingLine, ...]") -> None:
        self.ring.show_lines(lines)
        if not lines and not self.calling.key:
            self.card.show_empty(NO_CARD)

    @Slot(str)
    def _on_chosen(self, key: str) -> None:
        if self._in_card:
            return  # the list moves behind a call: its card stays
        if not key:
            self.card.show_empty(NO_CARD)
        elif self._desk is not None:
            work = partial(asked.call_card, self._desk, key)
            self._cards.ask(work, partial(self._on_card, key), self._deeds.trouble)

    def _show_chosen(self) -> None:
        line = self.ring.current
        if line is None or line.key != self.calling.key:
            self._on_chosen(line.key if line else "")

    def _on_card(self, key: str, shown: asked.Shown | None) -> None:
        if self._in_card and key != self.calling.key:
            return
        if shown is not None:
            self.calling.show(shown)
        else:
            self.ring.put(key, None)

    @Slot(str, object)
    def _on_read(self, key: str, shown: asked.Shown | None) -> None:
        """A card was read again: its line in the list too, and the card itself where it is the one in view."""
        self.ring.put(key, shown.card.line if shown else None)
        if key == self._over and self.ring.current is not None and self.ring.current.key == key:
            self.ring.to_first()
        if key != self.calling.key:
            return
        if shown is not None:
            self.calling.show(shown)
        elif self._in_card:
            self.calling.nothing_left()
        else:
            self._show_chosen()

    @property
    def _in_card(self) -> bool:
        at = QApplication.focusWidget()
        return at is not None and self.card.isAncestorOf(at)

    @Slot("QWidget*", "QWidget*")
    def _on_focus(self, before: QWidget | None, now: QWidget | None) -> None:
        """Whoever comes back to the place finds the keys where they were."""
        for edit in (self.ring.field, self.card.speaker.name.edit, self.card.to_say.field.edit):
            if now is edit:
                self.setFocusProxy(edit)
                self.card.speaker.open_up(edit is self.card.speaker.name.edit)

    def _take_keys(self, part: QWidget) -> None:
        self.setFocusProxy(part)
        part.setFocus(Qt.FocusReason.ShortcutFocusReason)

    @Slot()
    def _on_over(self) -> None:
        """A call is over: on to whom to ring first, once the list knows what came of this one."""
        self._over = self.calling.key
        self.calling.close()
        self.ring.clear_search()
        self.ring.to_first()
        self.to_list()

    def _on_offer(self, at: int) -> None:
        if self.card.speaker.name.edit.hasFocus():
            self.card.speaker.take(at)
        elif self.card.to_say.field.edit.hasFocus():
            self.card.to_say.take(at)

    def _connect(self) -> None:
        for at in range(KEYED):
            self._room.keys.action(f"offer-{at + 1}").triggered.connect(partial(self._on_offer, at))
        self.ring.chosen.connect(self._on_chosen)
        self.ring.entered.connect(self.to_card)
        self.ring.picked.connect(self.to_list)
        self.calling.over.connect(self._on_over)
        self._acts.over.connect(self._on_over)
        self._acts.to_card.connect(partial(self._read, True))
        self._deeds.read.connect(self._on_read)
        self._deeds.issued.connect(self.issued)
        self._deeds.freed.connect(self.freed)
        self._timer.timeout.connect(self._on_time)
        self._timer.start()
        self._room.look.changed.connect(self._fit)
        cast("QApplication", QApplication.instance()).focusChanged.connect(self._on_focus)

    @Slot()
    def _on_time(self) -> None:
        if self.isVisible() and self._desk is not None:
            self._lists.ask(partial(asked.ring_list, self._desk), self._on_list, self._deeds.trouble)

    def _lay_out(self) -> None:
        self._split = QSplitter(self)
        self._split.setChildrenCollapsible(False)
        self._split.addWidget(self.ring)
        self._split.addWidget(self.card)
        self._split.setStretchFactor(1, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._split)
        self._split.setSizes([self._room.look.px(23), self._room.look.px(62)])
        self._room.memory.keep(self._split, "waiting")
        self._fit()

    @property
    def _narrow(self) -> bool:
        """Whether list and card take turns."""
        return self.width() < self._room.look.px(NARROW)

    @Slot()
    def _fit(self) -> None:
        """Where there is room, list and card side by side; else the list folds away while a card is worked at."""
        narrow = self._narrow
        self.ring.setVisible(not narrow or not self._reading)
        self.card.setVisible(not narrow or self._reading)

    def _read(self, reading: bool) -> None:
        self._reading = reading
        self._fit()

    def minimumSizeHint(self) -> QSize:
        # By the narrow layout, whichever is in use: a wide one would keep the window from becoming narrow.
        return QSize(self._room.look.px(22), self._room.look.px(14))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() != Qt.Key.Key_Escape or event.modifiers():
            super().keyPressEvent(event)
        elif self._in_card or self._reading:
            if not self.calling.leave_ring_back():
                self.to_list()
        elif not self.ring.clear_search():
            self.left.emit()
