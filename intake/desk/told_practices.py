"""What the history says of the directory's practices: taken out, made one and two again, a sentence each."""

from collections.abc import Callable, Mapping

from intake.domain.wording import listed
from intake.store.rows import EventRow


def _taken_out(event: EventRow) -> str:
    return "Taken out of the directory: the import that brought it in was taken back."


_MOVED = {
    "cases": "case",
    "documents": "letter or form",
    "parcels": "parcel",
    "calls": "call",
    "replies": "returned form",
    "senders": "mail address",
}
_SEVERAL = {"documents": "letters and forms", "senders": "mail addresses"}


def moved_words(counts: Mapping[str, int]) -> str:
    """What belongs to a practice, counted: `12 cases, 1 parcel and 3 calls`; empty where nothing does."""
    told = [
        f"{count} {one if count == 1 else _SEVERAL.get(name, f'{one}s')}"
        for name, one in _MOVED.items()
        if (count := counts.get(name, 0))
    ]
    return listed(told) if told else ""


def _moved(event: EventRow) -> str:
    counts = {name: each if isinstance(each, int) else len(each) for name, each in event.details["moved"].items()}
    return moved_words(counts)


def _practice_merged(event: EventRow) -> str:
    moved = _moved(event)
    with_it = f", and with it {moved}" if moved else ""
    return f"{event.details['name']} ({event.details['from']}) became part of this practice{with_it}."


def _practice_merged_into(event: EventRow) -> str:
    return f"Became part of {event.details['name']} ({event.details['into']})."


def _practice_parted(event: EventRow) -> str:
    moved = _moved(event)
    with_it = f", and with it {moved}" if moved else ""
    return f"{event.details['name']} ({event.details['from']}) is a practice of its own again{with_it}."


def _sender_known(event: EventRow) -> str:
    address = (event.personal or {}).get("address", "a mail address")
    return f"What {address} sends is taken for this practice’s from now on."


def _case_practice(event: EventRow) -> str:
    was, now = event.details["changes"]["practice"]
    return f"Its practice {was} is {event.details['name']} ({now}) now: two entries of the directory were made one."


def _case_practice_parted(event: EventRow) -> str:
    was, now = event.details["changes"]["practice"]
    return f"Its practice is {event.details['name']} ({now}) again, and no longer {was}."


SENTENCES: dict[str, Callable[[EventRow], str]] = {
    "practice-taken-out": _taken_out,
    "practice-merged": _practice_merged,
    "practice-merged-into": _practice_merged_into,
    "practice-parted": _practice_parted,
    "sender-known": _sender_known,
    "case-practice-merged": _case_practice,
    "case-practice-parted": _case_practice_parted,
}
