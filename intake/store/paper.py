"""Tickets and letters: made to wait, drawn, sent to a queue, done or failed."""

import hashlib
from collections.abc import Sequence
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from intake.domain.job_number import JobNumber
from intake.store.boxing import cancel_tickets, waiting_document
from intake.store.chain import Journal, Subject
from intake.store.meanwhile import NotNow, NotThere
from intake.store.rows import TicketCopy
from intake.store.tables import CaseTable, DocumentFileTable, DocumentTable, JobTable, PracticeTable, QueryTable
from intake.store.words import DocumentState

_BEFORE: dict[DocumentState, tuple[DocumentState, ...]] = {
    "drawn": ("waiting", "failed"),
    "sent": ("drawn", "sent", "failed"),
    "failed": ("waiting", "drawn", "sent", "failed"),
    "done": ("drawn", "sent", "failed"),
}
"""The states from which a document comes into each."""


class Paper:
    """The documents of one unit of work."""

    def __init__(self, session: Session, journal: Journal) -> None:
        """Write through a session and its journal."""
        self._session, self._journal = session, journal

    def next_copy(self, number: str, reason: str) -> TicketCopy:
        """Let the next copy of a job's ticket wait; whatever of its earlier copies is not printed is cancelled.

        Raises:
            NotThere: no job has that number.
            NotNow: the job is withdrawn.
            NumberRefused: a ticket has no copies beyond the 99th.
        """
        job = self._session.scalar(select(JobTable).where(JobTable.number == number))
        if job is None:
            raise NotThere(f"There is no job {JobNumber(number).shown}.")
        if job.state == "withdrawn":
            raise NotNow(f"Job {JobNumber(number).shown} is withdrawn; it gets no ticket.")
        cancelled = cancel_tickets(self._session, [job.id])
        newest = self._session.scalar(select(func.max(DocumentTable.copy)).where(DocumentTable.job_id == job.id))
        copy = (newest or 0) + 1
        JobNumber(number).barcode(copy)  # a copy that no barcode can say is refused
        columns = {"practice_code": None, "practice_name": "", "copy": copy, "reason": reason}
        document = self._add(kind="ticket", job_id=job.id, **columns)
        told = {"document": document.id, "copy": copy, "cancelled": cancelled}
        self._journal.record("ticket-copied", Subject(case_id=job.case_id, job=number), told, {"reason": reason})
        return TicketCopy(document.id, job.id, job.case_id, number, copy, reason)

    def add_letter(self, query_ids: Sequence[int], reason: str = "") -> int:
        """Let a letter wait that asks these queries of their practice; the document's id.

        Raises:
            NotThere: there is no such query, or none was given.
            NotNow: one of them is not open, or they are of several practices.
        """
        queries = list(self._session.scalars(select(QueryTable).where(QueryTable.id.in_(query_ids))))
        if not queries or len(queries) != len(set(query_ids)):
            raise NotThere("A letter needs queries that are in the store.")
        if any(query.state != "open" for query in queries):
            raise NotNow("One of these queries is no longer open. Gather the letter once more.")
        code, name = self._practice({query.case_id for query in queries})
        document = self._add(kind="letter", job_id=None, practice_code=code, practice_name=name, reason=reason)
        by_case: dict[int, list[int]] = {}
        for query in queries:
            query.letter_id = document.id
            by_case.setdefault(query.case_id, []).append(query.id)
        for case_id, asked in by_case.items():
            told = {"document": document.id, "queries": sorted(asked)}
            self._journal.record("letter-added", Subject(case_id=case_id, practice=code), told)
        return document.id

    def keep_pdf(self, document_id: int, pdf: bytes) -> None:
        """Keep the PDF of a document that waits to be drawn. What was drawn once is never replaced.

        Raises:
            NotThere: there is no such document.
            NotNow: it is drawn already, or cancelled.
        """
        document = self._document(document_id)
        if self._is_drawn(document_id):
            raise NotNow(f"This {document.kind} is drawn already. What was issued is kept as it was; make a new copy.")
        sha256 = hashlib.sha256(pdf).hexdigest()
        self._move(document, "drawn", sha256=sha256)
        self._session.add(DocumentFileTable(document_id=document_id, pdf=pdf, sha256=sha256))

    def mark_sent(self, document_id: int, queue: str, queue_job: str) -> None:
        """A queue has taken the document as its job.

        Raises:
            NotThere: there is no such document.
            NotNow: nothing was drawn, or it is done or cancelled.
        """
        document = self._document(document_id)
        self._must_be_drawn(document)
        document.queue, document.queue_job = queue, queue_job
        self._move(document, "sent", queue=queue, queue_job=queue_job)

    def mark_failed(self, document_id: int, problem: str) -> None:
        """It could not be drawn or printed; it stays among what waits, with the problem in a sentence.

        Raises:
            NotThere: there is no such document.
            NotNow: it is done or cancelled.
        """
        document = self._document(document_id)
        self._move(document, "failed", problem=problem)

    def mark_done(self, document_id: int) -> None:
        """The queue says that it is printed; or it was kept as a file, which is all that was asked.

        Raises:
            NotThere: there is no such document.
            NotNow: nothing was drawn, or it is cancelled.
        """
        document = self._document(document_id)
        self._must_be_drawn(document)
        self._move(document, "done")

    def _add(self, **columns: Any) -> DocumentTable:
        document = waiting_document(self._journal, **columns)
        self._session.add(document)
        self._session.flush()
        return document

    def _document(self, document_id: int) -> DocumentTable:
        document = self._session.get(DocumentTable, document_id)
        if document is None:
            raise NotThere(f"There is no document {document_id}.")
        return document

    def _is_drawn(self, document_id: int) -> bool:
        drawn = select(DocumentFileTable.document_id).where(DocumentFileTable.document_id == document_id)
        return self._session.scalar(drawn) is not None

    def _must_be_drawn(self, document: DocumentTable) -> None:
        if not self._is_drawn(document.id):
            raise NotNow(f"This {document.kind} is not drawn yet, so it cannot be printed.")

    def _move(self, document: DocumentTable, state: DocumentState, **more: str) -> None:
        """Set a document's state and record it."""
        if document.state not in _BEFORE[state]:
            raise NotNow(f"This {document.kind} is {document.state}; it cannot become {state}.")
        told = {"document": document.id, "copy": document.copy, "state": [document.state, state], **more}
        document.state, document.problem = state, more.get("problem")
        self._session.flush()
        job = self._session.get(JobTable, document.job_id) if document.job_id else None
        subject = Subject(job.case_id, job.number) if job else Subject(practice=document.practice_code)
        self._journal.record(f"{document.kind}-{state}", subject, told)

    def _practice(self, case_ids: set[int]) -> tuple[str | None, str]:
        """The one practice of these cases: its code when the directory has it, and its name."""
        columns = CaseTable.practice_code, CaseTable.practice_name, PracticeTable.name
        of_cases = select(*columns).outerjoin(PracticeTable).where(CaseTable.id.in_(case_ids)).distinct()
        practices = {(code, known or name) for code, name, known in self._session.execute(of_cases)}
        if len(practices) > 1:
            raise NotNow("These queries are of several practices; a letter is to one.")
        return practices.pop()
