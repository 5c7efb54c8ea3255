"""What Look up asks of the desk, on the threads of the job runner.

The desk brings the database with it, which is slow to import: that happens in the jobs, behind the painted window.
"""

from contextlib import suppress
from typing import TYPE_CHECKING

from intake.domain.job_number import JobNumber
from intake.errors import IntakeError

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.issue import Issued
    from intake.desk.look_up import Card, Found, Looked
    from intake.desk.scan_panel import ScanPanel

LIMIT = 50
"""So many jobs are listed."""


def look(desk: "Desk", words: str) -> "Looked":
    """What the words fit, or why nothing does."""
    from intake.desk import look_up

    return look_up.look(desk, words, LIMIT)


def card(desk: "Desk", digits: str, copy: int | None) -> "Card":
    """The card of a job; that a replaced copy of its ticket was scanned is noted."""
    from intake.desk import look_up

    _note_scan(desk, digits, copy)
    return look_up.card(desk, digits, copy)


def one(desk: "Desk", digits: str, copy: int | None) -> "tuple[tuple[Found, ...], Card]":
    """One job as a list of one, and its card; that a replaced copy of its ticket was scanned is noted."""
    from intake.desk import look_up

    _note_scan(desk, digits, copy)
    return look_up.find(desk, digits, 1), look_up.card(desk, digits, copy)


def _note_scan(desk: "Desk", digits: str, copy: int | None) -> None:
    """Notes the scan of a replaced ticket. Where that cannot be kept, the card is shown all the same."""
    from intake.desk.replaced_tickets import note_scan

    with suppress(IntakeError):
        note_scan(desk, digits, copy)


def in_box(desk: "Desk", number: int) -> str | None:
    """The number of the job that lies in a box; None where it is free."""
    from intake.desk.boxes import job_in_box

    job = job_in_box(desk, number)
    return job.number if job is not None else None


def reprint(desk: "Desk", number: JobNumber, reason: str) -> "tuple[Issued, ...]":
    """The next copy of a job's ticket, handed to the printer."""
    from intake.desk.reprint import reprint as printed

    return (printed(desk, number, reason),)


def ticket_with_pictures(desk: "Desk", number: JobNumber) -> "tuple[Issued, ...]":
    """The next copy of a job's ticket, with the pictures of its case's scans, handed to the printer."""
    from intake.desk.ticket_pictures import PICTURES

    return reprint(desk, number, PICTURES)


def panel_of_case(desk: "Desk", case_id: int) -> "ScanPanel | None":
    """What is shown of the scans of a case; None where none came as a file."""
    from intake.desk.case_scans import panel_of_case as panel

    return panel(desk, case_id)


def letter(desk: "Desk", case_id: int) -> "tuple[Issued, ...]":
    """The letter to the practice of a case, handed to the printer."""
    from intake.desk.letters import write_to_practice_of

    return (write_to_practice_of(desk, case_id),)


def withdraw(desk: "Desk", case_id: int, version: int, reason: str) -> int:
    """The new version of a case that is withdrawn."""
    from intake.desk.withdraw import withdraw as withdrawn

    return withdrawn(desk, case_id, version, reason)


def take_up_again(desk: "Desk", case_id: int, version: int) -> "tuple[Issued, ...]":
    """The tickets that are printed once a case stands again."""
    from intake.desk.issue import issue_all
    from intake.desk.withdraw import take_up_again as taken_up

    return issue_all(desk, taken_up(desk, case_id, version).tickets)
