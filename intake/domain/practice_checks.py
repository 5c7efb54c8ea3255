"""What of a practice's entry cannot stand, field by field, before it is kept."""

import re
from collections.abc import Callable, Collection
from functools import lru_cache
from itertools import pairwise
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from intake.domain.bank_holidays import HolidaysUnknown, refuse_unknown
from intake.domain.lab import Lab
from intake.domain.practice import OpeningHours, Practice, read_span
from intake.domain.telephone import is_dialled
from intake.domain.wording import listed
from intake.domain.written_dates import DAYS

_MAIL = re.compile(r"[^\s@,;<>()]+@[^\s@,;<>()]+\.[^\s@,;<>().]{2,}")
"""One address alone, with a domain that has a dot. RFC 5322 allows more; no practice writes it so."""


def faults(practice: Practice, lab: Lab, fields: Collection[str] | None = None) -> dict[str, str]:
    """Each field that cannot stand, with a sentence that says what would be right.

    Args:
        practice: The entry.
        lab: The setup that it has to fit: its services, its languages and its country.
        fields: Only these are looked at, and what hangs on them; None for all.
    """
    asked = set(_CHECKS) if fields is None else {also for each in fields for also in (each, *_WITH.get(each, ()))}
    found = {field: _CHECKS[field](practice, lab) for field in _CHECKS if field in asked}
    return {field: why for field, why in found.items() if why}


def _telephone(practice: Practice, lab: Lab) -> str:
    text, country = practice.telephone, practice.country or lab.calendar.country
    if not text or is_dialled(text, country):
        return ""
    if re.fullmatch(r"\d(?:[.,]\d+)?E\+?\d+", text, re.IGNORECASE):
        return f"“{text}” is a number that a spreadsheet has cut short. Type the whole telephone number as text."
    return f"“{text}” cannot be dialled in {country}. Write the whole number with its area code, or with + in front."


def _email(practice: Practice, _lab: Lab) -> str:
    if not practice.email or _MAIL.fullmatch(practice.email):
        return ""
    return f"“{practice.email}” is no e-mail address; it is written as desk@practice.example."


def _open_weekdays(practice: Practice, _lab: Lab) -> str:
    if practice.open_weekdays:
        return ""
    return "Write at least one day, such as Mon-Fri: on an open day work can be delivered."


def _hours(practice: Practice, _lab: Lab) -> str:
    return _overlap(practice.hours)


def _zone(practice: Practice, _lab: Lab) -> str:
    if not practice.zone or _zone_known(practice.zone):
        return ""
    return f"There is no time zone “{practice.zone}”; it is written as Europe/Dublin."


def _country(practice: Practice, _lab: Lab) -> str:
    return _holidays(practice.country, None) if practice.country else ""


def _subdivision(practice: Practice, lab: Lab) -> str:
    if not practice.subdivision or _country(practice, lab):
        return ""
    return _holidays(practice.country or lab.calendar.country, practice.subdivision)


def _service(practice: Practice, lab: Lab) -> str:
    return _of_setup(practice.service, "service", [each.name for each in lab.deadlines.services])


def _language(practice: Practice, lab: Lab) -> str:
    return _of_setup(practice.language, "language", list(lab.languages))


_CHECKS: dict[str, Callable[[Practice, Lab], str]] = {
    "telephone": _telephone,
    "email": _email,
    "open_weekdays": _open_weekdays,
    "hours": _hours,
    "service": _service,
    "country": _country,
    "subdivision": _subdivision,
    "zone": _zone,
    "language": _language,
}
"""By field, why it cannot stand; empty where it can."""
_WITH = {"country": ("telephone", "subdivision")}
"""What hangs on another field."""


@lru_cache(maxsize=1024)
def _overlap(hours: tuple[OpeningHours, ...]) -> str:
    """Why hours cannot stand together; empty where they can."""
    for weekday, day in enumerate(DAYS):
        spans = sorted(read_span(text) for each in hours if weekday in each.weekdays for text in each.open)
        for (_, closes), (opens, _) in pairwise(spans):
            if opens < closes:
                return f"On {day} two stretches overlap at {opens:%H:%M}."
    return ""


@lru_cache(maxsize=1024)
def _zone_known(zone: str) -> bool:
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


@lru_cache(maxsize=1024)
def _holidays(country: str, subdivision: str | None) -> str:
    try:
        refuse_unknown(country, subdivision)
    except HolidaysUnknown as problem:
        return str(problem)
    return ""


def _of_setup(said: str | None, what: str, known: list[str]) -> str:
    if not said or said in known:
        return ""
    there = f"it has {listed(known)}" if known else f"it has no {what} yet"
    return f"“{said}” is no {what} of the lab setup; {there}."
