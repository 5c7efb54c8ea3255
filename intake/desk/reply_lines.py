"""Returned forms that wait to be looked at, a line each."""

from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.domain.written_dates import shown_moment
from intake.store.rows import ReplyRow
from intake.store.words import ReplyKind

KINDS: dict[ReplyKind, str] = {
    "form": "filled in",
    "flattened": "its fields are gone; to be read by a person",
    "scanned": "printed and scanned; to be read by a person",
    "altered": "changed in what it asks; to be read by a person",
    "other-case": "of a letter that is not here",
    "again": "answered before",
    "unreadable": "cannot be read",
}


@dataclass(frozen=True)
class ReplyLine:
    """A returned form."""

    reply_id: int
    key: str
    """The practice's key; empty where it is not known."""
    said: str
    at: str
    kind: ReplyKind


def reply_lines(desk: Desk, key: str | None = None) -> tuple[ReplyLine, ...]:
    """The returned forms that wait, of one practice or of all, oldest first."""
    return tuple(_line(row) for row in desk.store.read.replies() if key is None or row.key == key)


def _line(row: ReplyRow) -> ReplyLine:
    letter = f"Reply to letter {row.letter_id}" if row.letter_id else f"Returned file {row.source_name}"
    return ReplyLine(row.reply_id, row.key or "", f"{letter}: {KINDS[row.kind]}", shown_moment(row.at), row.kind)
