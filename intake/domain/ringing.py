"""Whom to ring and when to try again: the lab's own rules, as pure functions.

All moments are the lab's wall clock. Every figure is a choice of the lab's setup; common practice, no source.
"""

from calendar import monthrange
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from itertools import takewhile
from typing import Literal, Protocol

from intake.domain.calendar import lab_calendar
from intake.domain.lab import CalendarRules, Lab
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


class Asked(Protocol):
    """One open question, as ringing sees it: whatever has these is one, so that thousands need not be copied."""

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


def standing_of(asked: Asked, lab: Lab, now: datetime) -> QueryStanding:
    """How one question stands.

    A promise holds until its day, and the days of grace, are over. A letter has its working days to be answered, unless
    reply by comes near. What is past reply by is overdue, whatever was written.
    """
    if asked.expected_on is not None and _is_awaited(asked.expected_on, lab, now.date()):
        return "promised"
    if asked.reply_by is not None and asked.reply_by <= now:
        return "overdue"
    if asked.letter_on is not None and not letter_is_old(asked.letter_on, lab, now) and not _is_near(asked, lab, now):
        return "in-writing"
    return "due"


def next_try(tries: Sequence[Try], practice: Practice | None, lab: Lab, now: datetime) -> datetime | None:
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


def _in_order(tries: Sequence[Try]) -> list[Try]:
    """Oldest first; several at one moment stay in the order in which they were noted."""
    return sorted(tries, key=lambda each: each.at)


def _last(tries: Sequence[Try]) -> Try | None:
    return _in_order(tries)[-1] if tries else None


def _again(last: Try, lab: Lab) -> datetime:
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
    asked: Sequence[Asked], tries: Sequence[Try], practice: Practice | None, lab: Lab, now: datetime, spoken: int = 0
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
    standings = tuple(standing_of(each, lab, now) for each in asked)
    due = [each for each, stands in zip(asked, standings, strict=True) if stands in ("due", "overdue")]
    last = _last(tries)
    rings_back = bool(due) and last is not None and last.outcome == "ring-back"
    gravest: RingStanding = min(standings, key=lambda each: _GRAVITY[each], default="in-writing")
    standing: RingStanding = "ring-back" if rings_back else gravest
    reply_by = min((each.reply_by for each in due or asked if each.reply_by), default=None)
    at = _next_for(standings, asked, tries, practice, lab, now)
    return Ring(
        standing=standing,
        standings=standings,
        next_try=at,
        open=open_now(practice, lab, now),
        reply_by=reply_by,
        write=time_to_write(due, tries, lab, now),
        why=_why(standing, list(zip(asked, standings, strict=True)), spoken, now),
        urgency=(_GRAVITY[standing], reply_by or _LATEST, at or _LATEST),
    )


def time_to_write(due: Sequence[Asked], tries: Sequence[Try], lab: Lab, now: datetime) -> str:
    """Why what is due has to be put in writing; empty while ringing is enough, or everything was written."""

    def is_unwritten(each: Asked) -> bool:
        return each.letter_on is None or letter_is_old(each.letter_on, lab, now)

    if why := _ringing_failed(tries, lab):
        return why if any(map(is_unwritten, due)) else ""
    return "reply by is near" if any(_is_near(each, lab, now) and is_unwritten(each) for each in due) else ""


def _ringing_failed(tries: Sequence[Try], lab: Lab) -> str:
    """Why it is no use to ring on; empty while it is."""
    last = _last(tries)
    if last is not None and last.outcome == "wrong-number":
        return "the number on file is wrong"
    vain = len(_vain(tries))
    if vain < lab.ringing.tries_before_writing:
        return ""
    return "1 try without an answer" if vain == 1 else f"{vain} tries without an answer"


def letter_is_old(letter_on: datetime, lab: Lab, now: datetime) -> bool:
    """Whether a letter has had its working days."""
    if (now.date() - letter_on.date()).days <= lab.ringing.letter_days:
        return False  # working days are never more than the days of the calendar
    return now.date() > working_days_on(letter_on.date(), lab.ringing.letter_days, lab)


def review_day(since: date, lab: Lab) -> date:
    """The day on which a standing instruction is gone through again: the setup's months later, or the month's end."""
    months = since.month - 1 + lab.ringing.review_months
    year, month = since.year + months // 12, months % 12 + 1
    return date(year, month, min(since.day, monthrange(year, month)[1]))


def working_days_on(day: date, days: int, lab: Lab) -> date:
    """The day so many of the lab's working days on; the day itself for none."""
    return _open_day_after(day, days, lab.calendar) if days else day


@lru_cache(maxsize=4096)
def _open_day_after(day: date, days: int, rules: CalendarRules) -> date:
    """Thousands of questions share the few days on which letters were written."""
    return lab_calendar(rules).forward(day, days)


def _is_awaited(day: date, lab: Lab, today: date) -> bool:
    """Whether what was promised for a day may still come: until the day, and its days of grace, are over."""
    return today <= day or today <= working_days_on(day, lab.ringing.promise_days, lab)


def _is_near(asked: Asked, lab: Lab, now: datetime) -> bool:
    """Whether reply by is so near that a question is put in writing too."""
    return asked.reply_by is not None and asked.reply_by - now <= timedelta(hours=lab.ringing.write_hours_before)


def _next_for(
    standings: Sequence[QueryStanding],
    asked: Sequence[Asked],
    tries: Sequence[Try],
    practice: Practice | None,
    lab: Lab,
    now: datetime,
) -> datetime | None:
    """When to ring for what is due; where nothing is, when the first promise or letter runs out."""
    if not asked:
        return None
    wakes = min(_wakes(each, standing, lab, now) for each, standing in zip(asked, standings, strict=True))
    return next_try(tries, practice, lab, max(now, wakes))


def _wakes(asked: Asked, standing: QueryStanding, lab: Lab, now: datetime) -> datetime:
    """When a question that waits for a promise or an answer to a letter is due again; now, where it is due."""
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


def _vain(tries: Sequence[Try]) -> list[Try]:
    """The newest tries at which nobody was reached, since somebody was."""
    return list(takewhile(lambda each: each.outcome in UNANSWERED, reversed(_in_order(tries))))


def _why(standing: RingStanding, asked: Sequence[tuple[Asked, QueryStanding]], spoken: int, now: datetime) -> str:
    """Why a practice stands where it stands, in a sentence."""
    if standing == "ring-back":
        return "It is to be rung back."
    if not asked:
        return f"Nothing is to be asked; {counted(spoken, 'answer')} by word of mouth to confirm in writing."
    if standing == "promised":
        days = [each.expected_on for each, stands in asked if stands == "promised" and each.expected_on]
        return f"Promised for {short_day(min(days))}."
    if standing == "in-writing":
        return "Asked in writing; the letter has its days."
    due = [each for each, stands in asked if stands in ("due", "overdue")]
    late = [each for each in due if each.reply_by and each.reply_by <= now]
    passed = [each.expected_on for each in due if each.expected_on]
    if passed:
        return f"What was promised for {short_day(min(passed))} is not here."
    if late:
        return f"Reply by has passed for {counted(len(late), 'question')}."
    return f"{counted(len(due), 'question')} to ask."
