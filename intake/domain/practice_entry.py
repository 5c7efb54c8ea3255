"""The entry of a practice as it is typed: each field of the directory as text, and read again."""

from collections.abc import Mapping
from typing import Any

from intake.domain.form_fields import FormWrong
from intake.domain.form_practice import read_code
from intake.domain.practice import OpeningHours, Practice, read_span
from intake.domain.weekdays import days_of, read_weekdays, solid_words, written_weekdays

PLACES = (
    "name",
    "code",
    "address",
    "postcode",
    "telephone",
    "email",
    "prescribers",
    "open_weekdays",
    "hours",
    "service",
    "transit_days",
    "country",
    "subdivision",
    "zone",
    "language",
    "notation",
    "notes",
)
"""The fields, in the order of the form."""
_LINES = ("address", "prescribers")
_CHOSEN = ("service", "country", "subdivision", "zone", "language", "notation")
_MOST_DAYS = 365


def written(practice: Practice) -> dict[str, str]:
    """Each field as text: lists a line each, weekdays as `Mon-Fri`, and nothing where nothing is said."""
    said: dict[str, str] = {place: getattr(practice, place) or "" for place in PLACES if place not in _LINES}
    said |= {place: "\n".join(getattr(practice, place)) for place in _LINES}
    said["open_weekdays"] = written_weekdays(practice.open_weekdays)
    said["hours"] = "\n".join(_written_hours(hours) for hours in practice.hours)
    said["transit_days"] = "" if practice.transit_days is None else str(practice.transit_days)
    return said


def read_entry(place: str, text: str) -> Any:
    """A field's value as the directory keeps it. Raises FormWrong with what would be right."""
    text = text.strip()
    if place in _LINES:
        return tuple(" ".join(line.split()) for line in text.splitlines() if line.strip())
    if place == "name" and not text:
        raise FormWrong("A practice needs a name; it stands on letters and tickets.")
    if place == "code":
        return read_code(text)
    if place == "open_weekdays":
        return _weekdays(text)
    if place == "hours":
        return tuple(_hours(line) for line in text.splitlines() if line.strip())
    if place == "transit_days":
        return _days(text)
    return text or None if place in _CHOSEN else text


def changed(practice: Practice, values: Mapping[str, Any]) -> Practice:
    """A practice with other values in some fields; what is known of its country goes with the country."""
    kept = practice.model_dump() | dict(values)
    if "country" in values and values["country"] != practice.country and "subdivision" not in values:
        kept["subdivision"] = None
    return Practice.model_validate(kept)


def _weekdays(text: str) -> tuple[int, ...]:
    """`Mon-Fri, Sat`. Raises FormWrong."""
    days = read_weekdays(text)
    if not days:
        raise FormWrong("Write at least one day, such as Mon-Fri: on an open day work can be delivered.")
    return days


def _days(text: str) -> int | None:
    if not text:
        return None
    if not text.isdecimal() or int(text) > _MOST_DAYS:
        raise FormWrong(f"Type a number of days from 0 to {_MOST_DAYS}, or nothing for the usual.")
    return int(text)


def _hours(line: str) -> OpeningHours:
    """`Mon-Thu 08:30-12:30, 13:30-17:30`. Raises FormWrong."""
    words = solid_words(line)
    first = next((at for at, word in enumerate(words) if word[:1].isdecimal()), len(words))
    spans = words[first:]
    if not first or not spans:
        raise FormWrong(f"“{line.strip()}”: write the days, then when somebody answers, such as Mon-Fri 09:00-13:00.")
    weekdays = sorted({day for word in words[:first] for day in days_of(word)})
    try:
        for span in spans:
            read_span(span)
    except ValueError as problem:
        raise FormWrong(f"{str(problem).rstrip('.')}.") from None
    return OpeningHours(weekdays=tuple(weekdays), open=tuple(spans))


def _written_hours(hours: OpeningHours) -> str:
    return f"{written_weekdays(hours.weekdays)} {', '.join(hours.open)}"
