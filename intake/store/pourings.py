"""Impressions that were poured."""

from sqlalchemy import select
from sqlalchemy.orm import Session

from intake.store.chain import Journal, Subject
from intake.store.meanwhile import NotNow, NotThere
from intake.store.physical_tables import PouringTable
from intake.store.tables import CaseTable


class Pourings:
    """The pourings of one unit of work."""

    def __init__(self, session: Session, journal: Journal) -> None:
        """Write through a session and its journal."""
        self._session, self._journal = session, journal

    def pour(self, case_id: int) -> int:
        """Keep that a case's impressions were poured, now and by whom; its id.

        Raises:
            NotThere: there is no such case.
            NotNow: the case is withdrawn, or they were poured already.
        """
        case = self._session.get(CaseTable, case_id)
        if case is None:
            raise NotThere(f"There is no case {case_id}.")
        if case.state == "withdrawn":
            raise NotNow("This case is withdrawn; its impressions are not to be poured.")
        counts = PouringTable.case_id == case_id, ~PouringTable.taken_back
        before = self._session.scalar(select(PouringTable).where(*counts))
        if before is not None:
            raise NotNow(f"These impressions were poured already, by {before.who} at {before.at:%H:%M}.")
        row = PouringTable(case_id=case_id, at=self._journal.at, who=self._journal.who, taken_back=False)
        self._session.add(row)
        self._session.flush()
        self._journal.record("impressions-poured", Subject(case_id=case_id), {"pouring": row.id})
        return row.id

    def take_back(self, pouring_id: int) -> None:
        """Take a pouring back that was noted by mistake; it counts no more, and stays in the history.

        Raises:
            NotThere: there is no such pouring.
            NotNow: it was taken back before.
        """
        row = self._session.get(PouringTable, pouring_id)
        if row is None:
            raise NotThere(f"There is no pouring {pouring_id}.")
        if row.taken_back:
            raise NotNow("That these impressions were poured was taken back already.")
        row.taken_back = True
        self._session.flush()
        self._journal.record("pouring-taken-back", Subject(case_id=row.case_id), {"pouring": row.id})
