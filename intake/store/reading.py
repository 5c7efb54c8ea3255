"""What lists and screens read: one select each, frozen rows."""

import json
from collections.abc import Callable, Collection, Iterable
from datetime import date, datetime, time, timedelta
from typing import Any

from sqlalchemy import Row, func, select

from intake.domain.wanted import Mended, Wanted
from intake.store.closing_reading import ClosingReading
from intake.store.link_reading import LinkReading
from intake.store.load_reading import LoadReading
from intake.store.move_reading import MoveReading
from intake.store.near import FoundJobs, look_up
from intake.store.parcel_reading import ParcelReading
from intake.store.pouring_reading import PouringReading
from intake.store.practice_reading import PracticeReading
from intake.store.recount_reading import RecountReading
from intake.store.rows import (
    ArrivalRow,
    CaseRow,
    Counts,
    DocumentRow,
    Draft,
    EventRow,
    JobRow,
    PracticeRow,
    QueryRow,
)
from intake.store.scan_reading import ScanReading
from intake.store.searching import Search, search
from intake.store.selecting import job_row
from intake.store.selects import ARRIVALS, CASES, DOCUMENTS, JOBS, QUERIES, AnySelect
from intake.store.setup_reading import SetupReading
from intake.store.tables import (
    ArrivalTable,
    CaseTable,
    DocumentFileTable,
    DocumentTable,
    DraftTable,
    EventTable,
    JobTable,
    PracticeTable,
    QueryTable,
)
from intake.store.trial_reading import TrialReading
from intake.store.waiting import Waiting
from intake.store.words import ArrivalState


class Reading(
    Waiting,
    ScanReading,
    ParcelReading,
    MoveReading,
    LinkReading,
    ClosingReading,
    PouringReading,
    LoadReading,
    SetupReading,
    TrialReading,
    RecountReading,
    PracticeReading,
):
    """Everything that can be read; each method reads what is committed at that moment."""

    def practices(self) -> tuple[PracticeRow, ...]:
        """The directory by name."""
        rows = self._all(select(PracticeTable.details, PracticeTable.version).order_by(PracticeTable.name))
        return tuple(PracticeRow(*row) for row in rows)

    def practice(self, code: str) -> PracticeRow | None:
        """One practice of the directory."""
        found = select(PracticeTable.details, PracticeTable.version).where(PracticeTable.code == code)
        return next((PracticeRow(*row) for row in self._all(found)), None)

    def arrivals(self, state: ArrivalState = "waiting") -> tuple[ArrivalRow, ...]:
        """The arrivals in a state, oldest first."""
        found = ARRIVALS.where(ArrivalTable.state == state).order_by(ArrivalTable.arrived, ArrivalTable.id)
        return tuple(ArrivalRow(*row) for row in self._all(found))

    def arrival(self, arrival_id: int) -> ArrivalRow | None:
        """One arrival."""
        return next((ArrivalRow(*row) for row in self._all(ARRIVALS.where(ArrivalTable.id == arrival_id))), None)

    def arrival_of(self, fingerprint: str) -> ArrivalRow | None:
        """The arrival with a fingerprint, whatever became of it."""
        found = ARRIVALS.where(ArrivalTable.fingerprint == fingerprint)
        return next((ArrivalRow(*row) for row in self._all(found)), None)

    def arrivals_of_case(self, case_id: int) -> tuple[ArrivalRow, ...]:
        """The arrivals that a case came in, oldest first."""
        found = ARRIVALS.where(ArrivalTable.case_id == case_id).order_by(ArrivalTable.arrived, ArrivalTable.id)
        return tuple(ArrivalRow(*row) for row in self._all(found))

    def case(self, case_id: int) -> CaseRow | None:
        """One case as it stands."""
        return self._case(CASES.where(CaseTable.id == case_id))

    def case_of_token(self, token: str) -> CaseRow | None:
        """The case that was booked with a token."""
        return self._case(CASES.where(CaseTable.token == token))

    def case_of_job(self, number: str) -> CaseRow | None:
        """The case of a job by its number's digits."""
        return self._case(CASES.join(JobTable).where(JobTable.number == number))

    def job(self, number: str) -> JobRow | None:
        """One job by its number's digits."""
        return next(iter(self._jobs(JOBS.where(JobTable.number == number))), None)

    def jobs_of(self, case_id: int) -> tuple[JobRow, ...]:
        """The jobs of a case in the order of their numbers, withdrawn ones among them."""
        return self._jobs(JOBS.where(JobTable.case_id == case_id).order_by(JobTable.id))

    def find(self, words: str, limit: int = 50) -> tuple[JobRow, ...]:
        """The jobs that every one of the words fits, newest first.

        A word fits the beginning of a number, its last digits (three or more), or the beginning of a word of the
        practice's code or name, the patient's label or reference, the name on the bag, the prescriber's surname or the
        parcel's label; case, accents and punctuation do not count.
        """
        with self._engine.connect() as connection:
            return tuple(job_row(row) for row in search(connection, words, limit))

    def look_up(
        self, wanted: Wanted, mended: Callable[[], Iterable[Mended]] | None = None, limit: int = 50
    ) -> FoundJobs:
        """The jobs that are wanted; where there are none, those that are near, or that fit most of what is wanted.

        Args:
            wanted: What is looked for.
            mended: Gives what may be looked for if one of the lab's own words was mistyped; None where nothing that is
                near is wanted.
            limit: So many jobs at the most.
        """
        with self._engine.connect() as connection:
            return look_up(Search(connection), wanted, mended, limit)

    def jobs_numbered(self, numbers: Collection[str]) -> tuple[JobRow, ...]:
        """Those of some numbers, each by its digits, that a job has, newest first."""
        return self._jobs(JOBS.where(JobTable.number.in_(numbers)).order_by(JobTable.id.desc()))

    def documents_waiting(self) -> tuple[DocumentRow, ...]:
        """What is not printed: waiting, drawn or failed, oldest first."""
        return self._documents(DOCUMENTS.where(DocumentTable.state.in_(("waiting", "drawn", "failed"))))

    def newest_letter(self) -> DocumentRow | None:
        """The letter that was written last; None before the first."""
        newest = select(func.max(DocumentTable.id)).where(DocumentTable.kind == "letter").scalar_subquery()
        return next(iter(self._documents(DOCUMENTS.where(DocumentTable.id == newest))), None)

    def documents_sent(self) -> tuple[DocumentRow, ...]:
        """What a queue has taken and has not yet reported done, oldest first."""
        return self._documents(DOCUMENTS.where(DocumentTable.state == "sent"))

    def document(self, document_id: int) -> DocumentRow | None:
        """One ticket or letter."""
        return next(iter(self._documents(DOCUMENTS.where(DocumentTable.id == document_id))), None)

    def documents_of(self, number: str) -> tuple[DocumentRow, ...]:
        """The tickets of a job, copy by copy."""
        return self._documents(DOCUMENTS.where(JobTable.number == number))

    def pdf(self, document_id: int) -> bytes | None:
        """The PDF that was issued; None while nothing was drawn."""
        found = select(DocumentFileTable.pdf).where(DocumentFileTable.document_id == document_id)
        return next((row[0] for row in self._all(found)), None)

    def open_queries(self, practice: str | None = None) -> tuple[QueryRow, ...]:
        """The open queries of cases that stand, of one practice's code or of all."""
        found = QUERIES.where(QueryTable.state == "open", CaseTable.state == "open")
        return self._queries(found if practice is None else found.where(CaseTable.practice_code == practice))

    def queries_of(self, case_id: int) -> tuple[QueryRow, ...]:
        """Every query of a case, closed ones among them."""
        return self._queries(QUERIES.where(QueryTable.case_id == case_id))

    def history(self, case_id: int) -> tuple[EventRow, ...]:
        """Everything that happened to a case, oldest first."""
        return self._events(EventTable.case_id == case_id)

    def history_of_practice(self, code: str) -> tuple[EventRow, ...]:
        """Everything that happened to a practice, oldest first, also under the codes that it had before."""
        row = self.practice(code)
        return self._events(EventTable.practice.in_((code, *(row.practice.former if row else ()))))

    def draft(self, desk: str) -> Draft | None:
        """What is half typed at a desk."""
        found = select(DraftTable.content, DraftTable.saved).where(DraftTable.desk == desk)
        return next((Draft(*row) for row in self._all(found)), None)

    def counts(self, day: date) -> Counts:
        """The day in numbers."""
        start = datetime.combine(day, time())
        today = CaseTable.booked >= start, CaseTable.booked < start + timedelta(days=1), CaseTable.state == "open"
        asked = QueryTable.state == "open", CaseTable.state == "open"
        counted = (
            _count(ArrivalTable).where(ArrivalTable.state == "waiting"),
            _count(CaseTable).where(*today),
            _count(JobTable).where(JobTable.state == "held"),
            _count(JobTable).join(CaseTable).where(*today, JobTable.state == "clear"),
            _count(QueryTable).join(CaseTable, QueryTable.case_id == CaseTable.id).where(*asked),
            _count(QueryTable).join(CaseTable).where(*asked, QueryTable.letter_id.is_(None)),
            _count(DocumentTable).where(DocumentTable.state.in_(("waiting", "drawn"))),
            _count(DocumentTable).where(DocumentTable.state == "failed"),
        )
        return Counts(*self._all(select(*(each.scalar_subquery() for each in counted)))[0])

    def _events(self, about: Any) -> tuple[EventRow, ...]:
        return tuple(
            _event(row) for row in self._all(select(EventTable.__table__).where(about).order_by(EventTable.seq))
        )


def _count(table: Any) -> AnySelect:
    return select(func.count()).select_from(table)


def _event(row: Row[Any]) -> EventRow:
    subject = row.case_id, row.job, row.practice, row.arrival_id
    personal = json.loads(row.personal) if row.personal else None
    return EventRow(row.seq, row.at, row.who, row.kind, *subject, json.loads(row.details), personal)
