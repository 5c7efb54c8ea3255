"""The fields of the calendar as they are typed, and read again."""

import re
from collections.abc import Callable
from datetime import date, datetime, time
from typing import Any

from intake.domain.form_fields import FormWrong
from intake.domain.weekdays import read_weekdays
from intake.domain.written_dates import DateUnclear, read_moment

MOST_DAYS = 365
Reader = Callable[[str, date], Any]
"""What is typed and today's date, to a value. Raises FormWrong with what would be right."""


def weekdays(text: str, today: date) -> list[int]:
    """`Mon-Fri`, as the file keeps it."""
    days = read_weekdays(text)
    if not days:
        raise FormWrong("Write at least one day, such as Mon-Fri.")
    return list(days)


def clock(text: str, today: date) -> time:
    """`12`, `12:30`, `9.15`."""
    match = re.fullmatch(r"\s*(\d{1,2})(?:[:.](\d\d))?(?::00)?\s*", text)
    if match is None or int(match[1]) > 23 or int(match[2] or 0) > 59:
        raise FormWrong(
            f"“{text.strip()}” is no time of day; write it as 12:00." if text.strip() else "Write it as 12:00."
        )
    return time(int(match[1]), int(match[2] or 0))


def count(text: str, today: date) -> int:
    """A number of days from 0 to a year."""
    if not text.strip().isdecimal() or int(text) > MOST_DAYS:
        raise FormWrong(f"Type a number of days from 0 to {MOST_DAYS}.")
    return int(text)


def day(text: str, today: date) -> date:
    """`24 dec`, `24/12/2026`."""
    try:
        read = read_moment(text, today)
    except DateUnclear as problem:
        raise FormWrong(str(problem)) from None
    if isinstance(read, datetime):
        raise FormWrong("A day is wanted here, without a time; write it as 24 dec.")
    return read


def words(text: str, today: date) -> str:
    """A name, which cannot be empty."""
    name = " ".join(text.split())
    if not name:
        raise FormWrong("Write a name; it stands wherever the reason is said.")
    return name
