"""Prints the next copy of a ticket that was lost or spoilt, or that is wanted with the pictures of the scans."""

from intake.desk.desk import Desk
from intake.desk.issue import Issued, issue
from intake.desk.ticket_pictures import PICTURES, refuse_without_pictures
from intake.domain.job_number import JobNumber
from intake.errors import IntakeError


class ReasonMissing(IntakeError):
    """A further copy needs a reason."""


def reprint(desk: Desk, number: JobNumber, reason: str) -> Issued:
    """The next copy of a job's ticket, with its reason on the paper and in the history; earlier copies are replaced.

    The one that is made for the pictures of the scans has them. Raises ReasonMissing, NoPictures, and the store's
    refusal where there is no such job or it is withdrawn.
    """
    if not reason.strip():
        raise ReasonMissing("Say why the ticket is printed again: it stands on the copy and in the history.")
    case = desk.store.read.case_of_job(number.digits)
    if reason.strip() == PICTURES and case is not None:
        refuse_without_pictures(desk, case.case_id)
    with desk.work() as work:
        copy = work.documents.next_copy(number.digits, reason.strip())
        work.commit()
    return issue(desk, copy.document_id)
