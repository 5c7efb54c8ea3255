"""What Hand over asks of the desk, on the threads of the job runner.

The desk brings the database with it, which is slow to import: that happens in the jobs, behind the painted window.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from intake.domain.scan_codes import ScanCode
from intake.ui.handover.modes import Wish

if TYPE_CHECKING:
    from intake.desk.boxes import InBox
    from intake.desk.desk import Desk
    from intake.desk.hand_over import HandedOver
    from intake.desk.issue import Issued


@dataclass(frozen=True)
class Answered:
    """The answer to one scan, with how many boxes each bench has now."""

    handed: "HandedOver"
    counts: dict[str, int]


def counts(desk: "Desk") -> dict[str, int]:
    """How many boxes each bench has, or gets next."""
    return desk.store.read.bench_counts()


def moved(desk: "Desk", wish: Wish, code: ScanCode) -> Answered:
    """What becomes of a box whose ticket was scanned."""
    from intake.desk import hand_over

    match wish.mode:
        case "hand-over":
            handed = hand_over.hand_over(desk, wish.bench, code)
        case "in":
            handed = hand_over.take_in(desk, wish.bench, code)
        case "out":
            handed = hand_over.send_on(desk, wish.bench, code)
        case "back":
            handed = hand_over.bring_back(desk, code, wish.back_for, wish.words)
    return Answered(handed, counts(desk))


def taken_back(desk: "Desk", handed: "HandedOver") -> tuple[dict[str, int], tuple[int, ...]]:
    """How many boxes each bench has once a move is taken back, and the tickets that wait to be printed."""
    from intake.desk.hand_over import take_back

    tickets = take_back(desk, handed)
    return counts(desk), tickets


def boxed(desk: "Desk", number: int, code: ScanCode) -> "InBox":
    """The job of a ticket in a numbered box."""
    from intake.desk.boxes import put_in_box

    return put_in_box(desk, number, code)


def printed(desk: "Desk", tickets: tuple[int, ...]) -> "tuple[Issued, ...]":
    """Tickets that wait, handed to the printer."""
    from intake.desk.issue import issue_all

    return issue_all(desk, tickets)
