"""Tickets that no longer count: what to say of one that is scanned, and the scan as an event of the history."""

from collections.abc import Sequence

from intake.desk.desk import Desk
from intake.domain.written_dates import shown_moment
from intake.store.rows import DocumentRow


def replaced_words(copy: int | None, tickets: Sequence[DocumentRow]) -> str:
    """Which copy replaced the one that was scanned, when, by whom and why; empty where it counts."""
    newest = max(tickets, key=lambda ticket: ticket.copy, default=None)
    if copy is None or newest is None or copy == newest.copy:
        return ""
    if copy > newest.copy:
        made = "only one was" if newest.copy == 1 else f"only {newest.copy} were"
        return f"This ticket says copy {copy}, but {made} made. Look at it closely before you rely on it."
    when = shown_moment(newest.created)
    return (
        f"This is copy {copy} of the ticket; it no longer counts. Copy {newest.copy} replaced it on {when}, "
        f"by {newest.created_by}: {newest.reason}."
    )


def note_scan(desk: Desk, number: str, copy: int | None) -> bool:
    """Keeps in the history that a copy that no longer counts was scanned, and by whom; whether it was kept now.

    Once a copy and day: who looks at it again the same day adds nothing. A number without a copy was typed, and a copy
    that was never made is no replaced one.
    """
    job = desk.store.read.job(number) if copy is not None else None
    if job is None or copy is None or copy >= job.copy:
        return False
    if desk.store.read.replaced_scan_is_noted(job.case_id, number, copy, desk.now().date()):
        return False
    with desk.work() as work:
        is_new = work.links.replaced_scanned(number, copy)
        work.commit()
    return is_new
