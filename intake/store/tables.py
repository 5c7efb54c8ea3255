"""The tables, typed. Rows of them never leave the store: `intake.store.rows` has what does."""

from datetime import date, datetime
from typing import Any, ClassVar

from sqlalchemy import CheckConstraint, Date, ForeignKey, Index, LargeBinary, MetaData, UniqueConstraint, text
from sqlalchemy.orm import DeclarativeBase, Mapped, declared_attr, mapped_column

from intake.domain.answer import Promise
from intake.domain.case import Case
from intake.domain.practice import Practice
from intake.domain.verdict import Deadlines
from intake.store import words
from intake.store.columns import DayOrTime, Json, Key, Value, WallTime, Words, one_of

NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}


class Table(DeclarativeBase):
    """What every table shares: names for its constraints, and kinds for its columns."""

    metadata = MetaData(naming_convention=NAMES)
    type_annotation_map: ClassVar = {str: Words, datetime: WallTime, date: Date, date | datetime: DayOrTime}


class Versioned:
    """A row that counts its changes, so that a save of what has moved on is refused."""

    version: Mapped[int] = mapped_column(sort_order=1)

    @declared_attr.directive
    def __mapper_args__(cls) -> dict[str, Any]:  # noqa: N805 - SQLAlchemy hands in the class
        """SQLAlchemy counts and compares it at every change."""
        return {"version_id_col": cls.version}


def _where_given(column: str) -> Index:
    """An index of the few rows that have a column at all, on either database."""
    given = text(f"{column} IS NOT NULL")
    return Index(f"ix_events_{column}", column, sqlite_where=given, postgresql_where=given)


def _to_practices(*columns: str) -> Index:
    """An index of the few documents that go to practices, on either database."""
    no_ticket = text("job_id IS NULL")
    name = f"ix_documents_{'_'.join(columns)}"
    return Index(name, *columns, sqlite_where=no_ticket, postgresql_where=no_ticket)


def _still_to_do(column: str) -> Index:
    """An index of the few jobs that are neither finished nor withdrawn, on either database."""
    to_do = text("finished IS NULL AND state <> 'withdrawn'")
    return Index(f"ix_jobs_to_do_{column}", column, sqlite_where=to_do, postgresql_where=to_do)


class PracticeTable(Versioned, Table):
    """The directory."""

    __tablename__ = "practices"
    code: Mapped[str] = mapped_column(Key, primary_key=True)
    name: Mapped[str]
    details: Mapped[Practice] = mapped_column(Value(Practice, remembered=20_000))
    search_key: Mapped[str]
    """The folded words of code and name, a space before each."""


class PrescriberTable(Table):
    """Who signs at a practice, in the practice's order."""

    __tablename__ = "prescribers"
    practice_code: Mapped[str] = mapped_column(Key, ForeignKey("practices.code"), primary_key=True)
    position: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]


class CaseTable(Versioned, Table):
    """One prescription for one patient, with the columns that lists and searches need beside it."""

    __tablename__ = "cases"
    id: Mapped[int] = mapped_column(primary_key=True)
    token: Mapped[str] = mapped_column(Key, unique=True)
    state: Mapped[str]
    prescription: Mapped[Case] = mapped_column(Value(Case))
    practice_code: Mapped[str | None] = mapped_column(Key, ForeignKey("practices.code"), index=True)
    practice_name: Mapped[str]
    prescriber: Mapped[str]
    patient_label: Mapped[str]
    patient_reference: Mapped[str]
    stream: Mapped[str]
    hygiene: Mapped[str]
    arrived: Mapped[datetime] = mapped_column(index=True)
    appointment: Mapped[date | datetime | None]
    pour_by: Mapped[datetime | None]
    booked: Mapped[datetime] = mapped_column(index=True)
    edition: Mapped[int | None]
    """The edition of the lab setup by which it was judged last."""
    __table_args__ = (one_of("state", words.CASE_STATES), one_of("stream", words.STREAMS))


class CaseWordTable(Table):
    """The folded words of a case that a search may begin to type."""

    __tablename__ = "case_words"
    case_id: Mapped[int] = mapped_column(ForeignKey("cases.id"), primary_key=True, autoincrement=False)
    word: Mapped[str] = mapped_column(Key, primary_key=True)
    __table_args__ = (Index(None, "word", "case_id"), {"sqlite_with_rowid": False})


class ItemTable(Table):
    """One thing that came with a case."""

    __tablename__ = "items"
    case_id: Mapped[int] = mapped_column(ForeignKey("cases.id"), primary_key=True, autoincrement=False)
    position: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    item: Mapped[str]
    arch: Mapped[str | None]
    material: Mapped[str | None]
    taken: Mapped[date | datetime | None]
    kind: Mapped[str | None]
    mm: Mapped[float | None]
    source: Mapped[str | None]


class JobTable(Versioned, Table):
    """The part of a case that lies in one box."""

    __tablename__ = "jobs"
    id: Mapped[int] = mapped_column(primary_key=True)
    number: Mapped[str] = mapped_column(Key, unique=True)
    backward: Mapped[str] = mapped_column(Key, index=True)
    """The number from its last digit to its first, so that the last digits find it."""
    case_id: Mapped[int] = mapped_column(ForeignKey("cases.id"))
    category: Mapped[str]
    category_name: Mapped[str]
    box_colour: Mapped[str]
    box_hex: Mapped[str]
    appliances: Mapped[list[int]] = mapped_column(Json)
    state: Mapped[str] = mapped_column(index=True)
    outlook: Mapped[str | None]
    latest_start: Mapped[date | None]
    must_leave: Mapped[date | None]
    reply_by: Mapped[datetime | None]
    deadlines: Mapped[Deadlines | None] = mapped_column(Value(Deadlines))
    bench: Mapped[str | None]
    """The bench that has its box, or gets it next; None at reception and once it is finished."""
    moved: Mapped[datetime | None]
    """When its box was last handed over, in, out or back."""
    finished: Mapped[datetime | None]
    """When the last bench of its route was done with it."""
    __table_args__ = (
        UniqueConstraint("case_id", "category"),
        one_of("state", words.JOB_STATES),
        Index(None, "must_leave"),
        Index(None, "bench"),
        _still_to_do("must_leave"),
    )


class ArrivalTable(Versioned, Table):
    """One delivery as it waits at the desk, and what became of it."""

    __tablename__ = "arrivals"
    id: Mapped[int] = mapped_column(primary_key=True)
    stream: Mapped[str]
    arrived: Mapped[datetime]
    practice: Mapped[str]
    patient_label: Mapped[str]
    patient_reference: Mapped[str]
    prescription: Mapped[dict[str, Any]] = mapped_column(Json)
    problem: Mapped[str]
    source_name: Mapped[str]
    fingerprint: Mapped[str | None] = mapped_column(Key, unique=True)
    state: Mapped[str]
    case_id: Mapped[int | None] = mapped_column(ForeignKey("cases.id"), index=True)
    __table_args__ = (
        one_of("state", words.ARRIVAL_STATES),
        one_of("stream", words.STREAMS),
        Index(None, "state", "arrived"),
        Index(None, "arrived"),
    )


class DocumentTable(Versioned, Table):
    """A ticket or a letter, drawn or still to be drawn."""

    __tablename__ = "documents"
    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str]
    job_id: Mapped[int | None] = mapped_column(ForeignKey("jobs.id"))
    practice_code: Mapped[str | None] = mapped_column(Key, ForeignKey("practices.code"))
    practice_name: Mapped[str]
    copy: Mapped[int]
    reason: Mapped[str]
    state: Mapped[str]
    queue: Mapped[str | None]
    queue_job: Mapped[str | None]
    problem: Mapped[str | None]
    created: Mapped[datetime]
    created_by: Mapped[str]
    way: Mapped[str] = mapped_column(default="print")
    address: Mapped[str] = mapped_column(default="")
    """Where an e-mail goes."""
    tried: Mapped[datetime | None]
    """When it was last tried in vain."""
    tries: Mapped[int] = mapped_column(default=0)
    about: Mapped[dict[str, Any]] = mapped_column(Json, default=dict)
    """What it is about besides: `{"parcel": 12}`, `{"day": "2026-11-25"}`."""
    __table_args__ = (
        UniqueConstraint("job_id", "copy"),
        one_of("way", words.WAYS),
        one_of("kind", words.DOCUMENT_KINDS),
        one_of("state", words.DOCUMENT_STATES),
        CheckConstraint("(kind = 'ticket') = (job_id IS NOT NULL)", name="ticket_of_a_job"),
        CheckConstraint("copy >= 1", name="copy"),
        CheckConstraint("(state = 'failed') = (problem IS NOT NULL)", name="problem"),
        Index(None, "state"),
        _to_practices("practice_code", "practice_name"),
        _to_practices("created"),
    )


class DocumentFileTable(Table):
    """The PDF of a document, apart, so that lists of documents stay light."""

    __tablename__ = "document_files"
    document_id: Mapped[int] = mapped_column(ForeignKey("documents.id"), primary_key=True, autoincrement=False)
    pdf: Mapped[bytes] = mapped_column(LargeBinary)
    sha256: Mapped[str]


class QueryTable(Versioned, Table):
    """One question to a practice."""

    __tablename__ = "queries"
    id: Mapped[int] = mapped_column(primary_key=True)
    case_id: Mapped[int] = mapped_column(ForeignKey("cases.id"), index=True)
    job_id: Mapped[int | None] = mapped_column(ForeignKey("jobs.id"))
    requirement: Mapped[str]
    level: Mapped[str]
    appliance: Mapped[int | None]
    question: Mapped[str]
    because: Mapped[str]
    place: Mapped[str]
    state: Mapped[str]
    opened: Mapped[datetime]
    letter_id: Mapped[int | None] = mapped_column(ForeignKey("documents.id"), index=True)
    """The newest letter that asks it."""
    letters: Mapped[int] = mapped_column(default=0)
    """How many letters ask it."""
    expected_on: Mapped[date | None]
    """The day on which what was promised can be here."""
    expected: Mapped[str | None]
    promise: Mapped[Promise | None] = mapped_column(Value(Promise))
    __table_args__ = (
        one_of("state", words.QUERY_STATES),
        one_of("level", words.QUERY_LEVELS),
        Index(None, "state", "case_id"),
    )


class CounterTable(Table):
    """The last number given of each count; one row for each year of job numbers."""

    __tablename__ = "counters"
    name: Mapped[str] = mapped_column(Key, primary_key=True)
    value: Mapped[int]


class DraftTable(Table):
    """What is half typed at a desk, replaced in place."""

    __tablename__ = "drafts"
    desk: Mapped[str] = mapped_column(Key, primary_key=True)
    content: Mapped[dict[str, Any]] = mapped_column(Json)
    saved: Mapped[datetime]


class EventTable(Table):
    """The history: each row's hash covers the row and the hash before it. Triggers refuse every later change."""

    __tablename__ = "events"
    seq: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    at: Mapped[datetime]
    who: Mapped[str]
    kind: Mapped[str]
    case_id: Mapped[int | None] = mapped_column(index=True)
    job: Mapped[str | None]
    practice: Mapped[str | None]
    arrival_id: Mapped[int | None]
    details: Mapped[str]
    """Canonical JSON, without anything that names a patient."""
    personal: Mapped[str | None]
    """Canonical JSON of what names a patient; it and its salt may be destroyed by law, `digest` stays."""
    salt: Mapped[str | None]
    digest: Mapped[str]
    previous: Mapped[str]
    hash: Mapped[str]
    __table_args__ = (
        _where_given("practice"),
        _where_given("arrival_id"),
    )


class ChainHeadTable(Table):
    """The one row that says where the history ends. Whoever writes locks it first."""

    __tablename__ = "chain_head"
    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    seq: Mapped[int]
    hash: Mapped[str]
    __table_args__ = (CheckConstraint("id = 1", name="one_row"),)
