"""Answers "have you got it, and when will we have it back?"."""

import re
from dataclasses import dataclass
from datetime import date, datetime

from intake.desk.card_words import Fact, answer, edition_facts, facts, linked_facts
from intake.desk.case_scans import has_scans
from intake.desk.desk import Desk
from intake.desk.history import Said, told
from intake.desk.linked import link_lines, made_as, where_to_go
from intake.desk.replaced_tickets import replaced_words
from intake.desk.trace import trace_of_job
from intake.desk.understood import read_as, understood
from intake.domain.calendar import counts_from
from intake.domain.job_number import LENGTHS, NumberRefused, read_barcode, read_number
from intake.domain.look_up_words import LookUpWords
from intake.domain.slips import sound_numbers_near
from intake.domain.verdict import Verdict
from intake.domain.wanted import Wanted, is_late, plain_words
from intake.domain.written_dates import short_day
from intake.errors import IntakeError
from intake.store.near import FoundJobs
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
    """Whether it is late now: it should have left, or should have been begun."""
    arrived: str
    where: str = ""
    """The bench that has it, or that it is finished; empty at reception."""
    near: str = ""
    """What was mistyped in what was typed: “Ashdown for “ashdwon””; empty where it fits as it was typed."""


@dataclass(frozen=True)
class Looked:
    """What came of looking for something."""

    words: str
    found: tuple[Found, ...]
    said: str = ""
    """Why nothing was found, in a sentence; empty where something was."""
    understood: str = ""
    """How what was typed was understood, in a line; empty where every word is one of a name or a number."""
    near: tuple[Found, ...] = ()
    """Where nothing was found as it was typed: what is near, the nearest first."""
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
    """When a replaced ticket was scanned: which copy replaced it, when, by whom and why. Of a job that is withdrawn:
    where to go on. Empty otherwise."""
    has_scans: bool
    """Whether scans of its case came as files."""


def find(desk: Desk, words: str, limit: int = 50) -> tuple[Found, ...]:
    """The jobs that every word fits, the likeliest first."""
    return tuple(_found(row, desk) for row in jobs_that_fit(desk, words, limit))


def jobs_that_fit(desk: Desk, words: str, limit: int = 50) -> tuple[JobRow, ...]:
    """The jobs that every word fits, the likeliest first: whole words, then what is to be made, then the newest."""
    return _looked_up(desk, words.strip(), limit, near=False)[1].jobs


def look(desk: Desk, words: str, limit: int = 50) -> Looked:
    """What every word fits; else what is near, or why there is nothing: a mistyped number is refused with a reason."""
    typed = words.strip()
    if _NUMBER.fullmatch(typed) and len(_digits(typed)) >= min(LENGTHS) - 1:
        return _look_for_number(desk, words, limit)
    wanted, looked_up = _looked_up(desk, typed, limit, near=True)
    near = tuple(_found(each.job, desk, read_as(each.read, each.job)) for each in looked_up.near)
    said = _nothing_fits(typed, wanted) if typed and not near and not looked_up.jobs else ""
    line = understood(wanted, [*looked_up.jobs, *(each.job for each in looked_up.near)], looked_up.left_out)
    if not near and not looked_up.jobs:
        line = ""
    elif near and not looked_up.left_out:
        line = "Nothing fits just so. These are near."
    elif near:
        left_out = " ".join(looked_up.left_out)
        line = f"Nothing fits all of it. Without “{left_out}”{f': {line}' if line else ''}"
    return Looked(words, tuple(_found(job, desk) for job in looked_up.jobs), said, line, near)


def _nothing_fits(typed: str, wanted: Wanted) -> str:
    if wanted.parts and all(part.readings for part in wanted.parts):
        return f"No job here is so: {understood(wanted, ())[:1].lower()}{understood(wanted, ())[1:]}."
    said = f"Nothing here fits “{typed}”. Type fewer letters of each word, or the patient’s reference."
    return said if len(typed.split()) > 1 else said.replace(" of each word", "")


def _looked_up(desk: Desk, typed: str, limit: int, near: bool) -> tuple[Wanted, FoundJobs]:
    """What was typed, as it is understood, and what was found of it; with `near` also what it nearly fits."""
    digits = _digits(typed)
    if _NUMBER.fullmatch(typed) and digits != typed:  # a number in its groups, as far as it is typed: “26 0041”
        jobs = desk.store.read.find(digits, limit)
        if jobs:
            return plain_words(digits), FoundJobs(jobs)
    now = desk.now()
    reader = LookUpWords(desk.lab, now.date(), _start(desk, now))
    wanted = reader.read(typed)
    found = desk.store.read.look_up(wanted, (lambda: reader.mended(typed)) if near else None, limit)
    return wanted, found


def _look_for_number(desk: Desk, words: str, limit: int) -> Looked:
    """A whole number, or a barcode; a mistyped one is refused, with the nearest numbers that jobs have."""
    typed = words.strip()
    if found := find(desk, typed, limit):
        return Looked(words, found)
    try:
        scanned = read_barcode(typed)
    except NumberRefused as refused:
        digits = _digits(typed)
        numbers = {near for body in (digits, digits[:-2]) for near in sound_numbers_near(body)}
        near = tuple(_found(job, desk, f"one slip from “{typed}”") for job in desk.store.read.jobs_numbered(numbers))
        return Looked(words, (), f"{refused} No patient’s reference begins so either.", near=near)
    job = desk.store.read.job(scanned.number.digits)
    if job is None:
        return Looked(words, (), _unknown(scanned.number.shown))
    return Looked(words, (_found(job, desk),), copy=scanned.copy)


def _digits(typed: str) -> str:
    return re.sub(r"\D", "", typed)


def _start(desk: Desk, now: datetime) -> date:
    """The day from which work that has not begun counts; today where the calendar does not know."""
    try:
        return counts_from(now, desk.lab.calendar)
    except IntakeError:
        return now.date()


def card(desk: Desk, digits: str, copy: int | None = None) -> Card:
    """The card of a job; `copy` is the one that was scanned. Raises NoSuchJob."""
    read = desk.store.read
    job, case = read.job(digits), read.case_of_job(digits)
    if job is None or case is None:
        raise NoSuchJob(_unknown(read_number(digits).shown))
    traced = trace_of_job(desk, job)
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
        sentence=answer(job, case, verdict, desk.lab, now, made_as(desk, case, job), traced),
        facts=(
            *facts(job, case, sisters, verdict, practice, open_queries, tickets, desk.lab, traced),
            *linked_facts(link_lines(desk, case.case_id)),
            *edition_facts(case, read.edition(case.edition) if case.edition is not None else None),
        ),
        open_queries=open_queries,
        tickets=tickets,
        history=told(read.history(case.case_id), several=len(case.case.appliances) > 1),
        replaced=where_to_go(desk, case, job) or replaced_words(copy, tickets),
        has_scans=has_scans(desk, case.case_id),
    )


def _concerns(query: QueryRow, job: JobRow) -> bool:
    """Whether a question stands and is about this job or the whole case."""
    return job.state != "withdrawn" and (query.appliance is None or query.appliance in job.appliances)


def _unknown(shown: str) -> str:
    return f"No job here has the number {shown}. The number itself is sound: is it another laboratory’s ticket?"


def _found(job: JobRow, desk: Desk, near: str = "") -> Found:
    now = desk.now()
    today, start = now.date(), _start(desk, now)
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
        late=is_late(job.state, job.finished is not None, job.latest_start, job.must_leave, today, start),
        arrived=short_day(job.arrived.date()),
        where="finished" if job.finished else f"at {job.bench}" if job.bench else "",
        near=near,
    )
