"""What is read of the lab setup's editions and of the people at the desks."""

from dataclasses import dataclass
from datetime import datetime

from intake.domain.people import Role
from intake.store.words import EditionSource


@dataclass(frozen=True)
class EditionRow:
    """An edition of the lab setup, without its text."""

    edition: int
    at: datetime
    who: str
    sha256: str
    source: EditionSource
    note: str
    of: int | None
    """The edition that was put back."""


@dataclass(frozen=True)
class PersonRow:
    """Somebody at the desk, with what a sign-in needs."""

    initials: str
    name: str
    role: Role
    active: bool
    pin: str | None
    """The argon2id hash; None until a PIN is chosen."""
    wrong: int
    closed_until: datetime | None
    version: int
