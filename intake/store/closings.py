"""Days that are closed."""

from dataclasses import asdict
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from intake.store.chain import Journal, Subject
from intake.store.closing_rows import NewClosing
from intake.store.physical_tables import ClosingTable


class Closings:
    """The closings of one unit of work."""

    def __init__(self, session: Session, journal: Journal) -> None:
        """Write through a session and its journal."""
        self._session, self._journal = session, journal

    def add(self, closing: NewClosing) -> int:
        """Close a day; the closing's id. A later closing of the same day takes the place of an earlier one.

        It keeps where the history ended before it: how many events, and the hash of the last.
        """
        head = self._journal.head
        counts = plain_counts(closing)
        before = select(func.count()).select_from(ClosingTable).where(ClosingTable.day == closing.day)
        again = bool(self._session.scalar(before))
        row = ClosingTable(
            day=closing.day,
            at=self._journal.at,
            who=self._journal.who,
            counts=counts,
            left=list(closing.left),
            events=head.count,
            head=head.hash,
        )
        self._session.add(row)
        self._session.flush()
        told = {"closing": row.id, "day": closing.day.isoformat(), "again": again, "counts": counts}
        told |= {"left": len(closing.left), "settled": closing.settled, "events": head.count, "head": head.hash}
        # A reason is free text, which may name a patient.
        self._journal.record("day-closed", Subject(), told, {"left": list(closing.left)} if closing.left else None)
        return row.id


def plain_counts(closing: NewClosing) -> dict[str, Any]:
    """The numbers as JSON has them."""
    return asdict(closing.counts) | {"day": closing.counts.day.isoformat()}
