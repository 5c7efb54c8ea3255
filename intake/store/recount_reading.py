"""What is read to count the dates of open jobs anew."""

from collections.abc import Collection

from sqlalchemy import select

from intake.store.recount_rows import DatedJobRow
from intake.store.selecting import Selecting, parts
from intake.store.selects import PRACTICE_NAME, AnySelect
from intake.store.tables import CaseTable, DocumentFileTable, DocumentTable, JobTable, PracticeTable

_OPEN: AnySelect = (
    select(
        JobTable.id,
        JobTable.version,
        JobTable.case_id,
        JobTable.number,
        JobTable.category,
        JobTable.category_name,
        JobTable.deadlines,
        JobTable.moved,
        CaseTable.appointment,
        CaseTable.arrived,
        CaseTable.practice_code,
        PRACTICE_NAME,
        CaseTable.patient_label,
        CaseTable.patient_reference,
    )
    .join(CaseTable, CaseTable.id == JobTable.case_id)
    .outerjoin(PracticeTable, PracticeTable.code == CaseTable.practice_code)
    .where(JobTable.finished.is_(None), JobTable.state != "withdrawn")
    .where(CaseTable.state == "open", CaseTable.appointment.is_not(None))
    .order_by(JobTable.id)
)


class RecountReading(Selecting):
    """Open jobs with an appointment."""

    def dated_jobs(self, practice: str | None = None) -> tuple[DatedJobRow, ...]:
        """The jobs with an appointment that are neither finished nor withdrawn, of one practice's code or of all."""
        found = _OPEN if practice is None else _OPEN.where(CaseTable.practice_code == practice)
        return tuple(DatedJobRow(*row) for row in self._all(found))

    def dated_jobs_of(self, job_ids: Collection[int]) -> tuple[DatedJobRow, ...]:
        """Those of some jobs that are still open and have an appointment."""
        found = (self._all(_OPEN.where(JobTable.id.in_(part))) for part in parts(job_ids))
        return tuple(DatedJobRow(*row) for rows in found for row in rows)

    def on_paper(self, job_ids: Collection[int]) -> frozenset[int]:
        """Those of some jobs for which a ticket was drawn."""
        drawn = select(DocumentTable.job_id).join(DocumentFileTable)
        found = (self._all(drawn.where(DocumentTable.job_id.in_(part)).distinct()) for part in parts(job_ids))
        return frozenset(row[0] for rows in found for row in rows)
