"""What the history says of the lab setup, of people and of practices that became one, a sentence each."""

from collections.abc import Callable

from intake.desk import told_practices
from intake.desk.recount_words import change_words
from intake.domain.job_number import read_number
from intake.store.rows import EventRow


def _setup_in_force(event: EventRow) -> str:
    note = f": {event.details['note']}" if event.details["note"] else ""
    return f"Edition {event.details['edition']} of the lab setup put in force{note}."


def _person_entered(event: EventRow) -> str:
    return f"{event.details['name']} ({event.details['initials']}) works at the desk: {event.details['role']}."


def _person_changed(event: EventRow) -> str:
    told = event.details
    stays = told["role"] if told["active"] else "works here no more"
    return f"{told['name']} ({told['initials']}): {stays}."


def _pin_set(event: EventRow) -> str:
    return f"A new PIN for {event.details['initials']}."


def _pin_taken(event: EventRow) -> str:
    return f"The PIN of {event.details['initials']} taken."


def _pin_wrong(event: EventRow) -> str:
    closed = event.details["closed_until"]
    return f"A wrong PIN for {event.details['initials']}" + (", who is shut out for a while." if closed else ".")


def _dates_recounted(event: EventRow) -> str:
    number = read_number(event.job).shown if event.job else ""
    edition = event.details["edition"]
    by = f" by edition {edition} of the lab setup" if edition is not None else ""
    changed = change_words(event.details["changes"])
    return f"Dates of {number} counted anew{by}: {changed or 'other days at the benches'}."


SENTENCES: dict[str, Callable[[EventRow], str]] = {
    "setup-in-force": _setup_in_force,
    "person-entered": _person_entered,
    "person-changed": _person_changed,
    "pin-set": _pin_set,
    "pin-taken": _pin_taken,
    "pin-wrong": _pin_wrong,
    "dates-recounted": _dates_recounted,
} | told_practices.SENTENCES
