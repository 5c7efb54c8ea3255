"""What is read of what waits on practices: whom to ring, what was said, what is promised, what came back."""

from collections.abc import Collection
from datetime import date, datetime, time, timedelta

from sqlalchemy import func, select

from intake.store.keys import is_of, key_of
from intake.store.rows import CaseRow, DocumentRow, JobRow, PracticeRow, QueryRow
from intake.store.selecting import Selecting, parts
from intake.store.selects import (
    ANSWERS,
    ATTEMPTS,
    CASES,
    DOCUMENTS,
    EXPECTED,
    JOBS,
    QUERIES,
    REPLIES,
    RING,
    AnySelect,
)
from intake.store.tables import CaseTable, DocumentTable, JobTable, PracticeTable, QueryTable
from intake.store.waiting_rows import AnswerRow, AttemptRow, ExpectedRow, ReplyFile, ReplyRow, RingRow
from intake.store.waiting_tables import (
    AnswerTable,
    AttemptTable,
    LetterAnswerTable,
    LetterQueryTable,
    ReplyFileTable,
    ReplyTable,
)
from intake.store.words import ReplyState


class Waiting(Selecting):
    """What waits on practices. `key` is a practice's key; without one, the practices all."""

    def ring_rows(self, key: str | None = None) -> tuple[RingRow, ...]:
        """The open queries of cases that stand, lean, case by case."""
        found = _of(RING, key).order_by(QueryTable.case_id, QueryTable.id)
        return tuple(map(RingRow._make, self._all(found)))

    def attempts(self, key: str | None = None, since: datetime | None = None) -> tuple[AttemptRow, ...]:
        """The calls that were tried, oldest first."""
        found = ATTEMPTS if key is None else ATTEMPTS.where(AttemptTable.practice_key == key)
        found = found if since is None else found.where(AttemptTable.at >= since)
        return tuple(map(AttemptRow._make, self._all(found.order_by(AttemptTable.id))))

    def practices_of(self, codes: Collection[str]) -> tuple[PracticeRow, ...]:
        """The practices of the directory with these codes, by code."""
        found = select(PracticeTable.details, PracticeTable.version).where(PracticeTable.code.in_(set(codes)))
        return tuple(PracticeRow(*row) for row in self._all(found.order_by(PracticeTable.code)))

    def query(self, query_id: int) -> QueryRow | None:
        """One query."""
        return next(iter(self._queries(QUERIES.where(QueryTable.id == query_id))), None)

    def practice_queries(self, key: str) -> tuple[QueryRow, ...]:
        """The open queries of a practice's cases that stand."""
        return self._queries(_of(QUERIES.where(QueryTable.state == "open", CaseTable.state == "open"), key))

    def cases(self, case_ids: Collection[int]) -> dict[int, CaseRow]:
        """Cases by their ids."""
        selects = (CASES.where(CaseTable.id.in_(part)).order_by(CaseTable.id) for part in parts(case_ids))
        rows = (CaseRow(*row) for found in selects for row in self._all(found))
        return {row.case_id: row for row in rows}

    def jobs_of_cases(self, case_ids: Collection[int]) -> dict[int, tuple[JobRow, ...]]:
        """The jobs of each case in the order of their numbers, withdrawn ones among them; none is an empty tuple."""
        jobs: dict[int, tuple[JobRow, ...]] = dict.fromkeys(case_ids, ())
        for part in parts(case_ids):
            for job in self._jobs(JOBS.where(JobTable.case_id.in_(part)).order_by(JobTable.id)):
                jobs[job.case_id] = (*jobs[job.case_id], job)
        return jobs

    def answers_of(self, case_id: int) -> tuple[AnswerRow, ...]:
        """Every answer about a case, oldest first, taken back ones among them."""
        return self._answers(ANSWERS.where(AnswerTable.case_id == case_id))

    def answers_to(self, query_id: int) -> tuple[AnswerRow, ...]:
        """Every answer to a query, oldest first, taken back ones among them."""
        return self._answers(ANSWERS.where(AnswerTable.query_id == query_id))

    def answers_in(self, letter_id: int) -> tuple[AnswerRow, ...]:
        """The answers that a letter asks to confirm."""
        in_letter = select(LetterAnswerTable.answer_id).where(LetterAnswerTable.letter_id == letter_id)
        return self._answers(ANSWERS.where(AnswerTable.id.in_(in_letter)))

    def spoken(self, key: str | None = None) -> tuple[AnswerRow, ...]:
        """The answers that count, were given by word of mouth and are not confirmed in writing, oldest first."""
        unconfirmed = AnswerTable.spoken, AnswerTable.confirmed.is_(None), AnswerTable.counts, ~AnswerTable.taken_back
        return self._answers(_of(ANSWERS.where(*unconfirmed, CaseTable.state == "open"), key))

    def letters_to(self, key: str, since: datetime | None = None) -> tuple[DocumentRow, ...]:
        """The letters to a practice, oldest first, cancelled ones among them."""
        found = DOCUMENTS.where(DocumentTable.job_id.is_(None), DocumentTable.kind == "letter")
        found = found.where(is_of(DocumentTable, key))
        return self._documents(found if since is None else found.where(DocumentTable.created >= since))

    def letters_on(self, day: date) -> frozenset[str]:
        """The keys of the practices that a letter was written to on a day, cancelled ones left out."""
        start = datetime.combine(day, time())
        on_day = DocumentTable.created >= start, DocumentTable.created < start + timedelta(days=1)
        letters = DocumentTable.job_id.is_(None), DocumentTable.kind == "letter", DocumentTable.state != "cancelled"
        found = select(DocumentTable.practice_code, DocumentTable.practice_name).where(*letters, *on_day)
        return frozenset(key_of(*row) for row in self._all(found))

    def letter_queries(self, letter_id: int) -> tuple[tuple[int, int], ...]:
        """Each query that a letter asks, with the how-manieth reminder of it the letter is."""
        found = select(LetterQueryTable.query_id, LetterQueryTable.reminder)
        found = found.where(LetterQueryTable.letter_id == letter_id).order_by(LetterQueryTable.query_id)
        return tuple((query_id, reminder) for query_id, reminder in self._all(found))

    def first_asked(self, query_ids: Collection[int], before: int) -> date | None:
        """The day of the first letter, cancelled ones left out, that asked any of some queries before a letter did."""
        asks = LetterQueryTable.query_id.in_(set(query_ids)), LetterQueryTable.letter_id < before
        found = select(func.min(DocumentTable.created)).join(
            LetterQueryTable, LetterQueryTable.letter_id == DocumentTable.id
        )
        first = next(row[0] for row in self._all(found.where(*asks, DocumentTable.state != "cancelled")))
        return first.date() if first is not None else None

    def queries_in(self, letter_id: int) -> tuple[QueryRow, ...]:
        """The queries that a letter asks, closed ones among them."""
        in_letter = select(LetterQueryTable.query_id).where(LetterQueryTable.letter_id == letter_id)
        return self._queries(QUERIES.where(QueryTable.id.in_(in_letter)))

    def expected(self, key: str | None = None) -> tuple[ExpectedRow, ...]:
        """The open queries for which something is promised, by the day it can be here."""
        found = _of(EXPECTED, key).order_by(QueryTable.expected_on, QueryTable.id)
        return tuple(ExpectedRow(*row) for row in self._all(found))

    def forgets(self, key: str, since: datetime) -> tuple[tuple[str, int], ...]:
        """What a practice had to be asked since then: each requirement and in how many cases, most first."""
        cases = func.count(QueryTable.case_id.distinct())
        found = select(QueryTable.requirement, cases).join(CaseTable, CaseTable.id == QueryTable.case_id)
        found = _of(found.where(QueryTable.opened >= since, CaseTable.state == "open"), key)
        found = found.group_by(QueryTable.requirement).order_by(cases.desc(), QueryTable.requirement)
        return tuple((requirement, count) for requirement, count in self._all(found))

    def forgetful(self, since: datetime, limit: int) -> tuple[tuple[str, str, int, int], ...]:
        """The practices that had to be asked most since then: key, name, how many of their cases, how many queries."""
        of_case = select(QueryTable.case_id, func.count().label("queries")).where(QueryTable.opened >= since)
        asked = of_case.group_by(QueryTable.case_id).subquery()
        who = CaseTable.practice_code, CaseTable.practice_name, PracticeTable.name
        found = select(*who, func.count(), func.sum(asked.c.queries)).select_from(asked)
        found = found.join(CaseTable, CaseTable.id == asked.c.case_id)
        found = found.outerjoin(PracticeTable, PracticeTable.code == CaseTable.practice_code)
        found = found.where(CaseTable.state == "open").group_by(*who)
        rows = ((key_of(code, name), known or name, *counts) for code, name, known, *counts in self._all(found))
        return tuple(sorted(rows, key=lambda row: (-row[3], row[0]))[:limit])

    def replies(self, state: ReplyState = "waiting") -> tuple[ReplyRow, ...]:
        """The returned forms in a state, oldest first."""
        return self._replies(REPLIES.where(ReplyTable.state == state))

    def reply(self, reply_id: int) -> ReplyRow | None:
        """One returned form."""
        return next(iter(self._replies(REPLIES.where(ReplyTable.id == reply_id))), None)

    def reply_of(self, fingerprint: str) -> ReplyRow | None:
        """The returned form with a fingerprint, whatever became of it."""
        return next(iter(self._replies(REPLIES.where(ReplyTable.fingerprint == fingerprint))), None)

    def replies_to(self, letter_id: int) -> tuple[ReplyRow, ...]:
        """The returned forms of a letter, oldest first."""
        return self._replies(REPLIES.where(ReplyTable.letter_id == letter_id))

    def reply_file(self, reply_id: int) -> ReplyFile | None:
        """The file that a returned form came as."""
        found = select(ReplyFileTable.name, ReplyFileTable.content).where(ReplyFileTable.reply_id == reply_id)
        return next((ReplyFile(*row) for row in self._all(found)), None)

    def _answers(self, found: AnySelect) -> tuple[AnswerRow, ...]:
        return tuple(AnswerRow(*row) for row in self._all(found.order_by(AnswerTable.id)))

    def _replies(self, found: AnySelect) -> tuple[ReplyRow, ...]:
        return tuple(ReplyRow(*row) for row in self._all(found.order_by(ReplyTable.id)))


def _of(found: AnySelect, key: str | None) -> AnySelect:
    """Of one practice's cases, or of all."""
    return found if key is None else found.where(is_of(CaseTable, key))
