"""Whom to ring, and why now: a line for each practice that something is open for."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from operator import attrgetter
from typing import Any, TypeVar

from intake.desk.desk import Desk
from intake.domain.case import NewPractice
from intake.domain.practice import Practice
from intake.domain.ringing import QueryStanding, Ring, RingStanding, ring
from intake.domain.telephone import dial_uri, local_number
from intake.domain.written_dates import short_day
from intake.store.rows import AttemptRow, RingRow

_OfOne = TypeVar("_OfOne", RingRow, AttemptRow)
NOBODY = "~"
"""The key under which the cases stand that name no practice."""
_WORDS: dict[QueryStanding, str] = {
    "overdue": "overdue",
    "due": "to ask",
    "promised": "promised",
    "in-writing": "in writing",
}


@dataclass(frozen=True)
class RingLine:
    """One practice with all that is open for it."""

    key: str
    """Its code in the directory; “~” and its name as it was written where it is not in there."""
    practice: str
    telephone: str
    """As it is dialled from the lab's country; empty when none is on file."""
    dial: str
    """The number for whatever dials, RFC 3966; empty when it cannot be dialled."""
    cases: int
    questions: int
    standing: RingStanding
    when: str
    """When to ring: `now`, `at 14:05`, `Thu 26 Nov, 09:00`; empty where only writing helps."""
    open: str
    can_ring: bool
    """Whether it is open, the lab rings now, and the next try has come."""
    reply_by: str
    told: str
    """What is open, counted: `2 overdue · 1 promised for Thu 26 Nov`."""
    write: str
    """Why it is time to put it in writing; empty while ringing is enough."""
    why: str
    """Why it stands where it stands."""
    urgency: tuple[Any, ...]


def ring_list(desk: Desk) -> tuple[RingLine, ...]:
    """Every practice that something is open for, in the order to ring them."""
    rows = desk.store.read.ring_rows()
    tries = _by_key(desk.store.read.attempts(since=_oldest(rows)))
    spoken = Counter(answer.key for answer in desk.store.read.spoken())
    practices = _practices(desk, {row.practice_code for row in rows} | set(spoken))
    by_key = _by_key(rows)
    lines = [
        _line(desk, key, by_key.get(key, ()), tries.get(key, ()), practices.get(key), spoken[key])
        for key in by_key.keys() | spoken.keys()
    ]
    return tuple(sorted(lines, key=attrgetter("urgency")))


def ring_line(desk: Desk, key: str) -> RingLine | None:
    """One practice as it stands now; None where nothing is open for it any more."""
    rows, spoken = desk.store.read.ring_rows(key), desk.store.read.spoken(key)
    if not rows and not spoken:
        return None
    tries = desk.store.read.attempts(key, since=_oldest(rows))
    return _line(desk, key, rows, tries, practice_of_key(desk, key), len(spoken))


def practice_of_key(desk: Desk, key: str) -> Practice | None:
    """The directory's entry of a practice by its key."""
    row = desk.store.read.practice(key) if not key.startswith(NOBODY) else None
    return row.practice if row else None


def _oldest(rows: Iterable[RingRow]) -> datetime | None:
    return min((row.opened for row in rows), default=None)


def _by_key(rows: Iterable[_OfOne]) -> dict[str, list[_OfOne]]:
    """Rows by the practice that they are of, in their order."""
    found: defaultdict[str, list[_OfOne]] = defaultdict(list)
    for row in rows:
        found[row.key].append(row)
    return found


def _practices(desk: Desk, codes: Iterable[str | None]) -> dict[str, Practice]:
    wanted = sorted({code for code in codes if code and not code.startswith(NOBODY)})
    return {row.practice.code: row.practice for row in desk.store.read.practices_of(wanted)}


def _line(
    desk: Desk,
    key: str,
    rows: Sequence[RingRow],
    attempts: Sequence[AttemptRow],
    practice: Practice | None,
    spoken: int,
) -> RingLine:
    lab, now = desk.lab, desk.now()
    telephone = practice.telephone if practice else _written_telephone(desk, rows)
    country = (practice.country if practice else None) or lab.calendar.country
    shown = local_number(telephone, country, lab.calendar.country) if telephone else ""
    how = ring(rows, _of_number(attempts, shown), practice, lab, now, spoken)
    name = practice.name if practice else next((row.practice_name for row in rows), key.removeprefix(NOBODY))
    can_ring = bool(telephone) and how.next_try is not None and how.next_try <= now and how.open.open
    return RingLine(
        key=key,
        practice=name or "Practice not named",
        telephone=shown,
        dial=dial_uri(telephone, country) if telephone else "",
        cases=len({row.case_id for row in rows}),
        questions=len(rows),
        standing=how.standing,
        when=_when(how, can_ring, bool(telephone), now),
        open=how.open.why,
        can_ring=can_ring,
        reply_by=_shown(how.reply_by) if how.reply_by else "",
        told=_told(rows, how.standings, spoken),
        write=how.write or ("no telephone number is on file" if rows and not telephone else ""),
        why=how.why,
        urgency=(not can_ring, *how.urgency, name.casefold(), key),
    )


def _of_number(attempts: Sequence[AttemptRow], telephone: str) -> list[AttemptRow]:
    """The attempts without those at a wrong number that is no longer the one on file."""
    return [row for row in attempts if row.outcome != "wrong-number" or row.telephone == telephone]


def _written_telephone(desk: Desk, rows: Sequence[RingRow]) -> str:
    """The number that came with a case of a practice that the directory does not have."""
    written = (case.case.practice for case in desk.store.read.cases({row.case_id for row in rows}).values())
    return next((each.telephone for each in written if isinstance(each, NewPractice) and each.telephone), "")


def _when(how: Ring, can_ring: bool, has_number: bool, now: datetime) -> str:
    if not has_number or how.next_try is None:
        return ""
    if can_ring:
        return "now"
    return f"at {how.next_try:%H:%M}" if how.next_try.date() == now.date() else _shown(how.next_try)


def _shown(moment: datetime) -> str:
    return f"{short_day(moment.date())}, {moment:%H:%M}"


def _told(rows: Sequence[RingRow], standings: Sequence[QueryStanding], spoken: int) -> str:
    """What is open, counted by how it stands."""
    parts = [f"{standings.count(standing)} {words}" for standing, words in _WORDS.items() if standing in standings]
    promised = zip(rows, standings, strict=True)
    days = [row.expected_on for row, standing in promised if standing == "promised" and row.expected_on]
    if days:
        parts = [f"{part} for {short_day(min(days))}" if part.endswith("promised") else part for part in parts]
    return " · ".join([*parts, *([f"{spoken} to confirm"] if spoken else [])])
