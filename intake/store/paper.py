"""Tickets, letters and blank forms: made to wait, drawn, sent to a queue, done or failed."""

import hashlib
from collections.abc import Collection, Mapping, Sequence
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from intake.domain.job_number import JobNumber
from intake.store.boxing import cancel_tickets, waiting_document
from intake.store.chain import Journal, Subject
from intake.store.letters import by_case, cases_in, one_practice, put_in, take_out, to_ask, to_confirm
from intake.store.meanwhile import NotNow, NotThere
from intake.store.rows import TicketCopy
from intake.store.tables import DocumentFileTable, DocumentTable, JobTable, PracticeTable
from intake.store.words import DocumentKind, DocumentState, Way

_BEFORE: dict[DocumentState, tuple[DocumentState, ...]] = {
    "drawn": ("waiting", "failed"),
    "sent": ("drawn", "sent", "failed"),
    "failed": ("waiting", "drawn", "sent", "failed"),
    "done": ("drawn", "sent", "failed"),
    "cancelled": ("waiting", "drawn", "failed"),
}
"""The states from which a document comes into each."""


_NAMES: dict[str, str] = {
    "ticket": "ticket",
    "letter": "letter",
    "blank": "blank form",
    "return-note": "note of return",
    "stickers": "sheet of stickers",
    "bench-codes": "sheet of bench codes",
    "box-labels": "sheet of box labels",
    "day-sheet": "day sheet",
    "pour-list": "pour list",
}


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

    def add_letter(
        self,
        query_ids: Collection[int],
        answer_ids: Collection[int] = (),
        *,
        reason: str = "",
        way: Way = "print",
        address: str = "",
        reminder: int = 0,
    ) -> int:
        """Let a letter to a practice wait; the document's id.

        Args:
            query_ids: The queries that it asks.
            answer_ids: The answers by word of mouth that it asks to confirm.
            reason: Why it is written.
            way: How it leaves.
            address: Where it goes as an e-mail.
            reminder: The how-manieth reminder it is to the queries that a letter asked before.

        Raises:
            NotThere: a query or an answer is not in the store, or none was given.
            NotNow: a query is not open, an answer needs no confirmation any more, or they are of several practices.
        """
        if not query_ids and not answer_ids:
            raise NotThere("A letter needs queries that are in the store.")
        queries, answers = to_ask(self._session, query_ids), to_confirm(self._session, answer_ids)
        asked, told = by_case(queries), by_case(answers)
        code, name = one_practice(self._session, {*asked, *told})
        to = {"practice_code": code, "practice_name": name, "way": way, "address": address}
        document = self._add(kind="letter", job_id=None, reason=reason, **to)
        put_in(self._session, document.id, queries, answers, reminder)
        for case_id in dict.fromkeys((*asked, *told)):
            details = {"document": document.id, "queries": asked.get(case_id, []), "answers": told.get(case_id, [])}
            details |= {"way": way, "reminder": reminder}
            self._journal.record("letter-added", Subject(case_id=case_id, practice=code), details)
        return document.id

    def cancel_letter(self, letter_id: int) -> None:
        """Cancel a letter that was not sent; what it asks and confirms has its former letter again.

        Raises:
            NotThere: there is no such letter.
            NotNow: it was sent, or is cancelled.
        """
        document = self._document(letter_id)
        if document.kind != "letter":
            raise NotThere(f"There is no letter {letter_id}.")
        self._move(document, "cancelled")
        take_out(self._session, letter_id)

    def add_blank(self, practice_code: str, *, way: Way, address: str = "") -> int:
        """Let a blank prescription form for a practice of the directory wait; the document's id.

        Raises:
            NotThere: the directory has no such practice.
        """
        practice = self._session.get(PracticeTable, practice_code)
        if practice is None:
            raise NotThere(f"The directory has no practice “{practice_code}”.")
        to = {"practice_code": practice.code, "practice_name": practice.name, "way": way, "address": address}
        document = self._add(kind="blank", job_id=None, **to)
        self._journal.record("blank-added", Subject(practice=practice.code), {"document": document.id, "way": way})
        return document.id

    def add_sheet(
        self, kind: DocumentKind, about: Mapping[str, Any] | None = None, practice_code: str | None = None
    ) -> int:
        """Let a sheet wait that is neither ticket nor letter; the document's id.

        Args:
            kind: Which.
            about: What it is about, as JSON: `{"parcel": 12}`.
            practice_code: The practice that it is for, if it is for one of the directory.

        Raises:
            NotThere: the directory has no such practice.
        """
        practice = self._session.get(PracticeTable, practice_code) if practice_code is not None else None
        if practice_code is not None and practice is None:
            raise NotThere(f"The directory has no practice “{practice_code}”.")
        to = {"practice_code": practice_code, "practice_name": practice.name if practice else ""}
        document = self._add(kind=kind, job_id=None, about=dict(about or {}), **to)
        told = {"document": document.id, "about": document.about}
        self._journal.record(f"{kind}-added", Subject(practice=practice_code), told)
        return document.id

    def cancel_sheet(self, document_id: int) -> None:
        """Cancel a sheet that was not printed.

        Raises:
            NotThere: there is no such sheet.
            NotNow: it was sent, or is cancelled.
        """
        document = self._document(document_id)
        if document.kind in ("ticket", "letter"):
            raise NotThere(f"There is no sheet {document_id}.")
        self._move(document, "cancelled")

    def keep_pdf(self, document_id: int, pdf: bytes) -> None:
        """Keep the PDF of a document that waits to be drawn. What was drawn once is never replaced.

        Raises:
            NotThere: there is no such document.
            NotNow: it is drawn already, or cancelled.
        """
        document = self._document(document_id)
        if self._is_drawn(document_id):
            raise NotNow(
                f"This {_NAMES[document.kind]} is drawn already. What was issued is kept as it was; make a new copy."
            )
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
        self._move(self._document(document_id), "failed", problem=problem)

    def mark_tried(self, document_id: int, problem: str) -> None:
        """It could not be sent just now: it failed, and when and how often is counted.

        Raises:
            NotThere: there is no such document.
            NotNow: it is done or cancelled.
        """
        document = self._document(document_id)
        document.tried, document.tries = self._journal.at, document.tries + 1
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
            raise NotNow(f"This {_NAMES[document.kind]} is not drawn yet, so it cannot be printed.")

    def _move(self, document: DocumentTable, state: DocumentState, **more: str) -> None:
        """Set a document's state and record it."""
        if document.state not in _BEFORE[state]:
            raise NotNow(f"This {_NAMES[document.kind]} is {document.state}; it cannot become {state}.")
        told = {"document": document.id, "copy": document.copy, "state": [document.state, state], **more}
        if document.way != "print":
            told |= {"way": document.way, "address": document.address}
        news = (document.state, document.problem) != (state, more.get("problem"))
        document.state, document.problem = state, more.get("problem")
        self._session.flush()
        for subject in self._subjects(document, news and state != "drawn"):
            self._journal.record(f"{document.kind}-{state}", subject, told)

    def _subjects(self, document: DocumentTable, concerns_cases: bool) -> Sequence[Subject]:
        """Whose history tells of a document: its job's; of a letter each of its cases', or its practice's."""
        job = self._session.get(JobTable, document.job_id) if document.job_id else None
        if job is not None:
            return [Subject(job.case_id, job.number)]
        cases = cases_in(self._session, document.id) if concerns_cases else ()
        return [Subject(case_id=case_id, practice=document.practice_code) for case_id in cases or (None,)]
