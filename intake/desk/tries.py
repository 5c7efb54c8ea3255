"""Notes each try to reach a practice, and says when the next one is due."""

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

from intake.desk.call_card import OUTCOMES
from intake.desk.desk import Desk
from intake.desk.ring_list import practice_of_key, ring_line
from intake.domain.ringing import Outcome, Try, next_try
from intake.domain.written_dates import DateUnclear, read_moment, shown_moment

_IN_MINUTES = re.compile(r"(?:in\s+)?(\d{1,3})\s*(?:min|mins|minutes|m)", re.IGNORECASE)
_LONGEST_MINUTES = 600


@dataclass(frozen=True)
class Noted:
    """A try as it was noted."""

    attempt_id: int
    case_ids: tuple[int, ...]
    said: str
    """What came of it, and when to ring again."""


def note_try(desk: Desk, key: str, outcome: Outcome, ring_back: datetime | None = None, note: str = "") -> Noted:
    """Notes a try, once; says what came of it and when to ring again."""
    line, now = ring_line(desk, key), desk.now()
    case_ids = tuple(sorted({row.case_id for row in desk.store.read.ring_rows(key)}))
    with desk.work() as work:
        attempt_id = work.calls.attempt(
            key=key,
            name=line.practice if line else "",
            outcome=outcome,
            telephone=line.telephone if line else "",
            note=note.strip(),
            ring_back=ring_back,
            case_ids=case_ids,
        )
        work.commit()
    tries = desk.store.read.attempts(key) or (Try(now, outcome, ring_back),)
    again = next_try(tries, practice_of_key(desk, key), desk.lab, now)
    name = line.practice if line else "The practice"
    return Noted(attempt_id, case_ids, f"{name}: {OUTCOMES[outcome]}.{_then(outcome, again)}")


def _then(outcome: Outcome, again: datetime | None) -> str:
    """What to do after a try."""
    if outcome == "wrong-number":
        return " Only writing helps until the directory has the right number."
    return f" Ring again {shown_moment(again)}." if again and outcome != "spoke" else ""


def take_back_try(desk: Desk, noted: Noted) -> None:
    """Takes a try back that was noted by mistake; it stays in the history."""
    with desk.work() as work:
        work.calls.take_back(noted.attempt_id, noted.case_ids)
        work.commit()


def read_ring_back(text: str, now: datetime) -> datetime:
    """When to ring back, as it is said: `14:30`, `tomorrow 9`, `30 min`.

    A time of day that is past today is tomorrow's. Raises DateUnclear.
    """
    if minutes := _IN_MINUTES.fullmatch(text.strip()):
        if int(minutes[1]) > _LONGEST_MINUTES:
            raise DateUnclear("Write the day and the time for anything more than ten hours away.")
        return now.replace(second=0, microsecond=0) + timedelta(minutes=int(minutes[1]))
    if clock := re.fullmatch(r"(?:at\s+)?(\d{1,2})[:.](\d\d)", text.strip()):
        return _clock(int(clock[1]), int(clock[2]), now)
    moment = read_moment(text, now.date())
    if not isinstance(moment, datetime):
        raise DateUnclear("Say the time too, such as 14:30 or tomorrow 9.30.")
    return moment


def _clock(hour: int, minute: int, now: datetime) -> datetime:
    if hour > 23 or minute > 59:
        raise DateUnclear(f"There is no {hour}:{minute:02} on the clock.")
    today = now.replace(hour=hour, minute=minute, second=0, microsecond=0)
    return today if today > now else today + timedelta(days=1)
