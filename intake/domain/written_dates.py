"""Dates as a person at a British desk types them, and the one way that Intake writes them."""

import re
from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from itertools import chain

from intake.errors import IntakeError

DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTH_NAMES = "January February March April May June July August September October November December"
MONTHS = tuple(_MONTH_NAMES.split())
YEARS_AWAY = 5
"""A year typed further away than this is a slip."""
GRACE_DAYS = 30


class DateUnclear(IntakeError):
    """What was typed is no date, or could be two; the message says what would be right."""


def shown_day(day: date) -> str:
    """A day with its weekday, in English whatever the machine's language: “Thu 10 Dec 2026”."""
    return f"{short_day(day)} {day.year}"


def short_day(day: date) -> str:
    """A day where the year is plain: “Thu 10 Dec”."""
    return f"{DAYS[day.weekday()][:3]} {day.day} {MONTHS[day.month - 1][:3]}"


def shown_moment(moment: date | datetime) -> str:
    """A day, with the time where there is one: “Thu 10 Dec 2026, 09:30”."""
    return f"{shown_day(moment)}, {moment:%H:%M}" if isinstance(moment, datetime) else shown_day(moment)


def read_moment(text: str, today: date, past: bool = False, grace_days: int = GRACE_DAYS) -> datetime | date:
    """Read a date, with a time or without: “10 dec 9.30”, “10/12”, “thu 2pm”, “next thu”, “tomorrow”, “+2w”.

    The day always stands before the month. Without a year it is the next such date, counted from `grace_days` before
    today; a time alone is today's. “next thu” is the Thursday of next week.

    Args:
        text: what was typed.
        today: the desk's day.
        past: for dates of things already done: without a year, the latest such date up to today.
        grace_days: how long after it a date without a year still means this year's.

    Returns:
        A datetime in the lab's local time when a time was typed, else a date.

    Raises:
        DateUnclear: it is no date, contradicts itself, or could mean two.
    """
    typed = " ".join(text.split())
    rest = _plain(typed)
    if not rest:
        raise DateUnclear("There is no date here; write it as 10 dec, or 10 dec 9.30 with its time.")
    weekday, rest = _take_weekday(rest)
    day, rest = _take_day(typed, rest, today, past, grace_days, weekday)
    clock, rest = _take_time(typed, rest)
    if leftover := rest.strip(" .-"):
        what = (
            f"“{typed}” is no date"
            if day is None and clock is None
            else f"“{leftover}” in “{typed}” is no part of a date"
        )
        raise DateUnclear(f"{what}; write it as 10 dec, or 10 dec 9.30 with its time.")
    day = today if day is None else day
    if past and day > today:
        raise DateUnclear(f"{shown_day(day)} is after today, {short_day(today)}; this has already happened.")
    return day if clock is None else datetime.combine(day, clock)


def _beginnings(names: Iterable[str], *more: str) -> str:
    """A pattern for the names and their beginnings of three letters or more, longest first."""
    beginnings = chain(more, (n[:size].casefold() for n in names for size in range(3, len(n) + 1)))
    return "|".join(sorted(beginnings, key=len, reverse=True))


_DAY = rf"(?P<weekday>{_beginnings(DAYS, 'weds')})\b"
_MONTH = rf"(?P<month>{_beginnings(MONTHS)})(?![a-z])\.?"
_NUMBER = r"(?P<day>\d{1,2})(?:st|nd|rd|th)?(?![\d:]|\.\d)"
_YEAR = r"(?:[\s/-]*(?P<year>[12]\d{3}|\d{2})(?![\d:]|\.\d|\s*[ap]m))?"
_NAMED = (
    re.compile(rf"(?<!\d){_NUMBER}[\s./-]*{_MONTH}{_YEAR}"),
    re.compile(rf"\b{_MONTH}[\s-]*{_NUMBER}(?!\s*[ap]m){_YEAR}"),
)
_ISO = re.compile(r"(?<!\d)(?P<year>\d{4})-(?P<month>\d\d)-(?P<day>\d\d)(?:t(?=\d)|(?!\d))")
_NUMERIC = re.compile(
    r"(?<![\d.:/-])(?P<day>\d{1,2})(?P<mark>[./-])(?P<month>\d{1,2})(?:(?P=mark)(?P<year>\d{4}|\d{2}))?(?P<dot>\.?)(?![\d:/-])"
)
_SPACED = re.compile(r"(?<![\d.:/-])(?P<day>\d{1,2}) (?P<month>\d{1,2}) (?P<year>\d{4}|\d{2})(?![\d.:/])")
_WEEKDAY = re.compile(rf"\b(?:(?P<which>next|last)\s+)?{_DAY}\.?")
_UNIT = r"(?P<unit>d|days?|w|wks?|weeks?)\b"
_OFFSET = re.compile(rf"(?:(?P<sign>[+-])|\bin\s)\s*(?P<count>\d{{1,3}})\s*{_UNIT}")
_AGO = re.compile(rf"(?P<count>\b\d{{1,3}})\s*{_UNIT}\s+ago\b")
_NEAR = {"today": 0, "tomorrow": 1, "yesterday": -1}
_TIME = re.compile(
    r"(?<![\d.:])(?:(?P<hour>\d{1,2})(?:[.:](?P<minute>\d\d)(?::\d\d)?)?\s*(?P<half>[ap]m)\b"
    r"|(?P<hour24>\d{1,2})[.:](?P<minute24>\d\d)(?::\d\d)?(?![\d:])|(?P<hour0>0\d)(?P<minute0>\d\d)(?!\d))"
)


def _plain(typed: str) -> str:
    """Lower case, without commas and the words that say nothing."""
    plain = re.sub(r"\b([ap])\.m\b\.?", r"\1m", typed.casefold().replace(",", " "))
    plain = re.sub(r"\b(?:at|on|the|of)\b", " ", plain)
    return " ".join(re.sub(r"\b(?:noon|midday)\b", "12:00", plain).split())


def _cut(text: str, found: re.Match[str]) -> str:
    return f"{text[: found.start()]} {text[found.end() :]}".strip()


def _take_weekday(rest: str) -> tuple[re.Match[str] | None, str]:
    found = _WEEKDAY.search(rest)
    return found, _cut(rest, found) if found else rest


def _take_day(
    typed: str, rest: str, today: date, past: bool, grace_days: int, weekday: re.Match[str] | None
) -> tuple[date | None, str]:
    """The day that is written, and the text without it."""
    near, rest = _take_near(rest, today)
    if near is not None:
        return _on_weekday(typed, near, weekday), rest
    found = _find_date(rest)
    if found and weekday and _may_be_time(found):
        raise DateUnclear(_two_ways(typed, found, weekday))
    if found:
        first = _dated(typed, found, today, past, grace_days)
        return _on_weekday(typed, first, weekday), _cut(rest, found)
    return (_next_weekday(typed, weekday, today, past) if weekday else None), rest


def _take_near(rest: str, today: date) -> tuple[date | None, str]:
    """A day counted from today: “tomorrow”, “+2w”, “2 days ago”."""
    for word, days in _NEAR.items():
        if found := re.search(rf"\b{word}\b", rest):
            return today + timedelta(days=days), _cut(rest, found)
    found = _AGO.search(rest) or _OFFSET.search(rest)
    if not found:
        return None, rest
    back = found.re is _AGO or found["sign"] == "-"
    days = int(found["count"]) * (7 if found["unit"].startswith("w") else 1)
    return today + timedelta(days=-days if back else days), _cut(rest, found)


def _find_date(rest: str) -> re.Match[str] | None:
    """The date in the text; one with a month's name or slashes before one with dots, which may be a time."""
    for pattern in (_ISO, *_NAMED, _SPACED):
        if found := pattern.search(rest):
            return found
    numeric = list(_NUMERIC.finditer(rest))
    certain = [m for m in numeric if m["mark"] != "." or m["year"]]
    dotted = [m for m in numeric if 1 <= int(m["month"]) <= 12 and 1 <= int(m["day"]) <= 31]
    return next(iter(certain or dotted), None)


def _may_be_time(found: re.Match[str]) -> bool:
    if found.re is not _NUMERIC or found["mark"] != "." or found["year"] or found["dot"]:
        return False
    return int(found["day"]) < 24 and len(found["month"]) == 2


def _two_ways(typed: str, found: re.Match[str], weekday: re.Match[str]) -> str:
    day, month = found["day"], MONTHS[int(found["month"]) - 1]
    name = _weekday_name(weekday)
    return (
        f"“{typed}” could be {day} {month} or {name} at {day}:{found['month']}; write {day} {month[:3].lower()}, "
        f"or {name[:3].lower()} {day}:{found['month']}."
    )


def _dated(typed: str, found: re.Match[str], today: date, past: bool, grace_days: int) -> date:
    """The date that was found, its year supplied where it is missing."""
    day = int(found["day"])
    month = _month(typed, found["month"], day)
    if found["year"]:
        return _in_year(typed, int(found["year"]), month, day, today)
    years = range(today.year, today.year - 9, -1) if past else range(today.year - 1, today.year + 9)
    earliest = today - timedelta(days=grace_days)
    for year in years:
        if day <= _days_in(year, month) and day > 0:
            candidate = date(year, month, day)
            if candidate <= today if past else candidate >= earliest:
                return candidate
    raise DateUnclear(_no_such_day(typed, day, month, today.year))


def _month(typed: str, written: str, day: int) -> int:
    if not written.isdigit():
        return next(n for n, name in enumerate(MONTHS, 1) if name.casefold().startswith(written))
    if not 1 <= int(written) <= 12:
        swapped = f"; the day stands first: {int(written)}/{day}" if day <= 12 < int(written) <= 31 else ""
        raise DateUnclear(f"“{typed}” has a month {int(written)}, and months run from 1 to 12{swapped}.")
    return int(written)


def _in_year(typed: str, year: int, month: int, day: int, today: date) -> date:
    year += 2000 if year < 100 else 0
    if abs(year - today.year) > YEARS_AWAY:
        raise DateUnclear(f"“{typed}” would be in the year {year}; check the year, and write a time as 9.30 or 14:00.")
    if not 1 <= day <= _days_in(year, month):
        raise DateUnclear(_no_such_day(typed, day, month, year))
    return date(year, month, day)


def _days_in(year: int, month: int) -> int:
    following = date(year + month // 12, month % 12 + 1, 1)
    return (following - date(year, month, 1)).days


def _no_such_day(typed: str, day: int, month: int, year: int) -> str:
    return f"“{typed}” has no day {day}: {MONTHS[month - 1]} {year} has {_days_in(year, month)} days."


def _weekday_name(weekday: re.Match[str]) -> str:
    return next(name for name in DAYS if name.casefold().startswith(weekday["weekday"][:3]))


def _on_weekday(typed: str, day: date, weekday: re.Match[str] | None) -> date:
    """The day, if it falls on the weekday that was typed with it."""
    if weekday and _weekday_name(weekday) != DAYS[day.weekday()]:
        falls = DAYS[day.weekday()]
        raise DateUnclear(
            f"“{typed}” does not fit: {day.day} {MONTHS[day.month - 1]} {day.year} is a {falls}, "
            f"not a {_weekday_name(weekday)}. Which of the two is right?"
        )
    return day


def _next_weekday(typed: str, weekday: re.Match[str], today: date, past: bool) -> date:
    """The day that a weekday alone means; today's own weekday could be today or a week off, so it is not guessed."""
    name = _weekday_name(weekday)
    ahead = (DAYS.index(name) - today.weekday()) % 7
    if weekday["which"] == "next":
        return today + timedelta(days=7 - today.weekday() + DAYS.index(name))
    if weekday["which"] == "last":
        return today + timedelta(days=ahead - 7)
    if ahead == 0:
        other = "last" if past else "next"
        raise DateUnclear(f"Today is a {name}: write “today”, or “{other} {name[:3].lower()}”, instead of “{typed}”.")
    return today + timedelta(days=ahead - 7 if past else ahead)


def _take_time(typed: str, rest: str) -> tuple[time | None, str]:
    """The time of day that is written, and the text without it."""
    found = _TIME.search(rest)
    if not found:
        return None, rest
    hour = int(found["hour"] or found["hour24"] or found["hour0"])
    minute = int(found["minute"] or found["minute24"] or found["minute0"] or 0)
    if hour > (12 if found["half"] else 23) or minute > 59 or (found["half"] and hour == 0):
        raise DateUnclear(f"“{found.group().strip()}” in “{typed}” is no time of day; write it as 9.30, 14:00 or 2pm.")
    if found["half"]:
        hour = hour % 12 + (12 if found["half"] == "pm" else 0)
    elif found["hour24"] and 1 <= hour <= 6 and len(found["hour24"]) == 1:
        raise DateUnclear(
            f"Is {hour}.{minute:02} in “{typed}” {hour}.{minute:02}pm? Write it so, or as {hour + 12}:{minute:02}."
        )
    return time(hour, minute), _cut(rest, found)
