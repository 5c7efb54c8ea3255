"""Bank holidays by country and part of it, from the `holidays` library.

The library lists a holiday that falls on a weekend beside its substitute day: Boxing Day on Sat 26 Dec 2026 and the
substitute on Mon 28 Dec. The UK government's own list has the substitute alone. Both are kept here: Christmas Day is no
delivery day for being a Saturday, and on a calendar without weekends the entry changes nothing. A lab that does work
such a day names it among its worked days. A one-off holiday that the library does not know yet the lab adds as a
closure.

A year is known only where every holiday of it has a date. The library lists a country up to a year that is far off, but
of holidays that go by the moon it has dates for fewer years (Diwali up to 2035), and leaves them out in the others
without a word; such a year counts as not known. Dates of the Islamic calendar that are reckoned ahead of the sighting
of the moon bear “(estimated)” in their names.
"""

import warnings
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from intake.domain.wording import listed
from intake.errors import IntakeError

if TYPE_CHECKING:
    from holidays import HolidayBase

_NAMED = 3
"""So many holidays without a date are named."""
_BY_THE_MOON = "_add_eastern_calendar_holiday"
_WORDS = {"and": "and", "da": "da", "of": "of", "the": "the", "dr": "DR", "hongkong": "Hong Kong"}


class HolidaysUnknown(IntakeError):
    """No bank holidays are known for a country, a part of it or a year."""


@dataclass(frozen=True, order=True)
class Part:
    """A part of a country with bank holidays of its own."""

    name: str
    code: str


@dataclass(frozen=True, order=True)
class Country:
    """A country whose bank holidays are known: its English name, its ISO 3166 code and its parts."""

    name: str
    code: str
    parts: tuple[Part, ...] = ()


@lru_cache(maxsize=1024)
def bank_holidays(country: str, subdivision: str | None, year: int) -> Mapping[date, str]:
    """The bank holidays of a year with their names, in English where the library has them in English.

    Args:
        country: ISO 3166 code, such as `GB`.
        subdivision: a part of the country by its code, such as `SCT`; None for what all parts share.
        year: the year of the Gregorian calendar.

    Raises:
        HolidaysUnknown: the library does not know the country, the part or the year, or has no date for one of its
            holidays in that year. A country that truly has no days off in a known year gives an empty mapping.
    """
    known = _known(country, subdivision)
    if not known.start_year <= year <= known.end_year:
        raise HolidaysUnknown(
            f"{_name(country)}: bank holidays are known from {known.start_year} to {known.end_year}, not for {year}. "
            "Check the year; where it is right, a newer Intake may know it."
        )
    days, undated = _days_of(country, subdivision, year, _language(known))
    if undated:
        raise HolidaysUnknown(
            f"{_name(country)}: the bank holidays of {year} are not all known, so no date can be counted there; there "
            f"is none for {listed([*undated[:_NAMED], *(['others'] if len(undated) > _NAMED else [])])}."
        )
    return MappingProxyType({day: name.replace("(observed)", "(substitute day)") for day, name in sorted(days.items())})


def refuse_unknown(country: str, subdivision: str | None) -> None:
    """Raises HolidaysUnknown where no bank holidays are known for a country, or for that part of it."""
    _known(country, subdivision)


def known_until(country: str, subdivision: str | None, year: int, most: int = 10) -> int | None:
    """The last year, of so many from a year on, up to which the bank holidays are known without a gap.

    None where those of the first year are not known already, or the country or its part is not.
    """
    last = None
    for each in range(year, year + most):
        try:
            bank_holidays(country, subdivision, each)
        except HolidaysUnknown:
            break
        last = each
    return last


@lru_cache(maxsize=1)
def countries() -> tuple[Country, ...]:
    """All countries whose bank holidays are known, by name, each with its parts."""
    from holidays.registry import COUNTRIES  # slow to import: see bank_holidays

    return tuple(sorted(_country(name, str(codes[1])) for name, codes in COUNTRIES.items()))


def _days_of(
    country: str, subdivision: str | None, year: int, language: str | None
) -> tuple[dict[date, str], list[str]]:
    """A year's holidays with their names, and the names of those for which the library has no date in that year."""
    import holidays  # 60 ms, and a first window is painted before any date is counted

    days: Any = holidays.country_holidays(country, subdiv=subdivision, language=language)
    undated: list[str] = []
    # All holidays by the moon are added here; one without a date is left out, and nothing is said.
    added = getattr(days, _BY_THE_MOON, None)

    def add(name: str, dated: tuple[date | None, bool], **how: Any) -> date | None:
        if dated[0] is None:
            undated.append(days.tr(name))
        return added(name, dated, **how) if added is not None else None

    if added is not None:
        setattr(days, _BY_THE_MOON, add)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of one country the library does say it, by a warning
        date(year, 1, 1) in days  # noqa: B015 - asking for one day fills in its year
    return {day: name for day, name in days.items() if day.year == year}, list(dict.fromkeys(undated))


@lru_cache(maxsize=64)
def _known(country: str, subdivision: str | None) -> "HolidayBase":
    """The library's own calendar of a country, empty."""
    import holidays  # slow to import: see bank_holidays

    try:
        known = holidays.country_holidays(country)
    except NotImplementedError:
        raise HolidaysUnknown(
            f"No bank holidays are known for the country “{country}”. Give its two-letter code, such as GB or IE."
        ) from None
    aliases = known.subdivisions_aliases
    if subdivision is not None and subdivision not in {*known.subdivisions, *aliases, *aliases.values()}:
        choices = ", ".join(known.subdivisions)
        raise HolidaysUnknown(
            f"{_name(country)} has no part “{subdivision}” with bank holidays of its own. "
            + (f"Give one of {choices}, or leave the part empty." if choices else "Leave the part empty.")
        )
    return known


def _language(known: "HolidayBase") -> str | None:
    """English, British if there is a choice, else the country's own; never whatever the machine is set to."""
    return next((lang for lang in ("en_GB", "en_US") if lang in known.supported_languages), known.default_language)


@lru_cache(maxsize=1)
def _names() -> dict[str, str]:
    return {country.code: country.name for country in countries()}


def _name(code: str) -> str:
    return _names().get(code, code)


def _country(registered: str, code: str) -> Country:
    name = " ".join(_WORDS.get(word, word.capitalize()) for word in registered.split("_"))
    return Country(name, code, _parts(code))


def _parts(code: str) -> tuple[Part, ...]:
    known = _known(code, None)
    names = {part: name for name, part in reversed(known.subdivisions_aliases.items())}
    return tuple(sorted(Part(names.get(part, part), part) for part in known.subdivisions))
