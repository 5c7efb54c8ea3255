"""Withdraws a case that is cancelled, sends one back to its practice, and takes either up again."""

from collections.abc import Collection
from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.desk.linked import refuse_handed_over, standing_case
from intake.domain.case import Case
from intake.domain.wording import item_words
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


def send_back(desk: Desk, case_id: int, version: int, reason: str, items: Collection[int] = ()) -> int:
    """Withdraws a case that goes back to its practice, with what of it goes back; gives the case's new version.

    `items` are the places of the items that go back; `take_up_again` undoes it.

    Raises:
        ReasonMissing: no reason is given.
        AtTheBenches: a box of it is at the benches.
        NotThere, NotNow, ChangedMeanwhile: as `withdraw`.
    """
    if not reason.strip():
        raise ReasonMissing("Say why the case is sent back: it stands in the history.")
    row = standing_case(desk, case_id, "It is not sent back.")
    refuse_handed_over(desk, case_id)
    back = [words for index, words in items_to_send_back(row.case) if index in items]
    with desk.work() as work:
        work.links.returned(case_id, back, reason.strip())
        version = work.cases.withdraw(case_id, version, "sent back to the practice")
        work.commit()
    return version


def items_to_send_back(case: Case) -> tuple[tuple[int, str], ...]:
    """The places of the items of a case that can be put into a parcel, each in words."""
    held = (n for n, item in enumerate(case.items) if item.item != "scan" and item.source != "scan")
    return tuple((n, item_words(case.items[n])) for n in held)


def take_up_again(desk: Desk, case_id: int, version: int, reason: str = "") -> TakenUp:
    """Lets a withdrawn case stand again with its numbers. Raises the store's refusal as `withdraw` does."""
    with desk.work() as work:
        version = work.cases.reinstate(case_id, version, reason.strip())
        work.commit()
    waiting = [row.document_id for row in desk.store.read.documents_waiting() if row.case_id == case_id]
    return TakenUp(version, tuple(waiting))
