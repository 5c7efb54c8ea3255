"""What leaves the store of what waits on practices: calls, answers, promises, returned forms.

`key` is everywhere the practice's: its code in the directory, or “~” and its name as it was written.
"""

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, NamedTuple

from intake.domain.answer import Answer, AnswerKind, Authority, Promise, Route
from intake.store.keys import code_of
from intake.store.words import CallOutcome, ReplyKind, ReplyState


class RingRow(NamedTuple):
    """An open query, with no more than the list of whom to ring needs; there are thousands."""

    query_id: int
    case_id: int
    key: str
    practice_name: str
    requirement: str
    opened: datetime
    reply_by: datetime | None
    """The earliest of the case's jobs."""
    expected_on: date | None
    letter_id: int | None
    letter_on: datetime | None
    """When the newest letter was written."""
    letters: int

    @property
    def practice_code(self) -> str | None:
        """The practice's code, where it is in the directory."""
        return code_of(self.key)


class AttemptRow(NamedTuple):
    """One try to reach a practice by telephone."""

    attempt_id: int
    key: str
    practice_name: str
    at: datetime
    who: str
    outcome: CallOutcome
    telephone: str
    note: str
    ring_back: datetime | None


@dataclass(frozen=True)
class AnswerRow:
    """One answer as it was given; what it says never changes."""

    answer_id: int
    query_id: int
    case_id: int
    key: str
    requirement: str
    appliance: int | None
    at: datetime
    who: str
    """Who took it down."""
    kind: AnswerKind
    answer: Answer
    speaker: str
    authority: Authority
    route: Route
    counts: bool
    """Whether it answers the query; else it is kept as a note."""
    spoken: bool
    """Whether it was given by word of mouth and changes what is made."""
    confirmed: datetime | None
    confirmed_how: str
    letter_id: int | None
    """The newest letter that asks to confirm it."""
    reply_id: int | None
    """The returned form that it came on."""
    taken_back: bool

    @property
    def says(self) -> str:
        """The answer in words."""
        return self.answer.says

    @property
    def written(self) -> str:
        """The answer as it was typed."""
        return self.answer.written


@dataclass(frozen=True)
class ExpectedRow:
    """An open query for which something was promised, with what an arrival is matched by."""

    query_id: int
    case_id: int
    key: str
    practice_code: str | None
    practice_name: str
    requirement: str
    appliance: int | None
    expected_on: date
    expected: str
    promise: Promise
    patient_label: str
    patient_reference: str


@dataclass(frozen=True)
class NewReply:
    """A returned form to be kept, with the file that it came as. `content` is opaque: what was read from it."""

    fingerprint: str
    """Unique for the file, such as its SHA-256, so that it is not taken in twice."""
    kind: ReplyKind
    source_name: str = ""
    letter_id: int | None = None
    key: str | None = None
    problem: str = ""
    content: dict[str, Any] = field(default_factory=dict)
    file: bytes = b""


@dataclass(frozen=True)
class KeptReply:
    """A returned form that was kept; `already` when its fingerprint was known and nothing was written."""

    reply_id: int
    already: bool


@dataclass(frozen=True)
class ReplyRow:
    """A returned form and what became of it."""

    reply_id: int
    fingerprint: str
    source_name: str
    at: datetime
    letter_id: int | None
    key: str | None
    state: ReplyState
    kind: ReplyKind
    problem: str
    content: dict[str, Any]


@dataclass(frozen=True)
class ReplyFile:
    """The file that a returned form came as."""

    name: str
    content: bytes
