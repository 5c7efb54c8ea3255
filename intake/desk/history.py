"""The history of a case in sentences."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from intake.desk.field_words import field_words, is_told, value_words
from intake.domain.job_number import read_number
from intake.domain.wording import listed
from intake.store.rows import EventRow

MOST = 6
"""So many changed fields are told one by one."""


@dataclass(frozen=True)
class Said:
    """One thing that happened."""

    at: datetime
    who: str
    what: str


def told(events: Sequence[EventRow], several: bool = True) -> tuple[Said, ...]:
    """Events as sentences, oldest first; `several` when the case has more than one appliance to tell apart."""
    return tuple(Said(event.at, event.who, sentence(event, several)) for event in events)


def sentence(event: EventRow, several: bool = True) -> str:
    """One event as a sentence."""
    said = _SENTENCES[event.kind](_Told(event))
    return said if several else said.replace(" of appliance 1", "")


class _Told:
    """An event with the parts of it that sentences are made of."""

    def __init__(self, event: EventRow) -> None:
        """Take an event; what was erased by law is not told."""
        self.details, self.personal = event.details, event.personal or {}
        self.number = read_number(event.job).shown if event.job else ""
        self.copy = self.details.get("copy", 1)
        self.ticket = f"Ticket {self.number}" + (f", copy {self.copy}," if self.copy > 1 else "")

    @property
    def is_new(self) -> bool:
        """Whether the event is the first of a practice, which then had no code yet."""
        return "code" in self.details.get("changes", {})

    @property
    def because(self) -> str:
        """The reason that was given, behind a colon."""
        reason = self.personal.get("reason") or self.details.get("reason") or ""
        return f": {reason}" if reason else ""

    @property
    def queue(self) -> str:
        """What the queue said when it took a document."""
        return f"accepted by {self.details.get('queue')} as job {self.details.get('queue_job')}"

    @property
    def problem(self) -> str:
        """Why something was not printed."""
        return str(self.details.get("problem") or "the reason is not known").rstrip(".")

    def changes(self) -> str:
        """The changed fields with what they were and are, behind a colon."""
        changed = {**self.details.get("changes", {}), **self.personal.get("changes", {})}
        parts = [_change(field, *both) for field, both in changed.items() if is_told(field)]
        more = [f"{len(parts) - MOST} more"] if len(parts) > MOST else []
        return f": {'; '.join(parts[:MOST] + more)}" if parts else ""

    def outcome(self) -> str:
        """What a booking or a change made of the jobs and the questions."""
        asked: Mapping[str, list[str]] = self.details.get("queries", {})
        parts = [_job_change(number, changed) for number, changed in self.details.get("jobs", {}).items()]
        parts += [f"{words}: {listed([_query(name) for name in asked[key]])}" for key, words in _ASKED if key in asked]
        return "".join(f" {part}." for part in parts if part)

    def jobs(self) -> str:
        """The numbers of the jobs that an act concerned."""
        numbers = [read_number(number).shown for number in self.details.get("jobs", ())]
        return f" {'Job' if len(numbers) == 1 else 'Jobs'} {listed(numbers)}." if numbers else ""


_ASKED = (("opened", "To ask"), ("withdrawn", "No longer to ask"), ("reworded", "Asked in other words"))
_SENTENCES: dict[str, Callable[[_Told], str]] = {
    "arrival-added": lambda told: "Taken in; it waits to be booked in.",
    "arrival-changed": lambda told: "Changed before it was booked in.",
    "arrival-waiting": lambda told: "Put back among what waits.",
    "arrival-dismissed": lambda told: "Taken off the list of what waits.",
    "arrival-set-aside": lambda told: "Set aside.",
    "arrival-booked": lambda told: "Its arrival was taken off the list of what waits.",
    "case-booked": lambda told: f"Booked in.{told.outcome()}",
    "case-amended": lambda told: (
        f"{'Prescription changed' if told.changes() else 'Judged anew'}{told.changes()}." + told.outcome()
    ),
    "case-withdrawn": lambda told: f"Withdrawn{told.because}.{told.jobs()}",
    "case-reinstated": lambda told: f"Taken up again{told.because}.{told.jobs()}",
    "ticket-copied": lambda told: f"Copy {told.copy} of ticket {told.number} asked for{told.because}.",
    "ticket-drawn": lambda told: f"{told.ticket} drawn.",
    "ticket-sent": lambda told: f"{told.ticket} {told.queue}.",
    "ticket-done": lambda told: f"{told.ticket} printed.",
    "ticket-failed": lambda told: f"{told.ticket} not printed: {told.problem}.",
    "letter-added": lambda told: f"Asked in query letter {told.details.get('document')}.",
    "letter-drawn": lambda told: f"Query letter {told.details.get('document')} written.",
    "letter-sent": lambda told: f"Query letter {told.details.get('document')} {told.queue}.",
    "letter-done": lambda told: f"Query letter {told.details.get('document')} printed.",
    "letter-failed": lambda told: f"Query letter {told.details.get('document')} not printed: {told.problem}.",
    "practice-saved": lambda told: (
        f"{'Entered in the' if told.is_new else 'Changed in the'} directory{told.changes()}."
    ),
}


def _change(field: str, before: Any, after: Any) -> str:
    if before in (None, "", []):
        return f"{field_words(field)} {value_words(field, after)}"
    return f"{field_words(field)} from {value_words(field, before)} to {value_words(field, after)}"


def _job_change(number: str, changed: Mapping[str, list[Any]]) -> str:
    """What became of a job: its state when that changed, its day when only that did."""
    shown = read_number(number).shown
    before, after = changed.get("state", (None, None))
    if before is None and after is not None:
        name = changed.get("category_name", ("", ""))[1]
        return f"Job {shown}, {name}, {after}"
    if after is not None:
        return f"Job {shown} is {after}, was {before}"
    if "must_leave" in changed:
        days = [value_words("must_leave", day) for day in changed["must_leave"]]
        return f"Job {shown} must leave {days[1]}, not {days[0]}"
    return ""


def _query(name: str) -> str:
    """A question by its name in the event: `thickness[1]` is “thickness of appliance 2”."""
    requirement, bracket, index = name.partition("[")
    words = requirement.replace("-", " ")
    return f"{words} of appliance {int(index[:-1]) + 1}" if bracket else words
