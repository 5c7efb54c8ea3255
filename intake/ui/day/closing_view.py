"""Closing the day: what is left over, one by one in a calm page, each with a reason; at the end who closed it."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QScrollArea, QVBoxLayout, QWidget

from intake.ui.day.closing_keys import Card, Own
from intake.ui.day.walk import LONGEST, Walk
from intake.ui.help_panel import set_help
from intake.ui.plain import Words, button_words, restyle
from intake.ui.room import Room
from intake.ui.waiting.flow import Flow

if TYPE_CHECKING:
    from intake.desk.evening import LeftOver
    from intake.ui.day.asked import Begun

USUAL = 3
TALL = 20
"""From this height on, in heights of text, what is left over is told at arm’s length."""
SHORT = 32
"""Letters of a reason on a button."""
HELP = (
    "1, 2 and 3 take a usual reason and go on. Type another one and press Enter. ← goes back, → skips. "
    "Esc leaves and keeps what was said."
)
OWN_HELP = "Why this is left; no patient’s name where a number is enough. Enter takes it, Esc goes back to the digits."
ACTIONS = {
    "day-go": "Go there",
    "close-day": "Close the day",
    "day-print": "Print the day sheet",
}


class ClosingView(QScrollArea):
    """Walks through what is left over.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    go = Signal(object)
    """Where something can be done about what is shown: a `Go`."""
    said = Signal()
    """A reason was given: they are to be kept."""
    left = Signal()

    def __init__(self, room: Room, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._room = room
        self._settled = ""
        self._closed = ""
        self.walk = Walk()
        self._lay_out()
        self._connect()

    @property
    def is_closed(self) -> bool:
        """Whether the day was closed in this walk."""
        return bool(self._closed)

    def begin(self, title: str, begun: "Begun") -> None:
        """Begins, or goes on with what was said before."""
        self.title.setText(f"Close {title}")
        self._closed = ""
        self._settled = "; ".join(f"{each.count:,} {each.words}" for each in begun.evening.settled)
        self._keep_half()
        self.walk.begin(begun.evening.left, begun.reasons)
        self._show()

    def show_closed(self, says: str) -> None:
        """Says who closed the day."""
        self._closed = says
        self.walk.at = len(self.walk.things)
        self._show()

    @Slot(int)
    def step(self, steps: int) -> None:
        """Shows the next thing, or the one before, whether this one has a reason or not."""
        if not self._closed:
            self._keep_half()
            self.walk.step(steps)
            self._show()

    def take(self, reason: str) -> None:
        """Takes a reason for what is shown, and goes on to the next thing without one."""
        self.own.clear()
        if self.walk.take(reason):
            self.said.emit()
            self._show()

    @Slot(int)
    def take_usual(self, at: int) -> None:
        """Takes one of the usual reasons."""
        if self.walk.thing is not None:
            self.take(self.walk.thing.usual[at])

    @Slot()
    def same_for_all(self) -> None:
        """Gives everything of the same kind without a reason the one that was given last to such a thing."""
        reason, count = self.walk.last_of_kind(), self.walk.take_for_all()
        if not count:
            self._room.news.tell("Give one of them a reason first; then all others of its kind can have the same.")
            return
        more = "1 more has" if count == 1 else f"{count:,} more have"
        self._room.news.tell(f"{more} the reason “{reason}” now.")
        self.said.emit()
        self._show()

    @Slot()
    def go_there(self) -> None:
        """Goes where something can be done about what is shown."""
        self._keep_half()
        if self.walk.thing is not None and self.walk.thing.go is not None:
            self.go.emit(self.walk.thing.go)

    def _show(self) -> None:
        thing = self.walk.thing
        for part in (self.detail, self.own, *self.choices, *self._steps):
            part.setVisible(thing is not None)
        self.buttons["day-go"].setVisible(thing is not None and thing.go is not None)
        self.buttons["day-print"].setVisible(bool(self._closed))
        self.buttons["close-day"].setVisible(thing is None and not self._closed and not self.walk.silent)
        if thing is None:
            self._show_end()
        else:
            self._show_thing(thing)
        self.progress.setVisible(thing is not None)
        self.about.setVisible(not self._closed)
        self._show_same()
        self.card.setAccessibleDescription(" ".join((self.what.text(), self.about.text(), self.detail.text())))
        self.card.setFocus(Qt.FocusReason.OtherFocusReason)
        self.verticalScrollBar().setValue(0)

    def _show_thing(self, thing: "LeftOver") -> None:
        silent = len(self.walk.silent)
        self.progress.setText(f"{self.walk.at + 1:,} of {len(self.walk.things):,} · {silent:,} without a reason")
        self.what.setText(thing.what)
        self.about.setText(thing.about)
        self.detail.setText(thing.detail)
        reason = self.walk.reason
        self.reason.setText(f"Reason: {reason}" if reason else "It has no reason yet.")
        self.reason.set_ink("ok" if reason else "caution")
        for digit, (button, words) in enumerate(zip(self.choices, thing.usual, strict=True), start=1):
            button.setText(button_words(f"{digit}   {words}"))
        self.own.setText(self.walk.half.get(thing.key, ""))

    def _show_end(self) -> None:
        silent = len(self.walk.silent)
        given = len(self.walk.things) - silent
        needs = "1 thing still needs a reason." if silent == 1 else f"{silent:,} things still need a reason."
        self.what.setText(self._closed or (needs if silent else "Nothing is open without a reason."))
        about = (
            "1 thing is left over with its reason." if given == 1 else f"{given:,} things are left over with reasons."
        )
        self.about.setText(about if given else "Nothing is left over.")
        self.detail.setText(f"With a reason by themselves: {self._settled}." if self._settled else "")
        self.detail.setVisible(bool(self._settled))
        key = self._room.keys.shown("close-day")
        ends = "← goes back to them." if silent else f"{key} closes the day, ← goes back to what was said."
        self.reason.setText("Esc goes back to the day." if self._closed else ends)
        self.reason.set_ink("quiet")

    def _show_same(self) -> None:
        """The offer to give all others of the kind the same reason."""
        alike, reason = len(self.walk.alike), self.walk.last_of_kind()
        short = reason if len(reason) <= SHORT else f"{reason[: SHORT - 2].rstrip()} …"
        key = self._room.keys.shown("day-same-reason")
        which = "This one too" if alike == 1 else f"All {alike:,} of these"
        self.same.setText(button_words(f"{which}: “{short}”  {key}".rstrip()))
        self.same.setVisible(bool(alike) and bool(reason))

    def _keep_half(self) -> None:
        """What is half typed comes back with its thing."""
        thing, text = self.walk.thing, self.own.text().strip()
        if thing is not None and text:
            self.walk.half[thing.key] = text

    @Slot()
    def _on_own(self) -> None:
        if self.own.text().strip():
            self.take(self.own.text())
        else:
            self.card.setFocus()

    @Slot(str)
    def _begin_own(self, text: str) -> None:
        """Goes to the field for another reason; what was typed on the way there is its first letter."""
        if self.walk.thing is not None:
            self.own.setFocus(Qt.FocusReason.ShortcutFocusReason)
            self.own.insert(text)
            self.ensureWidgetVisible(self.own)

    def _lay_out(self) -> None:
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.title, self.progress = Words("", bold=True), Words("", ink="quiet")
        self.what = Words("", size="arm", bold=True, wraps=True)
        self.about, self.detail = Words("", bold=True, wraps=True), Words("", wraps=True)
        self.reason = Words("", wraps=True)
        self.card = Card(self._room.look, self)
        self.card.setAccessibleName("Left over")
        set_help(self.card, HELP)
        self.own = Own(self)
        self.own.setAccessibleName("Another reason")
        self.own.setMaxLength(LONGEST)
        self.own.setPlaceholderText("another reason: type it, Enter takes it")
        set_help(self.own, OWN_HELP)
        self.choices = [QPushButton(self) for _ in range(USUAL)]
        for button in self.choices:
            button.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the digits choose: one stop for Tab is enough
        self._steps = [QPushButton("Back  ←", self), QPushButton("Skip  →", self)]
        self.buttons = {name: QPushButton(self) for name in ACTIONS}
        self.same = QPushButton(self)
        self._row = Flow()
        for button in (*self._steps, *self.buttons.values(), self.same):
            self._row.addWidget(button)
        self._offers = Flow()
        for button in self.choices:
            self._offers.addWidget(button)
        self._inner = QVBoxLayout(self.card)
        for part in (self.what, self.about, self.detail, self.reason):
            self._inner.addWidget(part)
        self._inner.addLayout(self._offers)
        self._inner.addWidget(self.own)
        whole = QWidget(self)
        self._column = QVBoxLayout(whole)
        self._titled = QHBoxLayout()
        self._titled.addWidget(self.title)
        self._titled.addWidget(self.progress, 1)
        self._column.addLayout(self._titled)
        self._column.addWidget(self.card)
        self._column.addLayout(self._row)
        self._column.addStretch(1)
        self.setWidget(whole)
        self.setFocusProxy(self.card)
        self._fit()

    def _connect(self) -> None:
        keys = self._room.keys
        self.card.chosen.connect(self.take_usual)
        self.card.typed.connect(self._begin_own)
        self.card.stepped.connect(self.step)
        self.card.left.connect(self.left)
        self.own.back.connect(self.card.setFocus)
        self.own.returnPressed.connect(self._on_own)
        for at, button in enumerate(self.choices):
            button.clicked.connect(partial(self.take_usual, at))
        for steps, button in zip((-1, 1), self._steps, strict=True):
            button.clicked.connect(partial(self.step, steps))
        for name, button in self.buttons.items():
            button.clicked.connect(keys.action(name).trigger)
        self.same.clicked.connect(keys.action("day-same-reason").trigger)
        self._room.look.changed.connect(self._fit)
        keys.changed.connect(self._label)
        self._label()

    @Slot()
    def _label(self) -> None:
        for name, button in self.buttons.items():
            button.setText(button_words(f"{ACTIONS[name]}  {self._room.keys.shown(name)}".rstrip()))

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        size = "arm" if self.height() >= px(TALL) else "text"
        if self.what.property("print") != size:
            self.what.setProperty("print", size)
            restyle(self.what)
        self._titled.setSpacing(px(1))
        self._column.setContentsMargins(px(1.4), px(0.8), px(1.4), px(0.6))
        self._column.setSpacing(px(0.5))
        self._inner.setContentsMargins(px(1.2), px(1), px(1.2), px(1))
        self._inner.setSpacing(px(0.5))
        for row in (self._row, self._offers):
            row.setSpacing(px(0.6))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()
