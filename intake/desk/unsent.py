"""E-mails that did not go out: tried again when it is time, told until they are sent."""

from collections.abc import Sequence
from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.desk.issue import Issued, issue_all, title_of
from intake.desk.mailing import due_again
from intake.store.rows import DocumentRow

FEW = 3


@dataclass(frozen=True)
class Tried:
    """What was tried again, and what still did not go out."""

    issued: tuple[Issued, ...]
    unsent: tuple[DocumentRow, ...]


def try_again(desk: Desk, at_once: bool = False) -> Tried:
    """Sends the e-mails again that are due, or at once all that did not go out."""
    due = [row.document_id for row in unsent(desk)] if at_once else due_again(desk)
    return Tried(issue_all(desk, due), unsent(desk))


def unsent(desk: Desk) -> tuple[DocumentRow, ...]:
    """The e-mails and drafts that were tried in vain."""
    return tuple(row for row in desk.store.read.documents_waiting() if row.way != "print" and row.state == "failed")


def unsent_words(rows: Sequence[DocumentRow]) -> str:
    """What did not go out and why, each reason once; empty when everything did."""
    if not rows:
        return ""
    named = [f"{title_of(row)} to {row.practice_name}" for row in rows]
    who = " and ".join(named) if len(named) < FEW else f"{len(named)} e-mails"
    return f"{who} did not go out by e-mail. {' '.join(dict.fromkeys(str(row.problem) for row in rows))}"
