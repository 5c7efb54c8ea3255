"""The history of cases that belong together in sentences."""

from collections.abc import Callable, Sequence

from intake.domain.job_number import read_number
from intake.domain.wording import capital, listed
from intake.store.rows import EventRow


def _split(event: EventRow) -> str:
    if event.details.get("is_new"):
        return f"Split off from {_other(event)}{_because(event)}."
    return f"Part of it was split off: it is {_other(event)} now{_because(event)}."


def _merged(event: EventRow) -> str:
    if event.details.get("is_new"):
        return f"The same as {_other(event)}, which stands{_because(event)}."
    return f"Merged with {_other(event)}, the same case{_because(event)}.{_differs(event)}"


def _remade(event: EventRow) -> str:
    if event.details.get("is_new"):
        return f"Remake of {_other(event)}{_because(event)}."
    return f"Made again as {_other(event)}{_because(event)}."


def _taken_back(event: EventRow) -> str:
    what = {"split": "split off from", "merged": "merged with", "remake": "made again with"}
    return f"Taken back: it is no longer {what.get(event.details.get('link_kind', ''), 'linked to')} {_other(event)}."


def _returned(event: EventRow) -> str:
    items = event.details.get("items") or ()
    back = f" {capital(listed(list(items)))} {'goes' if len(items) == 1 else 'go'} back." if items else ""
    return f"Sent back to the practice{_because(event)}.{back}"


def _replaced_scanned(event: EventRow) -> str:
    number = read_number(event.job).shown if event.job else ""
    return f"A replaced ticket, copy {event.details.get('copy')} of {number}, was scanned by {event.who}."


def _questions_moved(event: EventRow) -> str:
    words = dict.fromkeys(str(row[2]).replace("-", " ") for row in event.details.get("queries", ()))
    return f"Questions that were asked already follow what they are about: {listed(list(words))}."


def _other(event: EventRow) -> str:
    numbers: Sequence[str] = event.details.get("other") or ()
    return listed([read_number(number).shown for number in numbers]) if numbers else "another case"


def _because(event: EventRow) -> str:
    reason = str((event.personal or {}).get("reason", "")).strip().rstrip(".")
    return f": {reason}" if reason else ""


def _differs(event: EventRow) -> str:
    """What two merged cases said otherwise."""
    told = (event.personal or {}).get("differs") or ()
    parts = [f"{field} stays {mine}, the other said {theirs}" for field, mine, theirs in told]
    return f" {capital('; '.join(parts))}." if parts else ""


SENTENCES: dict[str, Callable[[EventRow], str]] = {
    "query-moved": _questions_moved,
    "case-split": _split,
    "case-merged": _merged,
    "case-remade": _remade,
    "link-taken-back": _taken_back,
    "case-returned": _returned,
    "ticket-replaced-scanned": _replaced_scanned,
}
"""The sentence of each kind of event."""
