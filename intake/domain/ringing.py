"""Whom to ring and when to try again: the lab's own rules, as pure functions.

All moments are the lab's wall clock. Every figure is a choice of the lab's setup; common practice, no source.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from itertools import takewhile
from operator import attrgetter
from typing import Literal, Protocol

from intake.domain.calendar import lab_calendar
from intake.domain.lab import CalendarRules, Lab
from intake.domain.months import months_later
from intake.domain.opening_hours import NeverOpen, OpenNow, next_open, open_now
from intake.domain.practice import Practice
from intake.domain.wording import counted
from intake.domain.written_dates import short_day

Outcome = Literal["spoke", "no-answer", "engaged", "message-left", "ring-back", "wrong-number"]
QueryStanding = Literal["overdue", "due", "promised", "in-writing"]
RingStanding = Literal["ring-back", "overdue", "due", "promised", "in-writing"]
_GRAVITY: dict[RingStanding, int] = {"ring-back": 0, "overdue": 0, "due": 1, "promised": 2, "in-writing": 3}
UNANSWERED: tuple[Outcome, ...] = ("no-answer", "engaged", "message-left")
_LATEST = datetime.max


@dataclass(frozen=True)
class Try:
    """One try to reach a practice."""

    at: datetime
    outcome: Outcome
    ring_back: datetime | None = None
    """When it asked to be rung back, or will ring itself."""


class Tried(Protocol):
    """One try, as ringing sees it: whatever has these is one, so that thousands need not be copied."""

    @property
    def at(self) -> datetime:
        """When it was."""

    @property
    def outcome(self) -> Outcome:
        """What it came to."""

    @property
    def ring_back(self) -> datetime | None:
        """When it asked to be rung back, or will ring itself."""


class Asked(Protocol):
    """One open question, as ringing sees it."""

    @property
    def query_id(self) -> int:
        """Its id."""

    @property
    def reply_by(self) -> datetime | None:
        """Until when an answer keeps the appointment."""

    @property
    def expected_on(self) -> date | None:
        """The day on which what was promised can be here."""

    @property
    def letter_on(self) -> datetime | None:
        """When the newest letter that asks it was written."""

    @property
    def letters(self) -> int:
        """How many letters ask it."""


@dataclass(frozen=True)
class Ring:
    """How a practice stands in the ring list."""

    standing: RingStanding
    standings: tuple[QueryStanding, ...]
    """Of each question, in their order."""
    next_try: datetime | None
    """When to ring next; None where only writing helps, or nothing is to be rung for."""
    open: OpenNow
    reply_by: datetime | None
    """The earliest of what is to be asked; of all where nothing is."""
    write: str
    """Why it is time to put it in writing; empty while ringing is enough."""
    why: str
    urgency: tuple[int, datetime, datetime]
    """Sorts: how it stands, the earliest reply by, the next try."""


@dataclass(frozen=True)
class Standings:
    """How questions stand at one moment; made once for all of a practice's."""

    now: datetime
    promised_from: date
    """What was promised for this day or a later one may still come."""
    written_from: date
    """A letter of this day or a later one still has its working days."""
    near: datetime
    """A question whose reply by is not later than this is put in writing too."""

    def of(self, asked: Asked) -> QueryStanding:
        """How one question stands.

        A promise holds until its day, and the days of grace, are over. A letter has its working days to be answered,
        unless reply by comes near. What is past reply by is overdue, whatever was written.
        """
        if asked.expected_on is not None and asked.expected_on >= self.promised_from:
            return "promised"
        if asked.reply_by is not None and asked.reply_by <= self.now:
            return "overdue"
        if asked.letter_on is not None and not self.is_old(asked.letter_on) and not self.is_near(asked):
            return "in-writing"
        return "due"

    def is_old(self, letter_on: datetime) -> bool:
        """Whether a letter has had its working days."""
        return letter_on.date() < self.written_from

    def is_near(self, asked: Asked) -> bool:
        """Whether reply by is so near that a question is put in writing too."""
        return asked.reply_by is not None and asked.reply_by <= self.near


def standings(lab: Lab, now: datetime) -> Standings:
    """How questions stand at a moment of the lab's wall clock, by the lab's rules.

    A day has not had its n working days until today is later than the n-th working day after it; so the first such day
    is the n-th working day before today.
    """
    rules, today = lab.ringing, now.date()
    return Standings(
        now=now,
        promised_from=_open_day_before(today, rules.promise_days, lab.calendar),
        written_from=_open_day_before(today, rules.letter_days, lab.calendar),
        near=now + timedelta(hours=rules.write_hours_before),
    )


def next_try(tries: Sequence[Tried], practice: Practice | None, lab: Lab, now: datetime) -> datetime | None:
    """When a practice is to be rung next, never before now; None after a wrong number, since only writing helps then.

    The wait depends on what the last try came to. It is never twice within the setup's least minutes, never while the
    practice is closed or at lunch, and only while the lab itself rings.
    """
    last = _last(tries)
    if last is not None and last.outcome == "wrong-number":
        return None
    try:
        return next_open(practice, lab, max(now, _again(last, lab)) if last else now)
    except NeverOpen:
        return None


def _in_order(tries: Sequence[Tried]) -> list[Tried]:
    """Oldest first; several at one moment stay in the order in which they were noted."""
    return sorted(tries, key=attrgetter("at"))


def _last(tries: Sequence[Tried]) -> Tried | None:
    """The newest; of several at one moment the one that was noted last."""
    return max(reversed(tries), key=attrgetter("at"), default=None)


def _again(last: Tried, lab: Lab) -> datetime:
    """When to ring again after a try; who rings back without saying when has as long as after a message."""
    rules = lab.ringing
    minutes: dict[Outcome, int] = {
        "no-answer": rules.again_minutes,
        "engaged": rules.engaged_minutes,
        "message-left": rules.message_minutes,
        "ring-back": rules.message_minutes,
    }
    again = last.ring_back or last.at + timedelta(minutes=minutes.get(last.outcome, 0))
    return max(again, last.at + timedelta(minutes=rules.least_minutes))


def ring(
    asked: Sequence[Asked], tries: Sequence[Tried], practice: Practice | None, lab: Lab, now: datetime, spoken: int = 0
) -> Ring:
    """How a practice stands in the ring list; `urgency` puts the list in order.

    Args:
        asked: Its open questions.
        tries: The tries to reach it for them.
        practice: Its entry in the directory, if it has one.
        lab: The lab setup.
        now: The lab's wall clock.
        spoken: How many answers by word of mouth are not confirmed yet.
    """
    by_moment = standings(lab, now)
    stands = tuple(map(by_moment.of, asked))
    due = [each for each, standing in zip(asked, stands, strict=True) if standing in ("due", "overdue")]
    last = _last(tries)
    rings_back = bool(due) and last is not None and last.outcome == "ring-back"
    gravest: RingStanding = min(stands, key=_GRAVITY.__getitem__, default="in-writing")
    standing: RingStanding = "ring-back" if rings_back else gravest
    reply_by = min((each.reply_by for each in due or asked if each.reply_by), default=None)
    at = next_try(tries, practice, lab, now if due else _wakes(asked, stands, lab, now)) if asked else None
    return Ring(
        standing=standing,
        standings=stands,
        next_try=at,
        open=open_now(practice, lab, now),
        reply_by=reply_by,
        write=time_to_write(due, tries, lab, by_moment),
        why=_why(standing, due, asked, stands, spoken, now),
        urgency=(_GRAVITY[standing], reply_by or _LATEST, at or _LATEST),
    )


def time_to_write(due: Sequence[Asked], tries: Sequence[Tried], lab: Lab, by_moment: Standings) -> str:
    """Why what is due has to be put in writing; empty while ringing is enough, or everything was written."""

    def is_unwritten(each: Asked) -> bool:
        return each.letter_on is None or by_moment.is_old(each.letter_on)

    if why := _ringing_failed(tries, lab):
        return why if any(map(is_unwritten, due)) else ""
    return "reply by is near" if any(by_moment.is_near(each) and is_unwritten(each) for each in due) else ""


def _ringing_failed(tries: Sequence[Tried], lab: Lab) -> str:
    """Why it is no use to ring on; empty while it is."""
    last = _last(tries)
    if last is not None and last.outcome == "wrong-number":
        return "the number on file is wrong"
    vain = len(_vain(tries))
    if vain < lab.ringing.tries_before_writing:
        return ""
    return "1 try without an answer" if vain == 1 else f"{vain} tries without an answer"


def review_day(since: date, lab: Lab) -> date:
    """The day on which a standing instruction is gone through again: the setup's months later, or the month's end."""
    return months_later(since, lab.ringing.review_months)


def working_days_on(day: date, days: int, lab: Lab) -> date:
    """The day so many of the lab's working days on; the day itself for none."""
    return _open_day_after(day, days, lab.calendar) if days else day


@lru_cache(maxsize=4096)
def _open_day_after(day: date, days: int, rules: CalendarRules) -> date:
    """Hundreds of practices share the few days on which letters were written."""
    return lab_calendar(rules).forward(day, days)


@lru_cache(maxsize=64)
def _open_day_before(day: date, days: int, rules: CalendarRules) -> date:
    return lab_calendar(rules).back(day, days)


def _wakes(asked: Sequence[Asked], stands: Sequence[QueryStanding], lab: Lab, now: datetime) -> datetime:
    """When the first of some questions that wait for a promise or an answer to a letter is due again."""
    return max(now, min(_is_due_again(each, standing, lab, now) for each, standing in zip(asked, stands, strict=True)))


def _is_due_again(asked: Asked, standing: QueryStanding, lab: Lab, now: datetime) -> datetime:
    if standing == "promised" and asked.expected_on is not None:
        return _day_after(working_days_on(asked.expected_on, lab.ringing.promise_days, lab))
    if standing == "in-writing" and asked.letter_on is not None:
        old = _day_after(working_days_on(asked.letter_on.date(), lab.ringing.letter_days, lab))
        near = asked.reply_by - timedelta(hours=lab.ringing.write_hours_before) if asked.reply_by else old
        return min(old, near)
    return now


def _day_after(day: date) -> datetime:
    """The midnight at which a day is over."""
    return datetime.combine(day + timedelta(days=1), time())


def _vain(tries: Sequence[Tried]) -> list[Tried]:
    """The newest tries at which nobody was reached, since somebody was."""
    return list(takewhile(lambda each: each.outcome in UNANSWERED, reversed(_in_order(tries))))


def _why(
    standing: RingStanding,
    due: Sequence[Asked],
    asked: Sequence[Asked],
    stands: Sequence[QueryStanding],
    spoken: int,
    now: datetime,
) -> str:
    """Why a practice stands where it stands, in a sentence."""
    if standing == "ring-back":
        return "It is to be rung back."
    if not asked:
        return f"Nothing is to be asked; {counted(spoken, 'answer')} by word of mouth to confirm in writing."
    if standing == "promised":
        promised = zip(asked, stands, strict=True)
        days = [each.expected_on for each, stood in promised if stood == "promised" and each.expected_on]
        return f"Promised for {short_day(min(days))}."
    if standing == "in-writing":
        return "Asked in writing; the letter has its days."
    passed = [each.expected_on for each in due if each.expected_on]
    if passed:
        return f"What was promised for {short_day(min(passed))} is not here."
    late = sum(1 for each in due if each.reply_by and each.reply_by <= now)
    if late:
        return f"Reply by has passed for {counted(late, 'question')}."
    return f"{counted(len(due), 'question')} to ask."
