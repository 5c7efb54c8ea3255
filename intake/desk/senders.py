"""Who sends scans: the practice that an address stands for, and the labels of the lines in its messages."""

from intake.desk.desk import Desk
from intake.domain.case import Case
from intake.domain.scan_rules import Labels, Sender
from intake.store.work import Work


def practice_of_sender(desk: Desk, address: str) -> str:
    """The code of the practice that an address stands for; empty where nobody has said.

    The setup's senders go first, then what was booked before, then an address that the directory has once. One that the
    setup names without a practice sends for many: what was booked does not count.

    Anybody can write any address: it fills the form in, and proves nothing.
    """
    if not address:
        return ""
    known = sender_of(desk, address)
    if known is not None and known.practice:
        return known.practice
    remembered = desk.store.read.sender(address) if known is None else None
    if remembered is not None:
        return remembered
    own = [practice.code for practice in desk.practices() if practice.email.casefold() == address.casefold()]
    return own[0] if len(own) == 1 else ""


def labels_of(desk: Desk, address: str) -> Labels:
    """How the lines of a sender's messages are labelled: by its own labels, else by the lab's usual ones."""
    known = sender_of(desk, address)
    return {**desk.lab.scans.labels, **(known.labels if known else {})}


def sender_of(desk: Desk, address: str) -> Sender | None:
    """The setup's entry of a sender: by its address, else by its domain."""
    whole, domain = address.casefold(), f"@{address.rpartition('@')[2]}".casefold()
    entries = {sender.address.casefold(): sender for sender in desk.lab.scans.senders}
    return entries.get(whole) or entries.get(domain)


def learn_sender(desk: Desk, work: Work, arrival_id: int | None, case: Case) -> None:
    """Remembers for which practice an arrival was booked, of whoever sent it: so it is filled in the next time.

    A sender whose arrivals are booked for several practices sends for many. What the setup says is left alone.
    """
    address = desk.store.read.sender_of(arrival_id) if arrival_id is not None else ""
    practice = desk.practice_of(case)
    if not address or practice is None or sender_of(desk, address) is not None or desk.store.read.sender(address) == "":
        return
    known = practice_of_sender(desk, address)
    if known != practice.code:
        work.scans.sender_is(address, None if known else practice.code)
