"""Draws tickets and letters, keeps them and hands them to the printer's queue or the mail server."""

import threading
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from intake.desk.blank_words import blank_words
from intake.desk.desk import Desk
from intake.desk.hygiene import hygiene_of
from intake.desk.letter_words import Contents, letter_words
from intake.desk.mailing import send
from intake.desk.sheets import TITLES, draw_sheet
from intake.desk.ticket_pictures import with_pictures
from intake.desk.ticket_words import ticket_words
from intake.documents.blank_prescription import draw_blank
from intake.documents.letter import draw_letter
from intake.documents.ticket import SHEETS, draw_ticket
from intake.domain.job_number import read_number
from intake.errors import IntakeError
from intake.store.rows import DocumentRow

A4 = (210.0, 297.0)
_ONE_AT_A_TIME = {"print": threading.Lock(), "mail": threading.Lock(), "draft": threading.Lock()}
"""Whoever asks second for the same document finds it sent, and it leaves once. A slow mail server keeps no ticket."""


class NoQueue(IntakeError):
    """The setup names no queue to print to."""


@dataclass(frozen=True)
class Issued:
    """What became of a document: accepted as job N of a queue, or the problem in a sentence."""

    document: DocumentRow
    queue: str | None
    queue_job: int | None
    problem: str | None

    @property
    def sent(self) -> bool:
        """Whether a queue accepted it."""
        return self.problem is None


@dataclass(frozen=True)
class Waiting:
    """What is not printed."""

    tickets: int = 0
    letters: int = 0


def issue(desk: Desk, document_id: int) -> Issued:
    """Draws a document if it is not drawn, keeps it, and hands it to its queue; once, however often it is asked for.

    What keeps it from being printed is kept with the document, which then waits to be sent again.
    """
    with _ONE_AT_A_TIME[_document(desk, document_id).way]:
        return _issue(desk, _document(desk, document_id))


def _document(desk: Desk, document_id: int) -> DocumentRow:
    document = desk.store.read.document(document_id)
    assert document is not None, "a document is made before it is issued"
    return document


def _issue(desk: Desk, document: DocumentRow) -> Issued:
    if document.state in ("sent", "done"):
        return Issued(document, document.queue, _number(document), None)
    if document.state == "cancelled":
        return Issued(document, None, None, f"{title_of(document)} was cancelled before it was printed.")
    try:
        pdf = desk.store.read.pdf(document.document_id) or _drawn(desk, document)
        queue, number = _print(desk, document, pdf) if document.way == "print" else (send(desk, document, pdf), None)
    except IntakeError as problem:
        with desk.work() as work:
            failed = work.documents.mark_failed if document.way == "print" else work.documents.mark_tried
            failed(document.document_id, str(problem))
            work.commit()
        return Issued(document, None, None, str(problem))
    with desk.work() as work:
        work.documents.mark_sent(document.document_id, queue, str(number or ""))
        if document.way != "print":
            work.documents.mark_done(document.document_id)  # there is no queue to ask what became of it
        work.commit()
    return Issued(document, queue, number, None)


def _print(desk: Desk, document: DocumentRow, pdf: bytes) -> tuple[str, int]:
    """Hands a document to its queue; gives the queue and its job."""
    job = desk.queue.submit(pdf, title_of(document), _queue(desk, document), _size(desk, document))
    return job.queue, job.number


def issue_all(desk: Desk, document_ids: Iterable[int]) -> tuple[Issued, ...]:
    """Issues documents in order; one that fails does not keep back the others."""
    return tuple(issue(desk, document_id) for document_id in document_ids)


def issue_waiting(desk: Desk) -> tuple[Issued, ...]:
    """Sends everything again that waits for the printer."""
    return issue_all(desk, [document.document_id for document in desk.store.read.documents_waiting()])


def count_waiting(desk: Desk) -> Waiting:
    """How many tickets and letters are not printed."""
    kinds = [document.kind for document in desk.store.read.documents_waiting()]
    return Waiting(kinds.count("ticket"), len(kinds) - kinds.count("ticket"))


def draw(desk: Desk, document: DocumentRow) -> bytes:
    """The PDF of a ticket, a letter or a blank form, by what it is about as that stands."""
    match document.kind:
        case "ticket":
            return _draw_ticket(desk, document)
        case "letter":
            return _draw_letter(desk, document)
        case "blank":
            return _draw_blank(desk, document)
        case _:
            return draw_sheet(desk, document)


def title_of(document: DocumentRow) -> str:
    """What the printer's list shows: numbers, never a patient."""
    if document.job is not None:
        copy = f" copy {document.copy}" if document.copy > 1 else ""
        return f"Ticket {read_number(document.job).shown}{copy}"
    return f"{TITLES[document.kind]} {document.document_id}"


def _drawn(desk: Desk, document: DocumentRow) -> bytes:
    pdf = draw(desk, document)
    with desk.work() as work:
        work.documents.keep_pdf(document.document_id, pdf)
        work.commit()
    return pdf


def _draw_ticket(desk: Desk, document: DocumentRow) -> bytes:
    assert document.job is not None
    job = desk.store.read.job(document.job)
    case = desk.store.read.case_of_job(document.job)
    assert job is not None
    assert case is not None
    sisters = [
        other
        for other in desk.store.read.jobs_of(case.case_id)
        if other.number != job.number and other.state != "withdrawn"
    ]
    ticket = ticket_words(
        job,
        case,
        sisters,
        desk.judge(case.case),
        desk.practice_of(case.case),
        desk.lab,
        document.copy,
        document.reason,
        logo_of(desk),
        hygiene_of(desk, case.case_id),
    )
    ticket = with_pictures(desk, case.case_id, ticket, document.reason)
    return draw_ticket(ticket, desk.lab.ticket.size, desk.lab.ticket.dpi)


def _draw_letter(desk: Desk, document: DocumentRow) -> bytes:
    contents = letter_contents(desk, document)
    codes = {case.practice_code for case in contents.cases if case.practice_code}
    practices = [row.practice for row in desk.store.read.practices_of(codes)]
    letter = letter_words(document, contents, practices, desk.lab, logo_of(desk))
    return draw_letter(letter, desk.lab.letter.window)


def _draw_blank(desk: Desk, document: DocumentRow) -> bytes:
    row = desk.store.read.practice(str(document.practice_code))
    assert row is not None, "only a practice of the directory gets blank prescriptions"
    return draw_blank(blank_words(row.practice, desk.lab, document.created.date(), logo_of(desk)))


def letter_contents(desk: Desk, document: DocumentRow) -> Contents:
    """What a letter asks and confirms, and which letter it reminds of."""
    read, letter_id = desk.store.read, document.document_id
    queries, answers = read.queries_in(letter_id), read.answers_in(letter_id)
    cases = read.cases([row.case_id for row in queries] + [row.case_id for row in answers])
    reminded = {query_id: reminder for query_id, reminder in read.letter_queries(letter_id) if reminder}
    first = read.first_asked(reminded, letter_id) if reminded else None
    jobs = read.jobs_of_cases(cases)
    return Contents(queries, answers, tuple(cases.values()), jobs, max(reminded.values(), default=0), first)


def logo_of(desk: Desk) -> Path | None:
    """The lab's logo, a path beside the setup."""
    return desk.folder / desk.lab.logo if desk.folder and desk.lab.logo else None


def _queue(desk: Desk, document: DocumentRow) -> str:
    queue = desk.lab.ticket.queue if document.kind == "ticket" else desk.lab.letter.queue
    if not queue:
        kind = TITLES[document.kind].lower().removesuffix("s")
        raise NoQueue(f"No printer is chosen for {kind}s. Choose one, then send what waits again.")
    return queue


def _number(document: DocumentRow) -> int | None:
    return int(document.queue_job) if document.queue_job else None


def _size(desk: Desk, document: DocumentRow) -> tuple[float, float]:
    if document.kind != "ticket":
        return A4
    sheet = SHEETS[desk.lab.ticket.size]
    return (sheet.width, sheet.height)
