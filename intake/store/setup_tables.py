"""The tables of what the lab lays down: the editions of its setup, and the people at its desks."""

from datetime import datetime

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from intake.store import words
from intake.store.columns import Key, one_of
from intake.store.tables import Table, Versioned


class EditionTable(Table):
    """The lab setup as it was in force from a moment on; the newest is in force. Never changed."""

    __tablename__ = "setup_editions"
    id: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[datetime]
    who: Mapped[str]
    text: Mapped[str]
    """The whole file, TOML with its comments."""
    sha256: Mapped[str] = mapped_column(Key, index=True)
    """Of the text in UTF-8."""
    source: Mapped[str]
    note: Mapped[str]
    """Why it was changed, in the words of who did."""
    of_id: Mapped[int | None] = mapped_column(ForeignKey("setup_editions.id"))
    """The edition that was put back."""
    __table_args__ = (one_of("source", words.EDITION_SOURCES),)


class PersonTable(Versioned, Table):
    """Somebody at the desk. Who has left stays, since the history names them."""

    __tablename__ = "people"
    initials: Mapped[str] = mapped_column(Key, primary_key=True)
    """In capitals."""
    name: Mapped[str]
    role: Mapped[str]
    active: Mapped[bool]
    pin: Mapped[str | None]
    """The argon2id hash of the PIN, in its own text form; None until one is chosen."""
    wrong: Mapped[int] = mapped_column(default=0)
    """Wrong PINs in a row."""
    closed_until: Mapped[datetime | None]
    """Until then no PIN is taken."""
    __table_args__ = (one_of("role", words.ROLES),)
