"""What leaves the store: frozen rows. Times are the lab's wall clock, numbers are digits."""

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from intake.domain.case import Case
from intake.domain.job_number import JobNumber
from intake.domain.practice import Practice
from intake.domain.verdict import Deadlines
from intake.store.waiting_rows import AnswerRow as AnswerRow
from intake.store.waiting_rows import AttemptRow as AttemptRow
from intake.store.waiting_rows import ExpectedRow as ExpectedRow
from intake.store.waiting_rows import KeptReply as KeptReply
from intake.store.waiting_rows import NewReply as NewReply
from intake.store.waiting_rows import ReplyFile as ReplyFile
from intake.store.waiting_rows import ReplyRow as ReplyRow
from intake.store.waiting_rows import RingRow as RingRow
from intake.store.words import ArrivalState, CaseState, DocumentKind, DocumentState, JobState, QueryState, Stream, Way

Details = dict[str, Any]


@dataclass(frozen=True)
class PracticeRow:
    """A practice of the directory with its version."""

    practice: Practice
    version: int


@dataclass(frozen=True)
class NewArrival:
    """An arrival to be kept. `prescription` is opaque: a case, or a half-typed form."""

    stream: Stream
    arrived: datetime
    practice: str = ""
    patient_label: str = ""
    patient_reference: str = ""
    prescription: Details = field(default_factory=dict)
    problem: str = ""
    source_name: str = ""
    fingerprint: str | None = None
    """Unique for what is taken in, such as the SHA-256 of a file, so that it is not taken in twice."""


@dataclass(frozen=True)
class ArrivalRow:
    """An arrival as it waits, or what became of it."""

    arrival_id: int
    stream: Stream
    arrived: datetime
    practice: str
    patient_label: str
    patient_reference: str
    prescription: Details
    problem: str
    source_name: str
    fingerprint: str | None
    state: ArrivalState
    case_id: int | None
    version: int


@dataclass(frozen=True)
class TakenIn:
    """An arrival that was kept; `already` when its fingerprint was known and nothing was written."""

    arrival_id: int
    already: bool


@dataclass(frozen=True)
class CaseRow:
    """A case as it stands."""

    case_id: int
    version: int
    state: CaseState
    case: Case
    practice_code: str | None
    """The practice's code when the directory has it."""
    practice_name: str
    stream: Stream
    arrived: datetime
    pour_by: datetime | None
    booked: datetime
    edition: int | None
    """The edition of the lab setup that judged it last; None where that is not known."""


@dataclass(frozen=True)
class BookedJob:
    """A job as a booking or an amendment left it; `copy` is its newest ticket, 0 when it never had one."""

    job_id: int
    number: str
    category: str
    category_name: str
    box_colour: str
    box_hex: str
    state: JobState
    document_id: int | None
    copy: int

    @property
    def shown(self) -> str:
        """The number in groups."""
        return JobNumber(self.number).shown


@dataclass(frozen=True)
class BookedCase:
    """A case that was booked in; `again` when its token was known and nothing was written."""

    case_id: int
    version: int
    jobs: tuple[BookedJob, ...]
    open_queries: int
    again: bool = False


@dataclass(frozen=True)
class AmendedCase:
    """A case that was amended, with what that opened and closed."""

    case_id: int
    version: int
    jobs: tuple[BookedJob, ...]
    """The jobs that stand, in the verdict's order; `new_jobs` among them have a ticket waiting."""
    new_jobs: tuple[str, ...]
    withdrawn_jobs: tuple[str, ...]
    opened_queries: int
    withdrawn_queries: int
    answered_queries: int
    changed: tuple[str, ...]
    """The fields that changed, such as `appliances[0].options.shade`."""


@dataclass(frozen=True)
class JobRow:
    """A job with what a list says of it."""

    job_id: int
    number: str
    case_id: int
    category: str
    category_name: str
    box_colour: str
    box_hex: str
    appliances: tuple[int, ...]
    state: JobState
    outlook: str | None
    latest_start: date | None
    must_leave: date | None
    reply_by: datetime | None
    deadlines: Deadlines | None
    bench: str | None
    """The bench that has its box, or gets it next; None at reception and once it is finished."""
    moved: datetime | None
    finished: datetime | None
    """When the last bench of its route was done with it."""
    case_state: CaseState
    stream: Stream
    practice_code: str | None
    practice_name: str
    prescriber: str
    patient_label: str
    patient_reference: str
    arrived: datetime
    appointment: date | datetime | None
    copy: int
    """The newest copy of its ticket."""
    version: int


@dataclass(frozen=True)
class QueryRow:
    """A question to a practice with what a letter says of its case."""

    query_id: int
    case_id: int
    job: str
    """The job's number; of a question about the whole case, the case's first."""
    requirement: str
    level: str
    appliance: int | None
    question: str
    because: str
    place: str
    state: QueryState
    opened: datetime
    letter_id: int | None
    """The newest letter that asks it."""
    letters: int
    """How many letters ask it."""
    expected_on: date | None
    """The day on which what was promised can be here."""
    expected: str
    """What was promised, empty when nothing was."""
    practice_code: str | None
    practice_name: str
    prescriber: str
    patient_label: str
    patient_reference: str
    arrived: datetime
    appointment: date | datetime | None
    reply_by: datetime | None
    """The earliest of the case's jobs."""
    version: int


@dataclass(frozen=True)
class TicketCopy:
    """A copy of a ticket that waits to be drawn."""

    document_id: int
    job_id: int
    case_id: int
    number: str
    copy: int
    reason: str


@dataclass(frozen=True)
class DocumentRow:
    """A ticket, a letter or a blank form and where it has got to; job and case are None for what is no ticket."""

    document_id: int
    kind: DocumentKind
    job_id: int | None
    job: str | None
    case_id: int | None
    practice_code: str | None
    practice_name: str
    copy: int
    reason: str
    state: DocumentState
    queue: str | None
    queue_job: str | None
    problem: str | None
    created: datetime
    created_by: str
    way: Way
    address: str
    """Where an e-mail goes."""
    tried: datetime | None
    """When it was last tried in vain."""
    tries: int
    about: Details
    """What it is about besides: `{"parcel": 12}`."""
    has_pdf: bool
    version: int


@dataclass(frozen=True)
class EventRow:
    """One event of the history. `personal` is None where there was nothing personal, or it was erased."""

    seq: int
    at: datetime
    who: str
    kind: str
    case_id: int | None
    job: str | None
    practice: str | None
    arrival_id: int | None
    details: Details
    personal: Details | None


@dataclass(frozen=True)
class Draft:
    """What is half typed at a desk."""

    content: Details
    saved: datetime


@dataclass(frozen=True)
class Counts:
    """The day in numbers."""

    waiting: int
    """Arrivals that wait, from any day."""
    booked: int
    """Cases booked on the day, withdrawn ones left out."""
    held: int
    """Jobs held, from any day."""
    clear: int
    """Jobs booked on the day that are clear."""
    open_queries: int
    unasked: int
    """Open queries that no letter has asked."""
    unprinted: int
    """Documents waiting or drawn."""
    failed: int
