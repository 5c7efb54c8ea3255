"""What is read of impressions that are to be poured."""

from collections.abc import Collection

from sqlalchemy import func, or_, select

from intake.store.physical_tables import MoveTable, PouringTable
from intake.store.pouring_rows import PouringRow
from intake.store.selecting import Selecting
from intake.store.tables import CaseTable, ItemTable, JobTable


class PouringReading(Selecting):
    """Impressions to pour."""

    def cases_to_pour(self, benches: Collection[str]) -> tuple[int, ...]:
        """The cases that stand, have an impression in the bag that nobody has poured, and a job that is not finished.

        What keeps least comes first, by the time that was counted when the case was booked or changed; a case without
        one stands by its arrival.

        Args:
            benches: Where impressions are poured: a case is left out once a box of it came out of one of these.
        """
        came_out = (
            select(MoveTable.id)
            .join(JobTable, JobTable.id == MoveTable.job_id)
            .where(JobTable.case_id == CaseTable.id, MoveTable.kind == "out", ~MoveTable.taken_back)
            .where(MoveTable.bench.in_(set(benches)))
        )
        found = _TO_POUR if not benches else _TO_POUR.where(~came_out.exists())
        return tuple(row[0] for row in self._all(found))

    def pouring_of(self, case_id: int) -> PouringRow | None:
        """That and by whom the impressions of a case were poured; None where nobody said so."""
        of_case = PouringTable.case_id == case_id, ~PouringTable.taken_back
        found = select(PouringTable.id, PouringTable.case_id, PouringTable.at, PouringTable.who).where(*of_case)
        return next((PouringRow(*row) for row in self._all(found)), None)


_impression = (
    select(ItemTable.case_id)
    .where(ItemTable.case_id == CaseTable.id, ItemTable.item == "impression")
    .where(or_(ItemTable.source.is_(None), ItemTable.source != "scan"))
)
_poured = select(PouringTable.id).where(PouringTable.case_id == CaseTable.id, ~PouringTable.taken_back)
# By two indexes: what is at reception by its state, what is on its way by its bench.
_at_reception = select(JobTable.case_id).where(JobTable.state.in_(("held", "clear")), JobTable.finished.is_(None))
_on_their_way = select(JobTable.case_id).where(
    JobTable.bench > "", JobTable.state != "withdrawn", JobTable.finished.is_(None)
)
_TO_POUR = (
    select(CaseTable.id)
    .where(CaseTable.id.in_(_at_reception.union(_on_their_way)))
    .where(CaseTable.state == "open", _impression.exists(), ~_poured.exists())
    .order_by(func.coalesce(CaseTable.pour_by, CaseTable.arrived), CaseTable.id)
)
