"""Dates of open jobs that were counted anew, because the setup or the directory changed."""

from collections.abc import Sequence
from typing import Any, NamedTuple

from sqlalchemy import select
from sqlalchemy.orm import Session

from intake.domain.verdict import Deadlines
from intake.store.chain import Journal, Subject
from intake.store.tables import JobTable

TOLD = ("must_leave", "latest_start", "reply_by", "with_practice", "outlook")
"""What the event of a job tells of its dates."""


class Redated(NamedTuple):
    """A job with its new dates."""

    job_id: int
    version: int
    """The job's version when it was read."""
    dates: Deadlines


class Recounts:
    """The dates that one unit of work counts anew."""

    def __init__(self, session: Session, journal: Journal) -> None:
        """Write through a session and its journal."""
        self._session, self._journal = session, journal

    def redate(self, jobs: Sequence[Redated], edition: int | None) -> frozenset[int]:
        """Give jobs new dates, an event for each; those that were changed since they were read are left as they are.

        Args:
            jobs: The jobs, with the dates that they get.
            edition: The edition of the setup by which they were counted.

        Returns:
            The ids of the jobs that have their new dates.
        """
        wanted = {job.job_id: job for job in jobs}
        found = self._session.scalars(select(JobTable).where(JobTable.id.in_(wanted)).order_by(JobTable.id)).all()
        done = [row for row in found if row.version == wanted[row.id].version]
        for row in done:
            self._set(row, wanted[row.id].dates, edition)
        self._session.flush()
        return frozenset(row.id for row in done)

    def _set(self, row: JobTable, dates: Deadlines, edition: int | None) -> None:
        before, after = _told(row.deadlines), _told(dates)
        changes = {name: [before[name], after[name]] for name in TOLD if before[name] != after[name]}
        row.deadlines, row.outlook = dates, dates.outlook
        row.latest_start, row.must_leave, row.reply_by = dates.latest_start, dates.must_leave, dates.reply_by
        told = {"edition": edition, "changes": changes}
        self._journal.record("dates-recounted", Subject(row.case_id, row.number), told)


def _told(dates: Deadlines | None) -> dict[str, Any]:
    if dates is None:
        return dict.fromkeys(TOLD)
    said = {name: getattr(dates, name) for name in TOLD}
    return {name: each.isoformat() if hasattr(each, "isoformat") else each for name, each in said.items()}
