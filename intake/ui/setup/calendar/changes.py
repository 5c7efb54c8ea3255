"""Changes of the setup's file that touch several values at once."""

from collections.abc import Mapping, Sequence
from typing import Any

from intake.domain.calendar_year import Edit
from intake.setup.editing import Place, SetupText
from intake.setup.time_zones import zone_offered, zones_of


def make(edits: Sequence[Edit], text: SetupText) -> None:
    """Makes edits one after the other."""
    for edit in edits:
        if edit.value is None:
            text.take_out(edit.place)
        else:
            text.add(edit.place, edit.value)


def set_values(place: Place, values: Mapping[str, Any], text: SetupText) -> None:
    """Sets several values of one entry."""
    for key, value in values.items():
        text.put((*place, key), value)


def move_to(country: str, zone: str, text: SetupText) -> None:
    """Another country: the part goes with the old one, and so does a zone that does not lie in the new one."""
    text.put(("calendar", "country"), country)
    text.put(("calendar", "subdivision"), None)
    if zone not in zones_of(country):
        text.put(("calendar", "zone"), zone_offered(country, zone) or zone)
