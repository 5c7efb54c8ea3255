"""What is read of a day: its numbers, what has to leave, what is left over, and how it was closed."""

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from typing import Any

from sqlalchemy import ColumnElement, Connection, Integer, cast, extract, func, select
from sqlalchemy.orm import InstrumentedAttribute

from intake.domain.day_figures import MADE_HERE, UNSENT, Came, DayCounts, Made, Standing, day_counts
from intake.store.chain import Head
from intake.store.closing_rows import ClosingRow, LeavingRow, PouringDueRow, UnaskedRow, WaitingRow
from intake.store.keys import CASE_KEY
from intake.store.physical_tables import CaseLinkTable, ClosingTable, MoveTable, ParcelTable
from intake.store.selecting import Selecting
from intake.store.selects import PRACTICE_NAME, AnySelect
from intake.store.tables import (
    ArrivalTable,
    CaseTable,
    ChainHeadTable,
    DocumentTable,
    JobTable,
    PracticeTable,
    QueryTable,
)
from intake.store.words import JobState

_LEAVING: AnySelect = (
    select(
        JobTable.number,
        JobTable.case_id,
        JobTable.category_name,
        JobTable.box_colour,
        JobTable.box_hex,
        JobTable.state,
        JobTable.must_leave,
        JobTable.latest_start,
        JobTable.bench,
        JobTable.moved,
        PRACTICE_NAME,
    )
    .join(CaseTable, CaseTable.id == JobTable.case_id)
    .outerjoin(PracticeTable, PracticeTable.code == CaseTable.practice_code)
)
_ASKED = QueryTable.state == "open", CaseTable.state == "open"


class ClosingReading(Selecting):
    """Days."""

    def day_counts(self, day: date) -> DayCounts:
        """A day in numbers, counted from the tables as they stand now."""
        with self._engine.connect() as connection:
            return day_counts(
                day,
                [*_counted(connection, _arrivals(day), Came), *_counted(connection, _brought_by_nobody(day), Came)],
                _counted(connection, _booked(day), Came),
                _counted(connection, _jobs_booked(day), Made),
                _counted(connection, _handed_over(day), Made),
                _standing(connection),
            )

    def head(self) -> Head:
        """Where the history ends."""
        return Head(*self._all(select(ChainHeadTable.seq, ChainHeadTable.hash))[0])

    def closing_of(self, day: date) -> ClosingRow | None:
        """How a day was closed: the newest closing of it."""
        closing_id, left = ClosingTable.id.label("closing_id"), ClosingTable.left
        about = ClosingTable.day, ClosingTable.at, ClosingTable.who, ClosingTable.counts
        found = select(closing_id, *about, left, ClosingTable.events, ClosingTable.head)
        rows = self._all(found.where(ClosingTable.day == day).order_by(ClosingTable.id.desc()).limit(1))
        return next((ClosingRow(**{**row._mapping, "left": tuple(row.left)}) for row in rows), None)

    def leaving(
        self, first: date | None, last: date, states: Sequence[JobState], limit: int | None = None
    ) -> tuple[LeavingRow, ...]:
        """The jobs in some states that must leave from a day to another one and are not finished, the first first."""
        found = _LEAVING.where(*_unfinished(states), JobTable.must_leave <= last)
        found = found if first is None else found.where(JobTable.must_leave >= first)
        return self._leaving(found.order_by(JobTable.must_leave, JobTable.number).limit(limit))

    def count_leaving(self, first: date | None, last: date, states: Sequence[JobState]) -> int:
        """How many jobs in some states must leave from a day to another one and are not finished."""
        found = select(func.count()).select_from(JobTable).where(*_unfinished(states), JobTable.must_leave <= last)
        return int(self._all(found if first is None else found.where(JobTable.must_leave >= first))[0][0])

    def to_hand_over(self, start: date) -> tuple[LeavingRow, ...]:
        """The clear jobs at reception whose latest start is no later than a day, or is not known, in that order."""
        found = _LEAVING.where(JobTable.state == "clear", _starts(start))
        return self._leaving(found.order_by(JobTable.latest_start, JobTable.number))

    def count_later(self, start: date) -> int:
        """How many clear jobs at reception have a latest start after a day."""
        found = select(func.count()).select_from(JobTable).where(JobTable.state == "clear")
        return int(self._all(found.where(JobTable.latest_start > start))[0][0])

    def bench_scans(self, since: datetime) -> bool:
        """Whether any bench has scanned a box in or out since then."""
        found = select(MoveTable.id).where(MoveTable.kind.in_(("in", "out")), MoveTable.at >= since).limit(1)
        return bool(self._all(found))

    def unasked(self) -> tuple[UnaskedRow, ...]:
        """The cases that stand with open questions that no letter asks, by practice."""
        number = select(func.min(JobTable.number)).where(
            JobTable.case_id == CaseTable.id, JobTable.state != "withdrawn"
        )
        columns = CaseTable.id, CASE_KEY, PRACTICE_NAME, func.coalesce(number.scalar_subquery(), "")
        told = func.count(), func.max(QueryTable.opened), func.max(QueryTable.expected_on)
        found = select(*columns, *told).select_from(QueryTable)
        found = found.join(CaseTable, CaseTable.id == QueryTable.case_id)
        found = found.outerjoin(PracticeTable, PracticeTable.code == CaseTable.practice_code)
        found = found.where(*_ASKED, QueryTable.letter_id.is_(None))
        found = found.group_by(CaseTable.id, CASE_KEY, PRACTICE_NAME).order_by(PRACTICE_NAME, CaseTable.id)
        return tuple(UnaskedRow(*row) for row in self._all(found))

    def count_open_queries(self) -> int:
        """How many questions of cases that stand are open."""
        found = select(func.count()).select_from(QueryTable).join(CaseTable, CaseTable.id == QueryTable.case_id)
        return int(self._all(found.where(*_ASKED))[0][0])

    def count_asked(self) -> int:
        """How many cases that stand have open questions that a letter asks, all of them."""
        unasked = select(QueryTable.case_id).where(QueryTable.state == "open", QueryTable.letter_id.is_(None))
        found = select(func.count(QueryTable.case_id.distinct())).join(CaseTable, CaseTable.id == QueryTable.case_id)
        return int(self._all(found.where(*_ASKED, QueryTable.case_id.not_in(unasked)))[0][0])

    def pour_between(self, first: datetime, last: datetime) -> tuple[PouringDueRow, ...]:
        """The cases that stand whose impressions keep until some time between two moments, what keeps least first.

        Whether they are poured already is not asked.
        """
        of_case = JobTable.case_id == CaseTable.id, JobTable.state != "withdrawn"
        number = select(func.min(JobTable.number)).where(*of_case).scalar_subquery()
        found = select(CaseTable.id, CaseTable.pour_by, number, PRACTICE_NAME)
        found = found.outerjoin(PracticeTable, PracticeTable.code == CaseTable.practice_code)
        found = found.where(CaseTable.state == "open", CaseTable.pour_by >= first, CaseTable.pour_by <= last)
        rows = self._all(found.order_by(CaseTable.pour_by, CaseTable.id))
        return tuple(PouringDueRow(*row) for row in rows)

    def waiting_arrivals(self) -> tuple[WaitingRow, ...]:
        """The arrivals that wait to be booked in, oldest first, without their prescriptions."""
        patient = func.coalesce(func.nullif(ArrivalTable.patient_label, ""), ArrivalTable.patient_reference)
        found = select(ArrivalTable.id, ArrivalTable.stream, ArrivalTable.arrived, ArrivalTable.practice, patient)
        found = found.where(ArrivalTable.state == "waiting").order_by(ArrivalTable.arrived, ArrivalTable.id)
        return tuple(WaitingRow(*row) for row in self._all(found))

    def _leaving(self, found: AnySelect) -> tuple[LeavingRow, ...]:
        return tuple(LeavingRow(*row) for row in self._all(found))


def _counted(connection: Connection, found: AnySelect, kind: type[Any]) -> list[Any]:
    return [kind(*row) for row in connection.execute(found)]


def _on(column: InstrumentedAttribute[datetime], day: date) -> ColumnElement[bool]:
    start = datetime.combine(day, time())
    return (column >= start) & (column < start + timedelta(days=1))


def _hour(column: ColumnElement[Any] | InstrumentedAttribute[datetime]) -> ColumnElement[int]:
    return cast(extract("hour", column), Integer)


def _arrivals(day: date) -> AnySelect:
    """What came on the day, by stream and hour; what was taken off the list is left out."""
    hour = _hour(ArrivalTable.arrived)
    found = select(ArrivalTable.stream, hour, func.count()).where(_on(ArrivalTable.arrived, day))
    return found.where(ArrivalTable.state != "dismissed").group_by(ArrivalTable.stream, hour)


def _brought_by_nobody(day: date) -> AnySelect:
    """The cases of the day that stand, that no arrival had brought when they were booked, nor another case."""
    hour = _hour(CaseTable.arrived)
    brought = select(ArrivalTable.id).where(
        ArrivalTable.case_id == CaseTable.id, ArrivalTable.arrived <= CaseTable.booked
    )
    made_here = select(CaseLinkTable.id).where(
        CaseLinkTable.case_id == CaseTable.id, CaseLinkTable.kind.in_(MADE_HERE), ~CaseLinkTable.taken_back
    )
    found = select(CaseTable.stream, hour, func.count()).where(_on(CaseTable.arrived, day), CaseTable.state == "open")
    return found.where(~brought.exists(), ~made_here.exists()).group_by(CaseTable.stream, hour)


def _booked(day: date) -> AnySelect:
    hour = _hour(CaseTable.booked)
    found = select(CaseTable.stream, hour, func.count()).where(_on(CaseTable.booked, day), CaseTable.state == "open")
    return found.group_by(CaseTable.stream, hour)


def _jobs_booked(day: date) -> AnySelect:
    """The jobs of the cases that were booked on the day and stand, by stream, category, hour and state."""
    by = CaseTable.stream, JobTable.category_name, _hour(CaseTable.booked), JobTable.state
    found = select(*by, func.count()).select_from(CaseTable).join(JobTable, JobTable.case_id == CaseTable.id)
    found = found.where(_on(CaseTable.booked, day), CaseTable.state == "open", JobTable.state != "withdrawn")
    return found.group_by(*by)


def _handed_over(day: date) -> AnySelect:
    """The jobs that were handed over on the day, each once, in the hour it first was."""
    moved = select(MoveTable.job_id, func.min(MoveTable.at).label("at")).where(_on(MoveTable.at, day))
    first = moved.where(MoveTable.kind == "handed-over", ~MoveTable.taken_back).group_by(MoveTable.job_id).subquery()
    by = CaseTable.stream, JobTable.category_name, _hour(first.c.at)
    found = select(*by, JobTable.state, func.count()).select_from(first)
    found = found.join(JobTable, JobTable.id == first.c.job_id).join(CaseTable, CaseTable.id == JobTable.case_id)
    return found.group_by(*by, JobTable.state)


def _standing(connection: Connection) -> Standing:
    documents = select(func.count()).select_from(DocumentTable).where(DocumentTable.state.in_(UNSENT))
    counted = (
        select(func.count()).select_from(ArrivalTable).where(ArrivalTable.state == "waiting"),
        select(func.count()).select_from(ParcelTable).where(ParcelTable.state.in_(("open", "stopped"))),
        select(func.count()).select_from(JobTable).where(JobTable.state == "held"),
        documents.where(DocumentTable.kind == "ticket"),
        documents.where(DocumentTable.kind == "letter"),
    )
    return Standing(*connection.execute(select(*(each.scalar_subquery() for each in counted))).one())


def _unfinished(states: Sequence[JobState]) -> tuple[ColumnElement[bool], ...]:
    return JobTable.state.in_(states), JobTable.finished.is_(None)


def _starts(start: date) -> ColumnElement[bool]:
    return JobTable.latest_start.is_(None) | (JobTable.latest_start <= start)
