"""The time zones of a country, from the IANA time zone database's `zone.tab`."""

from functools import lru_cache
from importlib.resources import files

_MAIN = ("most areas", "mainland")


def zones_of(country: str) -> tuple[str, ...]:
    """The zones of a country by its ISO 3166 code, the one in which most of it lies first; none where it is not known.

    `zone.tab` has no such order, but its comments name the main zone of a country that has several.
    """
    rows = _table().get(country, [])
    first = [zone for zone, comment in rows if any(words in comment for words in _MAIN)]
    return tuple(dict.fromkeys([*first, *(zone for zone, _ in rows)]))


def zone_offered(country: str, of_this_computer: str) -> str | None:
    """The zone to offer for a country: this computer's own where it lies there, else the country's main one."""
    zones = zones_of(country)
    return of_this_computer if of_this_computer in zones else next(iter(zones), None)


@lru_cache(maxsize=1)
def _table() -> dict[str, list[tuple[str, str]]]:
    """Country code to its zones, each with its comment. Columns: code, coordinates, zone, comment."""
    table: dict[str, list[tuple[str, str]]] = {}
    for line in files("tzdata").joinpath("zoneinfo/zone.tab").read_text(encoding="utf-8").splitlines():
        if line and not line.startswith("#"):
            code, _, zone, *comment = line.split("\t")
            table.setdefault(code, []).append((zone, " ".join(comment)))
    return table
