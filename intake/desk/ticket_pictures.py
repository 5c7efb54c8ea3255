"""The pictures of its case's scans on a ticket: on every one where the lab wants them, or on the copy made for them.

Whether a copy has them follows from its reason, which is kept with it: one that waits for the printer has them too.
"""

from collections.abc import Sequence
from dataclasses import replace

from intake.desk.case_scans import has_scans, scans_of_case
from intake.desk.desk import Desk
from intake.desk.scan_panel import ScanShown
from intake.documents.ticket_content import Ticket, TicketPicture
from intake.domain.lab import Lab
from intake.errors import IntakeError

PICTURES = "pictures of the scans"
"""The reason of a copy that is printed for them."""
MOST = 3
"""So many stand side by side on the smallest ticket."""


class NoPictures(IntakeError):
    """There is no picture of a scan of a case."""


def with_pictures(desk: Desk, case_id: int, ticket: Ticket, reason: str) -> Ticket:
    """The ticket with the pictures of its case's scans, where the setup or the reason of the copy asks for them."""
    if not (desk.lab.ticket.scan_pictures or reason == PICTURES):
        return ticket
    pictures, note = _pictures(desk, case_id)
    return replace(ticket, pictures=pictures, pictures_note=note)


def refuse_without_pictures(desk: Desk, case_id: int) -> None:
    """Raises NoPictures, with the reason, where no scan of a case can be pictured."""
    pictures, note = _pictures(desk, case_id)
    if pictures:
        return
    if note:
        raise NoPictures("The scans of this case are still to be checked. Print the ticket when that is done.")
    if has_scans(desk, case_id):
        raise NoPictures("No scan of this case can be read, so there is no picture of one.")
    raise NoPictures("No file of a scan came with this case, so there is no picture of one.")


def _pictures(desk: Desk, case_id: int) -> tuple[tuple[TicketPicture, ...], str]:
    """Upper, lower, and both from the front, then what is neither; and how many scans are not among them.

    Of several scans of a jaw the newest is shown. No two pictures of the same jaw stand beside one another.
    """
    read = desk.store.read
    scans = [scan for each in scans_of_case(desk, case_id).values() for scan in each.scans]
    unchecked = sum(not scan.checked for scan in scans)
    shown = [ScanShown(scan, read.scan_picture(scan.file.scan_id or 0) or b"") for scan in scans if scan.checked]
    shown = [each for each in shown if each.png]
    arches = [each for jaw in ("upper", "lower") for each in _newest(shown, jaw)]
    others = [each for each in shown if each.seen.jaw.jaw not in ("upper", "lower")]
    brought = {each.seen.file.arrival_id for each in arches}
    pair = read.arches_pictures(*brought) if len(arches) == 2 and len(brought) == 1 else ()
    words = desk.lab.words.ticket
    front = [TicketPicture(words.front, png) for png in pair[:1]]
    others = others[: MOST - len(arches) - len(front)]
    above, below = ([TicketPicture(each.name, each.png) for each in some] for some in (arches, others))
    more = len(shown) - len(arches) - len(others)
    return (*above, *front, *below), not_pictured(more, unchecked, desk.lab)


def not_pictured(more: int, unchecked: int, lab: Lab) -> str:
    """How many scans are not pictured, and how many are not checked yet, in a sentence; empty where none is."""
    words = lab.words.ticket
    missing = [words.one_more if more == 1 else words.more.format(count=more)] if more else []
    missing += [words.one_unchecked if unchecked == 1 else words.unchecked.format(count=unchecked)] if unchecked else []
    return words.not_pictured.format(what=lab.words.work.listed(missing)) if missing else ""


def _newest(shown: Sequence[ScanShown], jaw: str) -> Sequence[ScanShown]:
    return [each for each in shown if each.seen.jaw.jaw == jaw][:1]
