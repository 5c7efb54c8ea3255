"""Blank prescriptions for the practices that forget most: from the lab’s own rule book, printed or sent by e-mail."""

from dataclasses import dataclass
from datetime import timedelta

from intake.desk.desk import Desk
from intake.desk.issue import Issued, issue
from intake.desk.mailing import address_of
from intake.desk.ring_list import practice_of_key
from intake.errors import IntakeError
from intake.store.words import Way

MONTHS_BACK = 90
"""So many days back goes the count of what practices leave out."""


class NoBlank(IntakeError):
    """There is no practice that a blank prescription could be made for."""


@dataclass(frozen=True)
class Forgetful:
    """A practice whose prescriptions often lack something."""

    key: str
    practice: str
    cases: int
    """Cases that something had to be asked about."""
    questions: int


def send_blank(desk: Desk, key: str, way: Way = "print") -> Issued:
    """Draws the blank prescription of a practice and prints or mails it.

    Raises NoBlank for a practice that the directory does not have, AddressMissing where it has no address for e-mail.
    """
    practice = practice_of_key(desk, key)
    if practice is None:
        raise NoBlank("Only a practice of the directory has its own blank prescription. Enter it there first.")
    address = address_of(practice) if way != "print" else ""
    with desk.work() as work:
        document_id = work.documents.add_blank(practice.code, way=way, address=address)
        work.commit()
    return issue(desk, document_id)


def forgetful(desk: Desk, most: int = 10) -> tuple[Forgetful, ...]:
    """The practices that had to be asked most in the last three months, most questions first."""
    since = desk.now() - timedelta(days=MONTHS_BACK)
    return tuple(Forgetful(*row) for row in desk.store.read.forgetful(since, most))
