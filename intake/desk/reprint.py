"""Prints the next copy of a ticket that was lost or spoilt."""

from intake.desk.desk import Desk
from intake.desk.issue import Issued, issue
from intake.domain.job_number import JobNumber
from intake.errors import IntakeError


class ReasonMissing(IntakeError):
    """A further copy needs a reason."""


def reprint(desk: Desk, number: JobNumber, reason: str) -> Issued:
    """The next copy of a job's ticket, with its reason on the paper and in the history; earlier copies are replaced.

    Raises ReasonMissing, and the store's refusal where there is no such job or it is withdrawn.
    """
    if not reason.strip():
        raise ReasonMissing("Say why the ticket is printed again: it stands on the copy and in the history.")
    with desk.work() as work:
        copy = work.documents.next_copy(number.digits, reason.strip())
        work.commit()
    return issue(desk, copy.document_id)
