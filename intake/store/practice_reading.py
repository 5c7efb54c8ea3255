"""What is read of what belongs to a practice."""

from typing import Any

from sqlalchemy import Connection, select
from sqlalchemy.orm import InstrumentedAttribute

from intake.store.physical_tables import ParcelTable
from intake.store.practice_rows import Belongings
from intake.store.scan_tables import SenderTable
from intake.store.selecting import Selecting
from intake.store.tables import CaseTable, DocumentTable
from intake.store.waiting_tables import AttemptTable, ReplyTable

Columns = tuple[InstrumentedAttribute[Any], InstrumentedAttribute[Any]]
WHERE: dict[str, Columns] = {
    "cases": (CaseTable.id, CaseTable.practice_code),
    "documents": (DocumentTable.id, DocumentTable.practice_code),
    "parcels": (ParcelTable.id, ParcelTable.practice_code),
    "calls": (AttemptTable.id, AttemptTable.practice_key),
    "replies": (ReplyTable.id, ReplyTable.practice_key),
    "senders": (SenderTable.address, SenderTable.practice_code),
}
"""Where a practice's code stands beside the directory: what bears it, and in which column."""


def belongings(connection: Connection, code: str) -> Belongings:
    """What stands under a practice's code."""
    return Belongings(
        **{
            name: tuple(connection.scalars(select(bears).where(column == code).order_by(bears)))
            for name, (bears, column) in WHERE.items()
        }
    )


class PracticeReading(Selecting):
    """What belongs to practices."""

    def belongings(self, code: str) -> Belongings:
        """What stands under a practice's code beside the directory."""
        with self._engine.connect() as connection:
            return belongings(connection, code)
