"""The letter of an invented case, with something of everything that a letter can say."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta

from intake.desk.example_ticket import example_rows
from intake.desk.letter_words import Contents, letter_words
from intake.documents.letter_content import Letter
from intake.domain.answer import Answer, Authority, Route
from intake.domain.case import Case, Options
from intake.domain.example_case import PRACTICE, example_case
from intake.domain.facts import Facts
from intake.domain.findings import Subject, filled_texts
from intake.domain.judging import judge
from intake.domain.lab import ApplianceType, Lab
from intake.domain.practice import Practice
from intake.domain.rulebook import Requirement
from intake.domain.verdict import Finding
from intake.domain.wording import place_of
from intake.store.rows import AnswerRow, CaseRow, DocumentRow, JobRow, QueryRow

NUMBER = 1


def example_letter(
    lab: Lab,
    kind: ApplianceType,
    now: datetime,
    language: str | None,
    late: bool = False,
    rule: Requirement | None = None,
) -> Letter:
    """A letter about an invented case that brought nothing, by a setup that need not be in force.

    Args:
        lab: The setup.
        kind: What is to be made, one of the setup's types.
        now: When it is written.
        language: The practice's.
        late: Whether the appointment is past holding.
        rule: What it asks, whether the case gives cause to or not; all that the case lacks where not said.
    """
    whole = example_case(lab, kind, now)
    bare = whole.appliances[0].model_copy(update={"options": Options(), "teeth": ()})
    appointment = datetime.combine(now.date() + timedelta(days=1), time(9, 30)) if late else whole.appointment
    case = whole.model_copy(update={"items": (), "appliances": (bare,), "appointment": appointment})
    return letter_about(lab, case, now, PRACTICE.model_copy(update={"language": language}), rule)


def letter_about(
    lab: Lab,
    case: Case,
    now: datetime,
    practice: Practice,
    rule: Requirement | None = None,
    said_by: tuple[Authority, Route] = ("prescriber", "telephone"),
    times: int = 1,
) -> Letter:
    """A letter about an invented case, which also reminds, and asks to confirm an answer.

    `rule` is what it asks, whether the case gives cause to or not; all that the case lacks where not said. `said_by` is
    in what role and by which way the answer was given; `times` is how many such cases there are.
    """
    verdict = judge(case, lab, practice, now)
    row, job = example_rows(lab, case, verdict, now)
    asked = [finding for finding in verdict.findings if finding.level != "warns"]
    if rule is not None:
        asked = [asked_by(rule, case, lab, practice, job)]
    queries = tuple(_query(number, finding, row, job) for number, finding in enumerate(asked, start=1))
    rows = tuple(replace(row, case_id=number) for number in range(times))
    of_each = tuple(replace(query, case_id=each.case_id) for each in rows for query in queries)
    jobs = {each.case_id: (job,) for each in rows}
    about = Contents(of_each, (_answer(row, now, *said_by),), rows, jobs, 1, _first(now))
    return letter_words(_document(now), about, (practice,), lab)


def asked_by(rule: Requirement, case: Case, lab: Lab, practice: Practice, job: JobRow | None = None) -> Finding:
    """What a rule would say of a case that gave it cause."""
    appliance = None if rule.types == "case" else case.appliances[0]
    earliest = job.deadlines.earliest_appointment if job and job.deadlines else None
    index = 0 if appliance else None
    subject = Subject(case, index, appliance, Facts(practice=practice, earliest=earliest), lab)
    question, because = filled_texts(rule, subject)
    return Finding(
        requirement=rule.id,
        level=rule.level,
        appliance=index,
        question=question,
        because=because,
        place=place_of(rule, index),
    )


def _first(now: datetime) -> date:
    return now.date() - timedelta(days=3)


def _query(number: int, finding: Finding, row: CaseRow, job: JobRow) -> QueryRow:
    return QueryRow(
        query_id=number,
        case_id=row.case_id,
        job=job.number,
        requirement=finding.requirement,
        level=finding.level,
        appliance=finding.appliance,
        question=finding.question,
        because=finding.because,
        place=finding.place,
        state="open",
        opened=row.arrived,
        letter_id=NUMBER,
        letters=1,
        expected_on=None,
        expected="",
        practice_code=row.practice_code,
        practice_name=row.practice_name,
        prescriber=job.prescriber,
        patient_label=job.patient_label,
        patient_reference=job.patient_reference,
        arrived=row.arrived,
        appointment=job.appointment,
        reply_by=job.reply_by,
        version=1,
    )


def _answer(row: CaseRow, now: datetime, authority: Authority, route: Route) -> AnswerRow:
    """Something that was agreed by word of mouth."""
    return AnswerRow(
        answer_id=1,
        query_id=0,
        case_id=row.case_id,
        key="",
        requirement="material",
        appliance=0,
        at=now - timedelta(days=1),
        who="",
        kind="value",
        answer=Answer(kind="value", says="acrylic", written="acrylic"),
        speaker=PRACTICE.prescribers[0],
        authority=authority,
        route=route,
        counts=True,
        spoken=True,
        confirmed=None,
        confirmed_how="",
        letter_id=NUMBER,
        reply_id=None,
        taken_back=False,
    )


def _document(now: datetime) -> DocumentRow:
    return DocumentRow(
        document_id=NUMBER,
        kind="letter",
        job_id=None,
        job=None,
        case_id=None,
        practice_code=PRACTICE.code,
        practice_name=PRACTICE.name,
        copy=1,
        reason="",
        state="waiting",
        queue=None,
        queue_job=None,
        problem=None,
        created=now,
        created_by="",
        way="print",
        address="",
        tried=None,
        tries=0,
        about={},
        has_pdf=False,
        version=1,
    )
