"""The history of a case in sentences."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from intake.desk import told_days, told_links, told_moves, told_parcels, told_setup, told_sheets
from intake.desk.answer_words import who_says
from intake.desk.field_words import field_words, is_told, value_words
from intake.domain.job_number import read_number
from intake.domain.speaking import WAYS
from intake.domain.wording import capital, listed, requirement_name
from intake.domain.written_dates import shown_moment
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
    more = MORE.get(event.kind)
    said = more(event) if more is not None else _SENTENCES[event.kind](_Told(event))
    return said if several else said.replace(" of appliance 1", "")


MORE = (
    told_parcels.SENTENCES
    | told_moves.SENTENCES
    | told_links.SENTENCES
    | told_days.SENTENCES
    | told_sheets.SENTENCES
    | told_setup.SENTENCES
)
"""The sentences of what can be touched."""


class _Told:
    """An event with the parts of it that sentences are made of."""

    def __init__(self, event: EventRow) -> None:
        """Take an event; what was erased by law is not told."""
        self.details, self.personal = event.details, event.personal or {}
        self.number = read_number(event.job).shown if event.job else ""
        self.copy = self.details.get("copy", 1)
        self.ticket = f"Ticket {self.number}" + (f", copy {self.copy}," if self.copy > 1 else "")
        self.letter = f"Query letter {self.details.get('document')}"
        self.blank = f"Blank prescription form {self.details.get('document')}"

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
        """Who took a document, and how it is called there; of an e-mail where it went."""
        if self.details.get("way") == "mail":
            return f"sent by e-mail{self.address}"
        if self.details.get("way") == "draft":
            return f"kept as an e-mail{self.address}, to be sent from a mail program"
        return f"accepted by {self.details.get('queue')} as job {self.details.get('queue_job')}"

    @property
    def done(self) -> str:
        """What it means that a document is done."""
        return f"sent by e-mail{self.address}" if self.way else "printed"

    @property
    def address(self) -> str:
        """Where an e-mail goes."""
        return f" to {self.details['address']}" if self.details.get("address") else ""

    @property
    def way(self) -> str:
        """By which way a document leaves, where that is not the printer."""
        return {"mail": ", by e-mail", "draft": ", as an e-mail draft"}.get(self.details.get("way", "print"), "")

    @property
    def not_done(self) -> str:
        """What did not succeed."""
        return "not sent" if self.way else "not printed"

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

    def judged_by(self) -> str:
        """The edition of the lab setup that judged, where the event knows it."""
        return f" Judged by edition {edition} of the setup." if (edition := self.details.get("edition")) else ""

    def asked(self) -> str:
        """What a letter does for a case: it asks, reminds, has something confirmed."""
        document, reminder = self.details.get("document"), self.details.get("reminder", 0)
        again = f"Asked again in query letter {document}, reminder {reminder}"
        asks = again if reminder else f"Asked in query letter {document}"
        confirms = bool(self.details.get("answers"))
        if confirms and not self.details.get("queries"):
            return f"Asked to confirm what was agreed, in query letter {document}{self.way}."
        return f"{asks}{self.way}.{' It also asks to confirm what was agreed.' if confirms else ''}"

    def rung(self) -> str:
        """A call and what came of it."""
        number = self.details.get("telephone")
        back = self.details.get("ring_back")
        came = _OUTCOMES.get(self.details.get("outcome", ""), "")
        came += f" on {shown_moment(datetime.fromisoformat(back))}" if back else ""
        note = f" Noted: {self.personal['note'].rstrip('.')}." if self.personal.get("note") else ""
        return f"The practice was rung{f' on {number}' if number else ''}: {came}.{note}"

    def answer(self) -> str:
        """What was answered to which question; only the question where the answer was erased by law."""
        words = capital(_query(self.details.get("query", "")))
        return f"{words}: {self.personal['says']}" if self.personal.get("says") else f"{words}: answered"

    def answered(self) -> str:
        """An answer with its source, and whether it counts and has to be confirmed."""
        who = who_says(self.details.get("by", ""), self.details.get("authority", "team"))
        way = WAYS[self.details.get("route", "telephone")]
        kept = "" if self.details.get("counts") else " Kept as a note; the question stays open."
        spoken = " To be confirmed in writing." if self.details.get("spoken") else ""
        return f"{self.answer()}, said {who}, {way}.{kept}{spoken}"

    def taken_back(self) -> str:
        """An answer that no longer holds."""
        return f"Answer taken back. {self.answer()}.{' It is asked again.' if self.details.get('reopened') else ''}"

    def returned(self) -> str:
        """A returned form as it came."""
        letter = f" of query letter {self.details['letter']}" if self.details.get("letter") else ""
        return f"The reply form{letter} {_RETURNED.get(self.details.get('kind', ''), 'came back')}.{self.trouble}"

    @property
    def trouble(self) -> str:
        """What is wrong with a returned form."""
        problem = str(self.personal.get("problem") or "").rstrip(".")
        return f" {capital(problem)}." if problem else ""

    def jobs(self) -> str:
        """The numbers of the jobs that an act concerned."""
        numbers = [read_number(number).shown for number in self.details.get("jobs", ())]
        return f" {'Job' if len(numbers) == 1 else 'Jobs'} {listed(numbers)}." if numbers else ""


_ASKED = (
    ("opened", "To ask"),
    ("answered", "Answered"),
    ("withdrawn", "No longer to ask"),
    ("reworded", "Asked in other words"),
)
_OUTCOMES = {
    "spoke": "spoken to",
    "no-answer": "nobody answered",
    "engaged": "the line was engaged",
    "message-left": "a message was left",
    "ring-back": "it is to be rung back",
    "wrong-number": "the number was wrong",
}
_RETURNED = {
    "form": "came back filled in",
    "flattened": "came back as a printed page, to be read by a person",
    "scanned": "came back as a picture, to be read by a person",
    "altered": "came back altered, so nothing was taken from it",
    "other-case": "came back for another case",
    "again": "came back once more",
    "unreadable": "came back unreadable",
}
_SENTENCES: dict[str, Callable[[_Told], str]] = {
    "arrival-added": lambda told: "Taken in; it waits to be booked in.",
    "arrival-changed": lambda told: "Changed before it was booked in.",
    "arrival-waiting": lambda told: "Put back among what waits.",
    "arrival-dismissed": lambda told: "Taken off the list of what waits.",
    "arrival-set-aside": lambda told: "Set aside.",
    "arrival-booked": lambda told: "Its arrival was taken off the list of what waits.",
    "case-booked": lambda told: f"Booked in.{told.outcome()}{told.judged_by()}",
    "case-amended": lambda told: (
        f"{'Prescription changed' if told.changes() else 'Judged anew'}{told.changes()}."
        f"{told.outcome()}{told.judged_by()}"
    ),
    "case-withdrawn": lambda told: f"Withdrawn{told.because}.{told.jobs()}",
    "case-reinstated": lambda told: f"Taken up again{told.because}.{told.jobs()}",
    "ticket-copied": lambda told: f"Copy {told.copy} of ticket {told.number} asked for{told.because}.",
    "ticket-drawn": lambda told: f"{told.ticket} drawn.",
    "ticket-sent": lambda told: f"{told.ticket} {told.queue}.",
    "ticket-done": lambda told: f"{told.ticket} printed.",
    "ticket-failed": lambda told: f"{told.ticket} not printed: {told.problem}.",
    "letter-added": lambda told: told.asked(),
    "letter-drawn": lambda told: f"{told.letter} written.",
    "letter-sent": lambda told: f"{told.letter} {told.queue}.",
    "letter-done": lambda told: f"{told.letter} {told.done}.",
    "letter-failed": lambda told: f"{told.letter} {told.not_done}: {told.problem}.",
    "letter-cancelled": lambda told: f"{told.letter} was not sent and is cancelled.",
    "blank-added": lambda told: f"{told.blank} asked for{told.way}.",
    "blank-drawn": lambda told: f"{told.blank} drawn.",
    "blank-sent": lambda told: f"{told.blank} {told.queue}.",
    "blank-done": lambda told: f"{told.blank} {told.done}.",
    "blank-failed": lambda told: f"{told.blank} {told.not_done}: {told.problem}.",
    "practice-rung": lambda told: told.rung(),
    "try-taken-back": lambda told: (
        f"The call before was noted by mistake: {_OUTCOMES.get(told.details.get('outcome', ''), '')}."
    ),
    "query-answered": lambda told: told.answered(),
    "query-reopened": lambda told: f"Asked again: {_query(told.details.get('query', ''))}.",
    "answer-taken-back": lambda told: told.taken_back(),
    "answer-confirmed": lambda told: f"Confirmed in writing, {told.details.get('how')}. {told.answer()}.",
    "reply-added": lambda told: told.returned(),
    "reply-taken": lambda told: "The answers of the returned form were taken.",
    "reply-set-aside": lambda told: "The returned form was set aside.",
    "reply-waiting": lambda told: "The returned form waits to be looked at again.",
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
    words = requirement_name(requirement)
    return f"{words} of appliance {int(index[:-1]) + 1}" if bracket else words
