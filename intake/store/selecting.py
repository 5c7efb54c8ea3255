"""Run a select and make rows of what it finds."""

from collections.abc import Collection, Iterator, Sequence
from typing import Any

from sqlalchemy import Engine, Row

from intake.store.rows import CaseRow, DocumentRow, JobRow, QueryRow
from intake.store.selects import AnySelect
from intake.store.tables import DocumentTable, QueryTable

AT_ONCE = 10_000
"""So many ids go into one select; either database takes more, but not without end."""


class Selecting:
    """Reads through an engine, each select by itself: what is committed at that moment."""

    def __init__(self, engine: Engine) -> None:
        """Read through an engine."""
        self._engine = engine

    def _all(self, found: AnySelect) -> Sequence[Any]:
        with self._engine.connect() as connection:
            return connection.execute(found).all()

    def _case(self, found: AnySelect) -> CaseRow | None:
        return next((CaseRow(*row) for row in self._all(found)), None)

    def _jobs(self, found: AnySelect) -> tuple[JobRow, ...]:
        return tuple(job_row(row) for row in self._all(found))

    def _documents(self, found: AnySelect) -> tuple[DocumentRow, ...]:
        return tuple(DocumentRow(*row) for row in self._all(found.order_by(DocumentTable.id)))

    def _queries(self, found: AnySelect) -> tuple[QueryRow, ...]:
        return tuple(QueryRow(*row) for row in self._all(found.order_by(QueryTable.case_id, QueryTable.id)))


def job_row(row: Row[Any]) -> JobRow:
    """A row of `JOBS`."""
    columns = dict(row._mapping)
    return JobRow(**(columns | {"appliances": tuple(columns["appliances"])}))


def parts(ids: Collection[int]) -> Iterator[list[int]]:
    """Ids in order, as many together as go into one select."""
    ordered = sorted(set(ids))
    for first in range(0, len(ordered), AT_ONCE):
        yield ordered[first : first + AT_ONCE]
