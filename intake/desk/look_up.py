"""Answers "have you got it, and when will we have it back?"."""

import re
from dataclasses import dataclass

from intake.desk.card_words import Fact, answer, facts
from intake.desk.case_scans import has_scans
from intake.desk.desk import Desk
from intake.desk.history import Said, told
from intake.domain.job_number import LENGTHS, NumberRefused, read_barcode, read_number
from intake.domain.verdict import Verdict
from intake.domain.written_dates import short_day, shown_moment
from intake.errors import IntakeError
from intake.store.rows import CaseRow, DocumentRow, JobRow, QueryRow

STATES = {"held": "held", "clear": "clear", "gone": "handed over", "withdrawn": "withdrawn"}
_NUMBER = re.compile(r"[\d\s\-–—]+")


class NoSuchJob(IntakeError):
    """A sound number that no job here has."""


@dataclass(frozen=True)
class Found:
    """One job in the list of what was found."""

    number: str
    shown: str
    practice: str
    patient: str
    category: str
    colour: str
    hex: str
    state: str
    must_leave: str
    late: bool
    """Whether the work could no longer be there in time when it was last judged."""
    arrived: str


@dataclass(frozen=True)
class Looked:
    """What came of looking for something."""

    words: str
    found: tuple[Found, ...]
    said: str = ""
    """Why nothing was found, in a sentence; empty where something was."""
    copy: int | None = None
    """The copy of the ticket, where a whole barcode was typed."""


@dataclass(frozen=True)
class Card:
    """Everything about one job that a caller may ask."""

    job: JobRow
    case: CaseRow
    sisters: tuple[JobRow, ...]
    verdict: Verdict
    sentence: str
    """The answer, to be read aloud."""
    facts: tuple[Fact, ...]
    """Everything else, to be read."""
    open_queries: tuple[QueryRow, ...]
    tickets: tuple[DocumentRow, ...]
    history: tuple[Said, ...]
    replaced: str
    """When a replaced ticket was scanned: which copy replaced it and why; empty otherwise."""
    has_scans: bool
    """Whether scans of its case came as files."""


def find(desk: Desk, words: str, limit: int = 50) -> tuple[Found, ...]:
    """The jobs that every word fits, newest first."""
    return tuple(_found(row) for row in desk.store.read.find(words, limit))


def look(desk: Desk, words: str, limit: int = 50) -> Looked:
    """What every word fits, or why there is nothing: a mistyped number is refused with the reason."""
    typed = words.strip()
    found = _find_as_shown(desk, typed, limit) or find(desk, typed, limit)
    if found or not typed:
        return Looked(words, found)
    if not _NUMBER.fullmatch(typed) or sum(sign.isdigit() for sign in typed) < min(LENGTHS) - 1:
        said = f"Nothing here fits “{typed}”. Type fewer letters of each word, or the patient’s reference."
        return Looked(words, (), said if len(typed.split()) > 1 else said.replace(" of each word", ""))
    try:
        scanned = read_barcode(typed)
    except NumberRefused as refused:
        return Looked(words, (), f"{refused} No patient’s reference begins so either.")
    job = desk.store.read.job(scanned.number.digits)
    return (
        Looked(words, (_found(job),), copy=scanned.copy) if job else Looked(words, (), _unknown(scanned.number.shown))
    )


def _find_as_shown(desk: Desk, typed: str, limit: int) -> tuple[Found, ...]:
    """What a number fits that is typed in its groups, as far as it is typed: “26 0041”."""
    digits = re.sub(r"\D", "", typed)
    return find(desk, digits, limit) if _NUMBER.fullmatch(typed) and digits != typed else ()


def card(desk: Desk, digits: str, copy: int | None = None) -> Card:
    """The card of a job; `copy` is the one that was scanned. Raises NoSuchJob."""
    read = desk.store.read
    job, case = read.job(digits), read.case_of_job(digits)
    if job is None or case is None:
        raise NoSuchJob(_unknown(read_number(digits).shown))
    tickets, jobs, queries = read.documents_of(digits), read.jobs_of(case.case_id), read.queries_of(case.case_id)
    practice, now = desk.practice_of(case.case), desk.now()
    verdict = desk.judge(case.case, now)
    sisters = tuple(other for other in jobs if other.number != digits)
    open_queries = tuple(query for query in queries if query.state == "open" and _concerns(query, job))
    return Card(
        job=job,
        case=case,
        sisters=sisters,
        verdict=verdict,
        sentence=answer(job, case, verdict, desk.lab, now),
        facts=facts(job, case, sisters, verdict, practice, open_queries, tickets, desk.lab),
        open_queries=open_queries,
        tickets=tickets,
        history=told(read.history(case.case_id), several=len(case.case.appliances) > 1),
        replaced=_replaced(copy, tickets),
        has_scans=has_scans(desk, case.case_id),
    )


def _concerns(query: QueryRow, job: JobRow) -> bool:
    """Whether a question stands and is about this job or the whole case."""
    return job.state != "withdrawn" and (query.appliance is None or query.appliance in job.appliances)


def _unknown(shown: str) -> str:
    return f"No job here has the number {shown}. The number itself is sound: is it another laboratory’s ticket?"


def _found(job: JobRow) -> Found:
    return Found(
        number=job.number,
        shown=read_number(job.number).shown,
        practice=job.practice_name,
        patient=" · ".join(filter(None, (job.patient_label, job.patient_reference))),
        category=job.category_name,
        colour=job.box_colour,
        hex=job.box_hex,
        state=STATES[job.state],
        must_leave=short_day(job.must_leave) if job.must_leave else "",
        late=job.outlook == "late",
        arrived=short_day(job.arrived.date()),
    )


def _replaced(copy: int | None, tickets: tuple[DocumentRow, ...]) -> str:
    newest = max(tickets, key=lambda ticket: ticket.copy, default=None)
    if copy is None or newest is None or copy == newest.copy:
        return ""
    if copy > newest.copy:
        made = "only one was" if newest.copy == 1 else f"only {newest.copy} were"
        return f"This ticket says copy {copy}, but {made} made. Look at it closely before you rely on it."
    when = shown_moment(newest.created)
    return (
        f"This is copy {copy} of the ticket; it no longer counts. Copy {newest.copy} replaced it on {when}, "
        f"by {newest.created_by}: {newest.reason}."
    )
