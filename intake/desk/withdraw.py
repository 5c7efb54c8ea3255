"""Withdraws a case that is cancelled or returned, and takes it up again."""

from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.errors import IntakeError


class ReasonMissing(IntakeError):
    """A case is not withdrawn without a reason."""


@dataclass(frozen=True)
class TakenUp:
    """A case that stands again: its version, and its tickets that wait to be printed."""

    version: int
    tickets: tuple[int, ...]


def withdraw(desk: Desk, case_id: int, version: int, reason: str) -> int:
    """Withdraws a case with its jobs, cancels what is not printed, and gives the case's new version.

    Raises ReasonMissing, and the store's refusal where the case was changed meanwhile or is withdrawn already.
    """
    if not reason.strip():
        raise ReasonMissing("Say why the case is withdrawn: it stands in the history.")
    with desk.work() as work:
        version = work.cases.withdraw(case_id, version, reason.strip())
        work.commit()
    return version


def take_up_again(desk: Desk, case_id: int, version: int, reason: str = "") -> TakenUp:
    """Lets a withdrawn case stand again with its numbers. Raises the store's refusal as `withdraw` does."""
    with desk.work() as work:
        version = work.cases.reinstate(case_id, version, reason.strip())
        work.commit()
    waiting = [row.document_id for row in desk.store.read.documents_waiting() if row.case_id == case_id]
    return TakenUp(version, tuple(waiting))
