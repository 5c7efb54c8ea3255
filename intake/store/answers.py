"""What practices answered: added, confirmed, marked as taken back; what an answer says is never changed."""

from collections.abc import Collection, Sequence
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from intake.domain.answer import Answer, Speaker
from intake.store.asking import query_name
from intake.store.chain import Journal, Subject
from intake.store.meanwhile import NotNow, NotThere
from intake.store.tables import CaseTable, QueryTable
from intake.store.waiting_tables import AnswerTable

SETTLING = ("value", "usual", "as-it-is")
"""The kinds of answer that make an earlier promise pointless."""


class Answers:
    """The answers of one unit of work."""

    def __init__(self, session: Session, journal: Journal) -> None:
        """Write through a session and its journal."""
        self._session, self._journal = session, journal

    def add(
        self,
        query_id: int,
        answer: Answer,
        speaker: Speaker,
        *,
        counts: bool,
        spoken: bool,
        reply_id: int | None = None,
    ) -> int:
        """Keep an answer; its id. A promise that counts is what is expected from now on.

        The query stays open until an amendment of its case closes it.

        Args:
            query_id: The query.
            answer: What was said.
            speaker: Who said it, in what role and by which way.
            counts: Whether it answers the query; else it is kept as a note.
            spoken: Whether it was said by word of mouth and changes what is made, and has to be confirmed in writing.
            reply_id: The returned form that it came on.

        Raises:
            NotThere: there is no such query.
            NotNow: the query is closed, or its case is withdrawn.
        """
        query = self._open_query(query_id)
        row = AnswerTable(
            query_id=query.id,
            case_id=query.case_id,
            at=self._journal.at,
            who=self._journal.who,
            kind=answer.kind,
            says=answer.says,
            written=answer.written,
            answer=answer,
            speaker=speaker.name,
            authority=speaker.authority,
            route=speaker.route,
            counts=counts,
            spoken=spoken,
            confirmed_how="",
            reply_id=reply_id,
            taken_back=False,
        )
        self._session.add(row)
        self._session.flush()
        self._expect(query)
        told: dict[str, Any] = {"kind": answer.kind, "by": speaker.name, "authority": speaker.authority}
        told |= {"route": speaker.route, "counts": counts, "spoken": spoken, "reply": reply_id}
        self._record("query-answered", row, query, told, {"written": answer.written})
        return row.id

    def take_back(self, answer_id: int) -> None:
        """Mark an answer as taken back: what was promised before is expected again, and its query asks again.

        A query that was closed by it is open again, with its letters; the case has to be amended as it was.

        Raises:
            NotThere: there is no such answer.
            NotNow: it was taken back already.
        """
        row = self._answer(answer_id)
        if row.taken_back:
            raise NotNow("This answer was taken back already.")
        query = self._query(row.query_id)
        row.taken_back = True
        self._session.flush()
        reopened = query.state == "answered" and not any(each.kind in SETTLING for each in self._standing(query))
        if reopened:
            query.state = "open"
        self._expect(query)
        self._record("answer-taken-back", row, query, {"reopened": reopened})

    def reopen(self, query_ids: Collection[int]) -> None:
        """Ask queries again that were settled by what arrived; what was promised for them is expected as before.

        Of these the open ones stay as they are; the case has to be amended as it was.

        Raises:
            NotThere: there is no such query.
        """
        for query_id in sorted(set(query_ids)):
            query = self._query(query_id)
            if query.state != "answered":
                continue
            query.state = "open"
            self._session.flush()
            self._journal.record("query-reopened", Subject(case_id=query.case_id), {"query": query_name(query)})

    def confirm(self, answer_ids: Collection[int], how: str) -> None:
        """Mark answers by word of mouth as confirmed in writing: `by letter`, `by e-mail`, `on the reply form`.

        Raises:
            NotThere: there is no such answer.
            NotNow: one of them needs no confirmation, or has it, or was taken back.
        """
        for answer_id in sorted(set(answer_ids)):
            row = self._answer(answer_id)
            if row.taken_back or not row.spoken or row.confirmed is not None:
                raise NotNow("One of these answers is confirmed already, or was taken back. Look at them again.")
            row.confirmed, row.confirmed_how = self._journal.at, how
            self._session.flush()
            self._record("answer-confirmed", row, self._query(row.query_id), {"how": how})

    def _expect(self, query: QueryTable) -> None:
        """Write into a query what is expected by the answers that stand: the newest promise, until it is settled."""
        promised: AnswerTable | None = None
        for row in self._standing(query):
            if row.kind == "promise":
                promised = row
            elif row.kind in SETTLING:
                promised = None
        promise = promised.answer.promise if promised else None
        query.promise, query.expected_on = promise, promise.by if promise else None
        query.expected = promised.says if promised else None
        self._session.flush()

    def _standing(self, query: QueryTable) -> Sequence[AnswerTable]:
        """The answers to a query that count and were not taken back, oldest first."""
        stands = AnswerTable.query_id == query.id, AnswerTable.counts, ~AnswerTable.taken_back
        return self._session.scalars(select(AnswerTable).where(*stands).order_by(AnswerTable.id)).all()

    def _open_query(self, query_id: int) -> QueryTable:
        query = self._query(query_id)
        if query.state != "open":
            raise NotNow(f"This question is {query.state} meanwhile. Look at it again.")
        case = self._session.get(CaseTable, query.case_id)
        if case is None or case.state != "open":
            raise NotNow("The case of this question is withdrawn.")
        return query

    def _query(self, query_id: int) -> QueryTable:
        query = self._session.get(QueryTable, query_id)
        if query is None:
            raise NotThere(f"There is no question {query_id}.")
        return query

    def _answer(self, answer_id: int) -> AnswerTable:
        row = self._session.get(AnswerTable, answer_id)
        if row is None:
            raise NotThere(f"There is no answer {answer_id}.")
        return row

    def _record(
        self, kind: str, row: AnswerTable, query: QueryTable, told: dict[str, Any], more: dict[str, Any] | None = None
    ) -> None:
        """Record an event; what was said may name the patient."""
        details = {"answer": row.id, "query": query_name(query)} | told
        self._journal.record(kind, Subject(case_id=row.case_id), details, {"says": row.says} | (more or {}))
