"""The days that somebody means who looks a job up: “yesterday”, “last week”, “12 nov”, “12.11.”, “november”."""

import re
from datetime import date, datetime, timedelta

from intake.domain.slips import one_slip_off
from intake.domain.wanted import Came, Leaves, Reading, Span
from intake.domain.written_dates import DAYS, MONTHS, DateUnclear, read_moment

LONGEST_DAY = 3
"""So many words make a day at the most: “12 nov 2026”."""
SOON, LONG_AGO = 60, 300
"""A day without a year that lies so many days ahead, and so many days back a year before, can be either."""
_PHRASES = frozenset("today yesterday tomorrow week month last this next".split())  # noqa: SIM905
DAY_WORDS = _PHRASES | {word.casefold() for word in (*DAYS, *MONTHS, *(month[:3] for month in MONTHS))}
"""The words that days are written with, in full."""
_NEAR = {"today": 0, "yesterday": -1, "tomorrow": 1}
_NTH = r"\d{1,2}(?:st|nd|rd|th)?"
_NAMED = re.compile(rf"(?:{_NTH}[ .-]*[a-z]{{3,9}}|[a-z]{{3,9}}[ .-]*{_NTH})[ .,-]*(?:\d{{4}}|\d\d)?")
_NUMERIC = re.compile(r"\d{1,2}([./-])\d{1,2}\1?(\d{4}|\d\d)?|\d{4}-\d\d-\d\d")
_DAY_ALONE = re.compile(r"(?P<day>\d{1,2})(st|nd|rd|th)")
_MONTH = re.compile(r"(?P<month>[a-z]{3,9})(?: (?P<year>2\d{3}))?")
_OF_DIGITS = re.compile(r"\d{1,5}")


def days_meant(words: tuple[str, ...], today: date) -> tuple[Reading, ...]:
    """The days of arrival that a stretch of words means; those of leaving where they can only lie ahead.

    A day without a year is the last such day, since what is looked for has arrived. One that comes soon, and was last
    nearly a year ago, may be the day of leaving as well.
    """
    came, leaves = span_of(words, today, ahead=False), span_of(words, today, ahead=True)
    if came is None:
        return (Leaves((leaves,)),) if leaves else ()
    soon = leaves is not None and timedelta(0) < leaves[0] - today <= timedelta(SOON)
    if leaves and soon and len(words) > 1 and today - came[1] > timedelta(LONG_AGO):
        return Came((came,)), Leaves((leaves,))
    return (Came((came,)),)


def days_near(words: tuple[str, ...], today: date, mended_words: dict[str, tuple[str, ...]]) -> tuple[Span, ...]:
    """The days of arrival that a stretch of words would mean but for one slip.

    Args:
        words: the stretch, in small letters.
        today: the lab's day.
        mended_words: for each of its words the words of days that are a slip away.
    """
    found: list[Span] = []
    for place, word in enumerate(words):
        for other in (*mended_words.get(word, ()), *_numbers_near(word)):
            span = span_of((*words[:place], other, *words[place + 1 :]), today, ahead=False)
            if span and span not in found:
                found.append(span)
    return tuple(found)


def _numbers_near(word: str) -> tuple[str, ...]:
    """A word with one of its numbers a slip away: “21” is “12”, “12.11.” is “12.1.”."""
    parts = list(_OF_DIGITS.finditer(word))[:3]
    return tuple(
        word[: part.start()] + other + word[part.end() :]
        for part in parts
        for other in sorted(one_slip_off(part.group()))
        if len(other) in (1, 2, 4)
    )


def span_of(words: tuple[str, ...], today: date, ahead: bool) -> Span | None:
    """The span of days that a stretch of words means, up to today or, with `ahead`, from today on; None for no day."""
    text = " ".join(words)
    if text in _NEAR:
        day = today + timedelta(_NEAR[text])
        return (day, day) if ahead or day <= today else None
    return _of_week_or_month(text, today) or _of_weekday(text, today, ahead) or _of_date(text, today, ahead)


def _of_week_or_month(text: str, today: date) -> Span | None:
    which, _, what = text.partition(" ")
    step = {"last": -1, "this": 0, "next": 1}.get(which)
    if step is None or what not in ("week", "month"):
        return None
    if what == "week":
        monday = today + timedelta(7 * step - today.weekday())
        return monday, monday + timedelta(6)
    return _month(today.year + (today.month - 1 + step) // 12, (today.month - 1 + step) % 12 + 1)


def _of_weekday(text: str, today: date, ahead: bool) -> Span | None:
    which, _, name = text.rpartition(" ")
    named = [n for n, day in enumerate(DAYS) if len(name) >= 3 and day.casefold().startswith(name)]
    if not named or which not in ("", "last", "next", "this"):
        return None
    back = (today.weekday() - named[0]) % 7
    if which == "last":
        day = today - timedelta(back or 7)
    elif which == "next" or ahead:
        day = today + timedelta((7 - back) % 7 or (7 if which == "next" else 0))
    else:
        day = today - timedelta(back)
    return (day, day) if ahead or day <= today else None


def _of_date(text: str, today: date, ahead: bool) -> Span | None:
    if alone := _DAY_ALONE.fullmatch(text):
        return _day_of_month(int(alone["day"]), today, ahead)
    if (month := _MONTH.fullmatch(text)) and (named := _named_month(month["month"], bool(month["year"]))):
        year = int(month["year"]) if month["year"] else today.year
        if not month["year"] and not ahead and named > today.month:
            year -= 1
        return _month(year, named)
    if not (_NAMED.fullmatch(text) or _NUMERIC.fullmatch(text)):
        return None
    try:
        day = read_moment(text, today, past=not ahead)
    except DateUnclear:
        return None
    return None if isinstance(day, datetime) else (day, day)


def _named_month(name: str, with_year: bool) -> int | None:
    """The number of a month by its name; by its beginning only where a year follows: “mar” alone begins a name."""
    fits = (n for n, month in enumerate(MONTHS, 1) if month.casefold() == name or (with_year and _begins(month, name)))
    return next(fits, None)


def _begins(month: str, name: str) -> bool:
    return month.casefold().startswith(name)


def _day_of_month(day: int, today: date, ahead: bool) -> Span | None:
    """The last such day of a month up to today, or the next one."""
    for away in range(13):
        months = today.year * 12 + today.month - 1 + (away if ahead else -away)
        first, last = _month(months // 12, months % 12 + 1)
        if 1 <= day <= last.day and (first.replace(day=day) >= today if ahead else first.replace(day=day) <= today):
            return first.replace(day=day), first.replace(day=day)
    return None


def _month(year: int, month: int) -> Span:
    following = date(year + month // 12, month % 12 + 1, 1)
    return date(year, month, 1), following - timedelta(1)
