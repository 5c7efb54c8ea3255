"""Booked cases read one after the other, for a changed setup to be tried on."""

from collections.abc import Collection, Iterator, Sequence
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from sqlalchemy import ColumnElement, Text, func, select, type_coerce

from intake.store.selecting import Selecting
from intake.store.tables import CaseTable, JobTable

AT_ONCE = 1000
"""So many cases are read in one go."""


class TrialRow(NamedTuple):
    """A case as it stands, its prescription as it is kept."""

    case_id: int
    booked: datetime
    practice_code: str | None
    """The practice's code when the directory has it."""
    practice_name: str
    prescription: str
    """`Case` as JSON."""


class TrialReading(Selecting):
    """Cases to be tried."""

    def count_booked(self, first: date, last: date) -> int:
        """How many cases that stand were booked from a day to another one."""
        return int(self._all(select(func.count()).select_from(CaseTable).where(*_booked(first, last)))[0][0])

    def booked_cases(self, first: date, last: date) -> Iterator[Sequence[TrialRow]]:
        """The cases that stand and were booked from a day to another one, some at once, in the order of booking.

        Nothing is held open between one lot and the next, so that whoever writes meanwhile waits for nothing.
        """
        raw = type_coerce(CaseTable.prescription, Text)
        columns = CaseTable.id, CaseTable.booked, CaseTable.practice_code, CaseTable.practice_name, raw
        found = select(*columns).where(*_booked(first, last))
        (begin,) = self._all(select(func.min(CaseTable.id)).where(*_days(first, last)))[0]
        after = -1 if begin is None else begin - 1
        while rows := self._all(found.where(CaseTable.id > after).order_by(CaseTable.id).limit(AT_ONCE)):
            yield [TrialRow(*row) for row in rows]
            after = rows[-1][0]

    def first_jobs(self, case_ids: Collection[int]) -> dict[int, str]:
        """The number of the first job of each of some cases."""
        numbers: dict[int, str] = {}
        wanted = sorted(case_ids)
        for at in range(0, len(wanted), AT_ONCE):
            some = wanted[at : at + AT_ONCE]
            found = select(JobTable.case_id, func.min(JobTable.number)).where(JobTable.case_id.in_(some))
            numbers |= {row[0]: row[1] for row in self._all(found.group_by(JobTable.case_id))}
        return numbers


def _booked(first: date, last: date) -> tuple[ColumnElement[bool], ...]:
    return *_days(first, last), CaseTable.state == "open"


def _days(first: date, last: date) -> tuple[ColumnElement[bool], ...]:
    begin, end = datetime.combine(first, time()), datetime.combine(last + timedelta(days=1), time())
    return CaseTable.booked >= begin, CaseTable.booked < end
