"""The tables of what waits on practices: calls, answers, letters' questions, returned forms."""

from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, LargeBinary
from sqlalchemy.orm import Mapped, mapped_column

from intake.domain.answer import Answer
from intake.store import words
from intake.store.columns import Json, Key, Value, one_of
from intake.store.tables import Table


class AttemptTable(Table):
    """One try to reach a practice by telephone."""

    __tablename__ = "attempts"
    id: Mapped[int] = mapped_column(primary_key=True)
    practice_key: Mapped[str] = mapped_column(Key)
    practice_name: Mapped[str]
    at: Mapped[datetime] = mapped_column(index=True)
    who: Mapped[str]
    outcome: Mapped[str]
    telephone: Mapped[str]
    note: Mapped[str]
    ring_back: Mapped[datetime | None]
    taken_back: Mapped[bool] = mapped_column(default=False)
    __table_args__ = (one_of("outcome", words.CALL_OUTCOMES), Index(None, "practice_key", "at"))


class ReplyTable(Table):
    """A returned form as it was read, and what became of it."""

    __tablename__ = "replies"
    id: Mapped[int] = mapped_column(primary_key=True)
    fingerprint: Mapped[str] = mapped_column(Key, unique=True)
    source_name: Mapped[str]
    at: Mapped[datetime]
    letter_id: Mapped[int | None] = mapped_column(ForeignKey("documents.id"), index=True)
    practice_key: Mapped[str | None] = mapped_column(Key)
    state: Mapped[str] = mapped_column(index=True)
    kind: Mapped[str]
    problem: Mapped[str]
    content: Mapped[dict[str, Any]] = mapped_column(Json)
    __table_args__ = (one_of("state", words.REPLY_STATES), one_of("kind", words.REPLY_KINDS))


class ReplyFileTable(Table):
    """The file that a returned form came as, apart, so that lists of them stay light."""

    __tablename__ = "reply_files"
    reply_id: Mapped[int] = mapped_column(ForeignKey("replies.id"), primary_key=True, autoincrement=False)
    name: Mapped[str]
    content: Mapped[bytes] = mapped_column(LargeBinary)


class AnswerTable(Table):
    """One answer to a query. What it says is never changed; it is marked when it is confirmed or taken back."""

    __tablename__ = "answers"
    id: Mapped[int] = mapped_column(primary_key=True)
    query_id: Mapped[int] = mapped_column(ForeignKey("queries.id"), index=True)
    case_id: Mapped[int] = mapped_column(ForeignKey("cases.id"), index=True)
    at: Mapped[datetime]
    who: Mapped[str]
    kind: Mapped[str]
    says: Mapped[str]
    written: Mapped[str]
    answer: Mapped[Answer] = mapped_column(Value(Answer))
    speaker: Mapped[str]
    authority: Mapped[str]
    route: Mapped[str]
    counts: Mapped[bool]
    spoken: Mapped[bool]
    confirmed: Mapped[datetime | None]
    confirmed_how: Mapped[str]
    letter_id: Mapped[int | None] = mapped_column(ForeignKey("documents.id"))
    """The newest letter that asks to confirm it."""
    reply_id: Mapped[int | None] = mapped_column(ForeignKey("replies.id"))
    taken_back: Mapped[bool]
    __table_args__ = (
        one_of("kind", words.ANSWER_KINDS),
        one_of("authority", words.AUTHORITIES),
        one_of("route", words.ROUTES),
        Index(None, "spoken", "confirmed"),
    )


class LetterQueryTable(Table):
    """A letter asks a query; `reminder` counts from 1 where an earlier letter asked it in vain, else 0."""

    __tablename__ = "letter_queries"
    letter_id: Mapped[int] = mapped_column(ForeignKey("documents.id"), primary_key=True, autoincrement=False)
    query_id: Mapped[int] = mapped_column(ForeignKey("queries.id"), primary_key=True, autoincrement=False, index=True)
    reminder: Mapped[int]
    __table_args__ = ({"sqlite_with_rowid": False},)


class LetterAnswerTable(Table):
    """A letter asks to confirm an answer."""

    __tablename__ = "letter_answers"
    letter_id: Mapped[int] = mapped_column(ForeignKey("documents.id"), primary_key=True, autoincrement=False)
    answer_id: Mapped[int] = mapped_column(ForeignKey("answers.id"), primary_key=True, autoincrement=False, index=True)
    __table_args__ = ({"sqlite_with_rowid": False},)
