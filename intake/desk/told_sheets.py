"""The history of sheets in sentences: notes of return, stickers, codes, day sheets and pour lists."""

from collections.abc import Callable
from functools import partial

from intake.desk.sheets import TITLES
from intake.store.rows import EventRow

_KINDS = ("return-note", "stickers", "bench-codes", "box-labels", "day-sheet", "pour-list")


def _told(kind: str, became: str, event: EventRow) -> str:
    title, details = f"{TITLES[kind]} {event.details.get('document')}", event.details
    match became:
        case "sent":
            return f"{title} accepted by {details.get('queue')} as job {details.get('queue_job')}."
        case "failed":
            return f"{title} not printed: {str(details.get('problem') or 'the reason is not known').rstrip('.')}."
        case _:
            return f"{title} {_BECAME[became]}."


_BECAME = {"added": "asked for", "drawn": "drawn", "done": "printed", "cancelled": "cancelled"}
SENTENCES: dict[str, Callable[[EventRow], str]] = {
    f"{kind}-{became}": partial(_told, kind, became) for kind in _KINDS for became in (*_BECAME, "sent", "failed")
}
"""The sentence of each kind of event."""
