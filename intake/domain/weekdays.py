"""Weekdays as they are typed and written: `Mon-Thu, Sat`. Monday is 0."""

import re
from collections.abc import Sequence

from intake.domain.form_fields import FormWrong
from intake.domain.written_dates import DAYS

_SHORT = tuple(day[:3] for day in DAYS)


def read_weekdays(text: str) -> tuple[int, ...]:
    """The weekdays that are typed, in order; none for an empty text. Raises FormWrong with what would be right."""
    return tuple(sorted({day for word in solid_words(text) for day in days_of(word)}))


def written_weekdays(weekdays: Sequence[int]) -> str:
    """Each run of days from its first to its last: `Mon-Thu, Sat`."""
    runs: list[list[int]] = []
    for day in sorted(set(weekdays)):
        if runs and runs[-1][-1] == day - 1:
            runs[-1].append(day)
        else:
            runs.append([day])
    return ", ".join(_SHORT[run[0]] + (f"-{_SHORT[run[-1]]}" if len(run) > 1 else "") for run in runs)


def solid_words(text: str) -> list[str]:
    """The words between spaces and commas; what a dash joins is one."""
    return re.sub(r"\s*[-–]\s*", "-", text).replace(",", " ").split()


def days_of(word: str) -> Sequence[int]:
    """The days of one word, `Sat` or `Mon-Fri`. Raises FormWrong."""
    first, dash, last = word.partition("-")
    begins, ends = _weekday(first), _weekday(last if dash else first)
    if begins > ends:
        raise FormWrong(f"“{word}” ends before it begins: the week is written from Monday on.")
    return range(begins, ends + 1)


def _weekday(word: str) -> int:
    folded = word.casefold().rstrip(".")
    fits = [at for at, day in enumerate(DAYS) if len(folded) > 1 and day.casefold().startswith(folded)]
    if len(fits) != 1:
        raise FormWrong(f"“{word}” is no weekday. Write Mon, Tue, Wed, Thu, Fri, Sat or Sun.")
    return fits[0]
