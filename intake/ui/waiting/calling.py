"""Goes through a call: what to say next, what was typed, and what is taken down."""

from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot

from intake.domain.lab import Lab
from intake.ui.room import Room
from intake.ui.waiting.asked import Done, Shown
from intake.ui.waiting.asking import Asking, RingBack, nothing_read
from intake.ui.waiting.askings import AT_END, RING_BACK, askings, at_end, ring_back, settled
from intake.ui.waiting.call_view import CallView
from intake.ui.waiting.calls import Call
from intake.ui.waiting.deeds import Deeds
from intake.ui.waiting.script import Line, script

if TYPE_CHECKING:
    from intake.desk.ring_list import RingLine

EARLY = ""
"""What is typed before the card is there goes to the first question."""
AFTER = ("question-", "reply-")
"""What a call goes through by itself; a standing instruction too, once its day of review has come."""


class Calling(QObject):
    """The call card at work.

    Args:
        room: What every place shares.
        lab: The lab setup.
        view: The card.
        deeds: What the desk is asked to do.
    """

    over = Signal()
    """The call has come to its end."""

    def __init__(self, room: Room, lab: Lab, view: CallView, deeds: Deeds) -> None:
        super().__init__(view)
        self._room, self._lab, self._view, self._deeds = room, lab, view, deeds
        self._calls: dict[str, Call] = {}
        self._key = ""
        self._shown: Shown | None = None
        self._asked: tuple[Asking, ...] = ()
        self._before = ""
        view.speaker.said.connect(self.begin)
        view.speaker.changed.connect(self._on_speaker)
        view.to_say.typed.connect(self._on_typed)
        view.to_say.entered.connect(self.enter)
        view.to_say.paged.connect(self.turn)
        view.script.chosen.connect(self._on_chosen)

    @property
    def key(self) -> str:
        """The practice whose card is shown; empty when there is none."""
        return self._key

    @property
    def call(self) -> Call:
        """The call that is shown."""
        return self.call_of(self._key)

    def call_of(self, key: str) -> Call:
        """What is in hand for a practice."""
        return self._calls.setdefault(key, Call())

    def set_lab(self, lab: Lab) -> None:
        """Takes another setup: the next card's answers are read by it."""
        self._lab = lab

    def expect(self, line: "RingLine") -> None:
        """Shows a practice whose card is still to come: what is typed already belongs to its call."""
        if line.key == self._key:
            return
        self._key, self._shown, self._asked = line.key, None, ()
        self._view.head.show_line(line, "")
        self._view.speaker.show_call(self.call, ())
        self._view.to_say.show_asking(Asking(EARLY, line.practice, "One moment …", nothing_read), "")
        self._view.script.show_lines((), "")
        self._view.show_card()

    def show(self, shown: Shown) -> None:
        """Shows the card of a practice; what was typed for it stands there again."""
        desk, line = self._deeds.desk, shown.card.line
        assert desk is not None, "there is no card before there is a desk"
        before = self._asked if line.key == self._key else ()
        anew = line.key != self._key or self._shown is None
        self._key, self._shown = line.key, shown
        self._asked = _with_half_typed(askings(shown, self._lab, desk.now()), before, self.call)
        self._view.head.show_line(line, shown.card.caution)
        if anew:
            self._view.speaker.show_call(self.call, _prescribers(shown))
        self._place_before_desk([asking.id for asking in before])
        self._view.show_card()
        self._say()

    def nothing_left(self) -> None:
        """Nothing is open any more for the practice that is shown."""
        name = self._shown.card.line.practice if self._shown else ""
        self._shown, self._asked = None, ()
        self._view.to_say.show_asking(at_end(name, ("Nothing is open for this practice any more.",), 0), "")
        self._view.script.show_lines(tuple(Line("line", said) for said in self.call.taken.values()), "")

    def close(self) -> None:
        """The receiver is put down: the next call is another, and somebody else may speak."""
        self.call.close()
        self._view.speaker.show_call(self.call, _prescribers(self._shown) if self._shown else ())
        if self._shown is not None:
            self._place_before_desk([])
            self._say()

    @Slot()
    def begin(self) -> None:
        """From who speaks on to what to say."""
        self._view.to_say.setFocus()
        self._view.see(self._view.to_say)

    @Slot()
    def enter(self) -> None:
        """Takes down what is typed, and goes on; where nothing is typed it goes on alone."""
        asking, text = self._view.to_say.asking, self._view.to_say.field.text.strip()
        if asking.id == AT_END:
            self.over.emit()
        elif not text:
            self.turn(1)
        elif asking.needs_speaker and not self.call.speaker.name:
            self._view.speaker.want()
        else:
            self._take(asking)

    @Slot(int)
    def turn(self, step: int) -> None:
        """Turns to what comes next, or before."""
        ids = [asking.id for asking in self._asked]
        if self.call.at == RING_BACK:
            self.leave_ring_back()
            return
        at = ids.index(self.call.at) if self.call.at in ids else len(ids)
        if step > 0:
            self.call.passed.add(self.call.at)
        if 0 <= at + step < len(ids):
            self.go(ids[at + step])
        elif step > 0:
            self.go(self._next(ids, self.call.at))

    def go(self, asking: str) -> None:
        """Turns to something on the card."""
        self.call.at = asking
        self._say()
        self._view.see(self._view.to_say)

    def ask_ring_back(self) -> None:
        """Asks when to ring back, in the place of the question."""
        if self.call.at != RING_BACK:
            self._before = self.call.at
        self.go(RING_BACK)
        self._view.to_say.setFocus()

    def leave_ring_back(self) -> bool:
        """Back from there to the question; gives whether it was asked."""
        if not self.key or self.call.at != RING_BACK:
            return False
        self.go(self._before)
        return True

    def make_standing(self) -> None:
        """Makes what is typed a standing instruction, or not any more."""
        asking, field = self._view.to_say.asking, self._view.to_say.field
        if not asking.may_stand:
            self._room.news.tell("No standing instruction can answer this question for this practice.")
            return
        begins, _, rest = field.text.partition(" ")
        field.put(rest if begins.casefold() == "always" else f"always {field.text}".rstrip() + " " * (not field.text))
        self._on_typed(field.text)

    def _take(self, asking: Asking) -> None:
        deed = self._view.to_say.read.deed
        if deed is None:
            self._view.to_say.field.refuse()
            self._room.news.tell(self._view.to_say.read.said.text)
            return
        key, call = self.key, self.call
        text, spoke = call.begin(asking.id), asking.needs_speaker and call.way == "telephone" and not call.reached
        call.reached = call.reached or spoke
        done = partial(self._on_done, key, asking, text)
        self._deeds.do(key, deed, call.speaker, spoke, done, partial(self._on_failed, key, asking))
        if isinstance(deed, RingBack):
            call.at = self._before
            self.over.emit()
        else:
            self.go(self._next([each.id for each in self._asked], asking.id))

    def _on_done(self, key: str, asking: Asking, text: str, done: Done) -> None:
        call = self.call_of(key)
        call.end(asking.id, done.said)
        if asking.id == RING_BACK:
            call.taken.pop(RING_BACK)
        if done.answered is not None:
            back = partial(self._on_taken_back, key, asking.id, text)
            undo = partial(self._deeds.take_back, key, done.answered, back)
            self._room.news.offer_undo(done.said, undo, "the last answer")

    def _on_taken_back(self, key: str, asking: str, text: str) -> None:
        call = self.call_of(key)
        call.reopen(asking, text)
        call.at = asking

    def _on_failed(self, key: str, asking: Asking, why: str) -> None:
        self.call_of(key).fail(asking.id, why)
        if key == self.key:
            self._say()

    def _place_before_desk(self, before: list[str]) -> None:
        """Chooses what stands before the desk: what stood there, else what comes after it."""
        if self._at is None and self.call.at != RING_BACK and (self.call.at != AT_END or not before):
            self.call.at = self._next(before, self.call.at)
        if early := self.call.texts.pop(EARLY, ""):
            self.call.texts.setdefault(self.call.at, early)

    @property
    def _at(self) -> Asking | None:
        return next((asking for asking in self._asked if asking.id == self.call.at), None)

    def _next(self, ids: list[str], at: str) -> str:
        """What comes after something that is taken down or gone from the card: the first that is still to be said."""
        now = [asking.id for asking in self._asked if self._is_open(asking) and asking.id not in self.call.passed]
        # An answer may change the order of what is left: what went before is gone through too, unless it was passed.
        after = ids[ids.index(at) + 1 :] if at in ids else []
        return next((each for each in (*after, *now) if each in now), AT_END)

    def _is_open(self, asking: Asking) -> bool:
        done = asking.id in self.call.taken or asking.id in self.call.under_way
        return not done and (asking.id.startswith(AFTER) or asking.level == "warns")

    def _say(self) -> None:
        """Puts before the desk what stands there, and the card as it is now."""
        if self._shown is None:
            return
        card, call = self._shown.card, self.call
        if call.at == RING_BACK:
            asking = ring_back(card.line.practice, self._now())
        else:
            asking = self._at or at_end(card.line.practice, self._notes(), sum(map(self._is_open, self._asked)))
        if self._at is None or not self._at.is_settled:
            self._asked = tuple(each for each in self._asked if not each.is_settled)
        self._view.to_say.show_asking(asking, call.texts.get(asking.id, ""), call.refused.get(asking.id, ""))
        self._view.script.show_lines(script(card, self._asked, call), asking.id)

    def _notes(self) -> list[str]:
        """What to do before the receiver is put down."""
        assert self._shown is not None
        keys, spoken = self._room.keys, len(self._shown.card.spoken)
        letter, mail = keys.shown("write-now"), keys.shown("mail-now")
        told = [f"{spoken} said by word of mouth, to be confirmed: {letter} writes the letter now, {mail} sends it."]
        return told if spoken else []

    def _now(self) -> datetime:
        assert self._deeds.desk is not None
        return self._deeds.desk.now()

    @Slot(str)
    def _on_typed(self, text: str) -> None:
        if not self._key:
            return
        call, at = self.call, self._view.to_say.asking.id
        call.refused.pop(at, None)
        if text:
            call.texts[at] = text
        else:
            call.texts.pop(at, None)
        if self._shown is not None:
            self._view.script.show_lines(script(self._shown.card, self._asked, call), at)

    @Slot()
    def _on_speaker(self) -> None:
        if self.key:
            self._view.to_say.say()

    @Slot(str)
    def _on_chosen(self, asking: str) -> None:
        self.go(asking)
        self._view.to_say.setFocus()


def _prescribers(shown: Shown) -> tuple[str, ...]:
    """The prescribers that are known of a practice: the directory's, and those that its cases name."""
    practice = shown.card.practice
    named = (case.case.prescriber for case in shown.card.cases)
    return tuple(dict.fromkeys(filter(None, (*(practice.prescribers if practice else ()), *named))))


def _with_half_typed(now: tuple[Asking, ...], before: tuple[Asking, ...], call: Call) -> tuple[Asking, ...]:
    """What is on the card now; a question that was settled under the hands that type stays until they leave it."""
    at = next((row for row, asking in enumerate(before) if asking.id == call.at), None)
    if at is None or not call.texts.get(call.at) or any(asking.id == call.at for asking in now):
        return now
    return (*now[:at], settled(before[at]), *now[at:])
