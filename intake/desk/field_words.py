"""The fields of a prescription and their values, as the history and a person call them."""

import re
from datetime import date, datetime
from typing import Any

from intake.domain.teeth import TEETH, describe_teeth
from intake.domain.wording import FIELD_WORDS, listed, measure
from intake.domain.written_dates import DAYS, shown_moment

_WORDS = FIELD_WORDS | {
    "type": "kind",
    "unclear_teeth": "unclear teeth",
    "taken": "day of taking",
    "mm": "measure",
    "source": "way it came",
    "item": "kind",
    "patient.label": "patient’s label",
    "patient.reference": "patient’s reference",
    "patient.found": "name on the bag or tray",
    "condition.seen": "what was seen on opening",
    "condition.note": "note on what was seen",
    "condition.accepted_by": "who took it on in spite of that",
    "patient.under_18": "patient under 18",
    "patient.allergies": "allergies",
    "posted": "day of posting",
    "arrived": "time of arrival",
    "stream": "way it came",
    "state": "state",
    "practice.name": "practice’s name",
    "practice.postcode": "practice’s postcode",
    "practice.telephone": "practice’s telephone",
    "practice.email": "practice’s e-mail",
    "practice.address": "practice’s address",
    "by": "who waived it",
    "name": "name",
    "code": "code",
    "address": "address",
    "postcode": "postcode",
    "telephone": "telephone",
    "email": "e-mail",
    "prescribers": "prescribers",
    "waived.requirement": "what is waived",
    "standing.requirement": "what it is about",
    "standing.source": "who said it",
    "zone": "time zone",
    "says": "words",
    "since": "day it was made",
    "review": "day to go through it again",
    "withdrawn": "day of withdrawal",
    "why_withdrawn": "reason of withdrawal",
    "weekdays": "days",
    "open": "times",
}
_LISTED = {
    "appliances": "appliance",
    "items": "item",
    "waived": "waiver",
    "standing": "standing instruction",
    "hours": "opening hours",
}
_PLACE = re.compile(rf"(?P<list>{'|'.join(_LISTED)})\[(?P<index>\d+)\]\.(?:options\.)?(?P<field>\w+)")
_MOMENT = re.compile(r"\d{4}-\d\d-\d\d(?:T\d\d:\d\d.*)?")
_SILENT = re.compile(r"format|(?:spoken|raised)\[.*")
"""An answer by word of mouth is told where it was given and confirmed, a raised question where it was raised."""


def field_words(path: str) -> str:
    """A field by its path: `appliances[1].options.shade` is “shade of appliance 2”."""
    placed = _PLACE.fullmatch(path)
    if placed is None:
        return _WORDS.get(path, path.replace("_", " ").replace(".", ", "))
    field = placed["field"]
    word = _WORDS.get(f"{placed['list']}.{field}") or _WORDS.get(field, field.replace("_", " "))
    return f"{word} of {_LISTED[placed['list']]} {int(placed['index']) + 1}"


def value_words(path: str, value: Any) -> str:
    """A field's value as it would be read aloud."""
    if value in (None, "", []):
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if path.rpartition(".")[2] in ("open_weekdays", "weekdays"):
        return listed([DAYS[day] for day in value])
    if isinstance(value, list) and path.endswith("address"):
        return f"“{', '.join(value)}”"
    if isinstance(value, list):
        teeth = [str(each) for each in value]
        return describe_teeth(teeth) if all(each in TEETH for each in teeth) else listed(teeth)
    if isinstance(value, int | float):
        return measure(value) if path.endswith("mm") else f"{value:g}"
    if isinstance(value, str) and _MOMENT.fullmatch(value):
        return shown_moment(date.fromisoformat(value) if len(value) == 10 else datetime.fromisoformat(value))
    return f"“{value}”"


def is_told(path: str) -> bool:
    """Whether a change of this field says anything to a person."""
    return _SILENT.fullmatch(path) is None
