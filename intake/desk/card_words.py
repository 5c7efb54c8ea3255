"""What the card of a job says: the answer for the telephone, and the facts under it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from intake.desk.answer_words import standing_words
from intake.desk.ticket_words import appliance_words, cautions, patient_words
from intake.domain.case import NewPractice
from intake.domain.job_number import read_number
from intake.domain.judging import concerns
from intake.domain.lab import Lab
from intake.domain.pouring import describe_pour_by
from intake.domain.practice import Practice
from intake.domain.trace import Trace
from intake.domain.verdict import Deadlines, JobVerdict, Verdict
from intake.domain.wording import OUTLOOK_WORDS
from intake.domain.written_dates import short_day, shown_day, shown_moment
from intake.store.rows import CaseRow, DocumentRow, JobRow, QueryRow
from intake.store.setup_rows import EditionRow

STREAMS = {"post": "physical", "scan": "as scans"}


@dataclass(frozen=True)
class Fact:
    """One line or several under a heading."""

    words: str
    lines: tuple[str, ...]


def answer(
    job: JobRow,
    case: CaseRow,
    verdict: Verdict,
    lab: Lab,
    now: datetime,
    same_as: str = "",
    traced: Trace | None = None,
) -> str:
    """What to say on the telephone; `verdict` is the one on the case as it stands now.

    `same_as` are the numbers of the case that stands, where this one was withdrawn since it is the same; `traced` is
    where its box is.
    """
    who = patient_words(case.case.patient, lab) or "the patient without a name"
    came = f"The work for {who} ({job.category_name}) arrived on {shown_day(case.arrived.date())}"
    if job.state == "withdrawn" and same_as:
        return f"{came} and is made as {same_as}."
    if job.state == "withdrawn":
        return f"{came} and was withdrawn. Nothing is being made."
    if job.state == "gone":
        return f"{came} and {_on_its_way(job, traced)}"
    if job.state == "clear":
        return f"{came} and is clear to be made. {_return(job.deadlines, case, verdict)}".strip()
    fresh = next((of for of in verdict.jobs if of.category == job.category), None)
    until = _until(job.deadlines, fresh, case, now) or _no_day(case, verdict)
    return f"{came} and waits for your answer to {_questions(verdict, job)}. {until}"


def _on_its_way(job: JobRow, traced: Trace | None) -> str:
    """How a job stands that has left reception: when it is back, and where it is; no day where it is late."""
    how = "is finished" if job.finished else "has been handed over"
    in_time = traced is None or traced.spare_days is None or traced.spare_days >= 0
    back = f" It is with you by {shown_day(job.deadlines.with_practice)}." if job.deadlines and in_time else ""
    where = f" and is at {traced.place}" if traced is not None and traced.standing == "at-bench" else ""
    return f"{how}{where}.{back}"


def _no_day(case: CaseRow, verdict: Verdict) -> str:
    """Why no day was promised."""
    if case.case.appointment is None:
        return "No appointment was given, so we have promised no day."
    counted = f"The days to the appointment on {shown_moment(case.case.appointment)} could not be counted."
    return f"{counted} {verdict.undated or ''}".rstrip()


def _return(dates: Deadlines | None, case: CaseRow, verdict: Verdict) -> str:
    """When a job that is clear comes back."""
    if dates is None:
        return _no_day(case, verdict)
    if dates.earliest_appointment is not None:
        return _cannot_hold(dates, case)
    return f"It leaves us on {shown_day(dates.must_leave)} and is with you by {shown_day(dates.with_practice)}."


def _until(dates: Deadlines | None, fresh: JobVerdict | None, case: CaseRow, now: datetime) -> str:
    """What an answer does for the appointment; empty where no dates are known."""
    if dates is None or case.case.appointment is None:
        return ""
    today = fresh.deadlines if fresh else None
    if today is not None and today.earliest_appointment is not None:
        return _cannot_hold(today, case)
    when = f"by {shown_moment(dates.reply_by)}" if now <= dates.reply_by else "at once"
    return f"If we have it {when}, it is with you by {shown_day(dates.with_practice)}."


def _cannot_hold(dates: Deadlines, case: CaseRow) -> str:
    appointment = shown_moment(case.case.appointment) if case.case.appointment else "the day that was given"
    earliest = (
        f" The earliest that would hold is {shown_day(dates.earliest_appointment)}."
        if dates.earliest_appointment
        else ""
    )
    return f"The appointment on {appointment} cannot be held.{earliest}"


def _questions(verdict: Verdict, job: JobRow) -> str:
    asked = [f for f in verdict.findings if f.level != "warns" and concerns(f, job.appliances)]
    return "a question" if len(asked) < 2 else f"{len(asked)} questions"


def facts(
    job: JobRow,
    case: CaseRow,
    sisters: Sequence[JobRow],
    verdict: Verdict,
    practice: Practice | None,
    queries: Sequence[QueryRow],
    tickets: Sequence[DocumentRow],
    lab: Lab,
    traced: Trace | None = None,
) -> tuple[Fact, ...]:
    """Everything about a job that a caller or the desk may ask; a heading without a line is left out."""
    prescription = case.case
    told = [
        Fact("Cautions", cautions(prescription, verdict.findings, job.appliances, lab)),
        Fact("To ask", tuple(_query(query) for query in queries)),
        Fact("Where it is", (traced.line,) if traced else ()),
        Fact("Must leave", _must_leave(job, case, verdict)),
        Fact("Benches", tuple(f"{s.bench} by {short_day(s.by)}" for s in job.deadlines.route) if job.deadlines else ()),
        Fact("Appointment", (shown_moment(prescription.appointment),) if prescription.appointment else ("not given",)),
        Fact("Pour by", (describe_pour_by(verdict.pour_by, prescription, lab),) if verdict.pour_by else ()),
        Fact("To make", tuple(appliance_words(prescription.appliances[i], practice, lab) for i in job.appliances)),
        Fact("Same case", tuple(_sister(other) for other in sisters)),
        Fact("Notes", (prescription.notes.strip(),) if prescription.notes.strip() else ()),
        Fact("Practice", tuple(_practice(case, practice))),
        Fact("Prescriber", (prescription.prescriber or "not given",)),
        Fact("Arrived", (f"{shown_moment(case.arrived)}, {STREAMS[case.stream]}",)),
        Fact("Ticket", tuple(ticket_state(ticket) for ticket in tickets)),
    ]
    return tuple(fact for fact in told if fact.lines)


def linked_facts(lines: Sequence[str]) -> tuple[Fact, ...]:
    """What the case is to others, a line each: `Remake of 26 000123 45: did not fit`."""
    return (Fact("Belongs to", tuple(lines)),) if lines else ()


def edition_facts(case: CaseRow, edition: EditionRow | None) -> tuple[Fact, ...]:
    """By which edition of the lab setup the case was judged last, where that is known."""
    if case.edition is None:
        return ()
    since = f", in force from {shown_day(edition.at.date())}" if edition is not None else ""
    return (Fact("Judged by", (f"edition {case.edition} of the setup{since}",)),)


def ticket_state(ticket: DocumentRow) -> str:
    """A copy of a ticket and where it has got to."""
    state = {
        "waiting": "waits for the printer",
        "drawn": "waits for the printer",
        "sent": f"accepted by {ticket.queue} as job {ticket.queue_job}",
        "done": f"printed by {ticket.queue}" if ticket.queue else "printed",
        "failed": f"not printed: {ticket.problem}",
        "cancelled": "never printed, a later one took its place",
    }[ticket.state]
    why = f" ({ticket.reason})" if ticket.reason else ""
    return f"Copy {ticket.copy}{why}, {shown_moment(ticket.created)}, {ticket.created_by}: {state}"


def _must_leave(job: JobRow, case: CaseRow, verdict: Verdict) -> tuple[str, ...]:
    dates = job.deadlines
    if dates is None and case.case.appointment is not None:
        return (f"no day was counted. {verdict.undated or ''}".rstrip(),)
    if dates is None:
        return ("no day, since there is no appointment",)
    return (
        f"{shown_day(dates.must_leave)}, {OUTLOOK_WORDS[dates.outlook]}",
        f"latest start {short_day(dates.latest_start)}, with the practice by {short_day(dates.with_practice)}",
    )


def _query(query: QueryRow) -> str:
    return f"{query.question} {query.because} ({standing_words(query) or 'not asked yet'})"


def _sister(other: JobRow) -> str:
    return f"{read_number(other.number).shown}, {other.category_name}, {other.box_colour} box: {other.state}"


def _practice(case: CaseRow, practice: Practice | None) -> Iterator[str]:
    written = practice or (case.case.practice if isinstance(case.case.practice, NewPractice) else None)
    if written is None:
        yield f"{case.practice_name}, not in the directory" if case.practice_name else "not given"
        return
    yield f"{written.name} ({practice.code})" if practice else f"{written.name}, not in the directory"
    yield from filter(None, (written.telephone, written.email))
