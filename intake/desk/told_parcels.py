"""The history of parcels in sentences."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

from intake.domain.hygiene import DoneHere
from intake.domain.parcels import (
    INCIDENT_WORDS,
    PARCEL_HYGIENE_WORDS,
    WAY_WORDS,
    in_it,
    seen_words,
)
from intake.domain.wording import capital
from intake.domain.written_dates import shown_moment
from intake.store.rows import EventRow

_FIELDS = {
    "way": "the way it came",
    "label": "its label",
    "service": "its service",
    "practice_name": "its practice",
    "hygiene": "what is known of disinfection",
    "seen": "what was seen",
    "note": "its note",
    "accepted_by": "who took it on",
}


def _parcel(event: EventRow) -> str:
    """`Parcel 12, RR123456785GB,`, or without its label where it has none."""
    label = event.details.get("label")
    return f"Parcel {event.details.get('parcel')}" + (f", {label}," if label else "")


def _became(words: str) -> Callable[[EventRow], str]:
    return lambda event: f"{_parcel(event)} {words}."


def _opened(event: EventRow) -> str:
    changes = event.details.get("changes", {})
    way = WAY_WORDS.get(_after(changes, "way"), "")
    practice, seen = _after(changes, "practice_name"), seen_words(_after(changes, "seen") or ())
    parts = [f"{_parcel(event)} opened", way, f"from {practice}" if practice else "", f"seen: {seen}" if seen else ""]
    return f"{', '.join(filter(None, parts)).replace(',,', ',')}."


def _changed(event: EventRow) -> str:
    changed = {**event.details.get("changes", {}), **(event.personal or {}).get("changes", {})}
    told = [f"{words} {_value(name, changed[name][1])}" for name, words in _FIELDS.items() if name in changed]
    return f"{_parcel(event)} corrected{': ' + '; '.join(told) if told else ''}."


def _refused(event: EventRow) -> str:
    return f"{_parcel(event)} refused, and goes back{_why(event)}."


def _stopped(event: EventRow) -> str:
    return f"{_parcel(event)} stopped{_why(event)}."


def _came(event: EventRow) -> str:
    details, note = event.details, (event.personal or {}).get("note", "")
    at = shown_moment(datetime.fromisoformat(details["at"])) if details.get("at") else ""
    seen = seen_words(details.get("seen") or ())
    parts = [f"It came in parcel {details.get('parcel')}", str(details.get("label") or ""), at]
    parts.append(f"opened by {details.get('opened_by')}")
    said = f"{', '.join(filter(None, parts))}."
    return said + (f" Seen on opening: {seen}{f' ({note})' if note else ''}." if seen else "")


def _added(event: EventRow) -> str:
    found = (event.personal or {}).get("found")
    kind = in_it(event.details.get("kind", "other"))
    return f"Parcel {event.details.get('parcel')}: {kind}{f', on it “{found}”' if found else ''}, logged."


def _entry(words: str) -> Callable[[EventRow], str]:
    def told(event: EventRow) -> str:
        reason = (event.personal or {}).get("reason", "")
        which = f"Parcel {event.details.get('parcel')}, entry {event.details.get('position')}"
        return f"{which}: {words}{f': {reason.rstrip(chr(46))}' if reason else ''}."

    return told


def _disinfected(event: EventRow) -> str:
    return f"{capital(_done(event))}."


def _done(event: EventRow) -> str:
    details = event.details
    done = DoneHere(details.get("agent", ""), details.get("minutes", 0), details.get("by", ""), event.at)
    of_parcel = f", with all of parcel {details['parcel']}" if details.get("parcel") else ""
    return f"{done.says}{of_parcel}"


def _incident(words: str) -> Callable[[EventRow], str]:
    def told(event: EventRow) -> str:
        kind = INCIDENT_WORDS.get(event.details.get("kind", "other"), "Something else").lower()
        parcel = f" of parcel {event.details['parcel']}" if event.details.get("parcel") else ""
        what = (event.personal or {}).get("what", "")
        by = f" by {event.details['by']}" if event.details.get("by") else ""
        return f"Incident {event.details.get('incident')}{parcel} ({kind}) {words}{by}{f': {what}' if what else ''}."

    return told


def _after(changes: dict[str, Any], field: str) -> Any:
    return changes.get(field, [None, None])[1]


def _value(field: str, value: Any) -> str:
    if value in (None, "", []):
        return "nothing"
    if field == "seen":
        return seen_words(value)
    known = {"way": dict(WAY_WORDS), "hygiene": {str(each): said for each, said in PARCEL_HYGIENE_WORDS.items()}}
    return known.get(field, {}).get(str(value), f"“{value}”")


def _why(event: EventRow) -> str:
    why = _after((event.personal or {}).get("changes", {}), "why")
    return f": {why.rstrip('.')}" if why else ""


SENTENCES: dict[str, Callable[[EventRow], str]] = {
    "parcel-opened": _opened,
    "parcel-changed": _changed,
    "parcel-done": _became("finished: everything in it has a case or a reason"),
    "parcel-open-again": _became("is not finished any more"),
    "parcel-refused": _refused,
    "parcel-kept-after-all": _became("kept after all"),
    "parcel-stopped": _stopped,
    "parcel-gone-on": _became("gone on with"),
    "parcel-taken-back": _became("was entered by mistake, and taken back"),
    "parcel-photographed": lambda event: (
        f"Photograph {event.details.get('file')} of parcel {event.details.get('parcel')} kept."
    ),
    "photograph-taken-out": lambda event: (
        f"Photograph {event.details.get('file')} of parcel {event.details.get('parcel')} taken out."
    ),
    "photograph-put-back": lambda event: (
        f"Photograph {event.details.get('file')} of parcel {event.details.get('parcel')} put back."
    ),
    "came-in-parcel": _came,
    "content-added": _added,
    "content-taken-out": _entry("entered by mistake, and taken out"),
    "content-put-back": _entry("put back"),
    "content-settled": _entry("has no case"),
    "content-open-again": _entry("waits for a case again"),
    "content-joined": _entry("put together with what belongs to it"),
    "disinfected": _disinfected,
    "disinfection-taken-back": lambda event: f"Entered by mistake, and taken back: {_done(event)}.",
    "incident-added": _incident("written down"),
    "incident-changed": _incident("added to"),
    "incident-closed": _incident("closed"),
    "incident-reopened": _incident("opened again"),
}
"""The sentence of each kind of event."""
