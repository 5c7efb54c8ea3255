"""What stands in a letter to a practice, in words."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from intake.desk.answer_words import requirement_words, who_says
from intake.desk.ticket_words import appliance_words, patient_words
from intake.documents.letter_content import AgreedAnswer, AgreedCase, Letter, LetterCase, LetterQuestion
from intake.domain.answer_offers import offered
from intake.domain.case import Case, NewPractice
from intake.domain.job_number import read_number
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.reading import find_practice
from intake.domain.reply_number import reply_number
from intake.domain.speaking import WAYS
from intake.domain.verdict import Deadlines, Finding
from intake.domain.wording import appliance_name, capital, in_sentence, listed
from intake.domain.written_dates import shown_day, shown_moment
from intake.store.rows import AnswerRow, CaseRow, DocumentRow, JobRow, QueryRow


@dataclass(frozen=True)
class Contents:
    """What a letter is about."""

    queries: Sequence[QueryRow]
    answers: Sequence[AnswerRow]
    """What it asks to confirm."""
    cases: Sequence[CaseRow]
    jobs: Mapping[int, Sequence[JobRow]]
    """By case."""
    reminder: int = 0
    first: date | None = None
    """When the letter went out that it reminds of."""


def letter_words(
    document: DocumentRow, about: Contents, practices: Sequence[Practice], lab: Lab, logo: Path | None = None
) -> Letter:
    """The letter that asks and confirms, to the one practice whose cases it is about."""
    name, address = addressee(about.cases[0].case, practices)
    asked = [row for row in about.cases if any(query.case_id == row.case_id for query in about.queries)]
    filled = {"count": str(len(asked or about.cases)), "practice": name, "lab": lab.name}
    texts, now = lab.letter, document.created
    reminded = {"reminder": str(about.reminder), "first": shown_day(about.first) if about.first else ""}
    return Letter(
        number=str(document.document_id),
        date=shown_day(now.date()),
        lab=lab.name,
        practice=name,
        address=address,
        subject=_subject(texts.subject, texts.subject_of_one, filled),
        opening=texts.opening.format_map(filled) if asked else "",
        cases=tuple(_case(row, about, practices, lab, now) for row in asked),
        slip=texts.slip.format_map(filled),
        caution=texts.caution.format_map(filled),
        closing=texts.closing.format_map(filled),
        lab_address=tuple(filter(None, (*lab.address, lab.postcode))),
        telephone=lab.telephone,
        email=lab.email,
        logo=logo,
        form=reply_number(document.document_id),
        agreed=tuple(_agreed(row, about, lab) for row in about.cases if _answers(row, about)),
        agreed_opening=texts.agreed.format_map(filled) if about.answers else "",
        reminder=texts.reminder.format_map(filled | reminded) if about.reminder and about.first else "",
    )


def addressee(case: Case, practices: Sequence[Practice]) -> tuple[str, tuple[str, ...]]:
    """The practice's name, and the lines of its address with the postcode last."""
    known = find_practice(case.practice, practices)
    practice = known or (case.practice if isinstance(case.practice, NewPractice) else None)
    if practice is None:
        return str(case.practice or ""), ()
    return practice.name, tuple(filter(None, (*practice.address, practice.postcode)))


def _subject(many: str, one: str, filled: Mapping[str, str]) -> str:
    return (one if filled["count"] == "1" else many).format_map(filled)


def _case(row: CaseRow, about: Contents, practices: Sequence[Practice], lab: Lab, now: datetime) -> LetterCase:
    queries = [query for query in about.queries if query.case_id == row.case_id]
    standing = [job for job in about.jobs[row.case_id] if job.state != "withdrawn"]
    numbers = [read_number(job.number) for job in standing]
    practice = find_practice(row.case.practice, practices)
    dates = [job.deadlines for job in standing if job.deadlines]
    return LetterCase(
        patient=patient_words(row.case.patient, lab) or "no label given",
        numbers=tuple(number.shown for number in numbers),
        barcode=f"{numbers[0].digits}00",
        appliances=tuple(appliance_words(appliance, practice, lab) for appliance in row.case.appliances),
        questions=tuple(_question(same, row.case, practice, lab, now) for same in alike(queries)),
        appointment=shown_moment(row.case.appointment) if row.case.appointment else "",
        arrived=shown_day(row.arrived.date()),
        reply_by=_reply_by(dates, now),
        otherwise=otherwise(row.case, queries, dates, lab),
    )


def _reply_by(dates: Sequence[Deadlines], now: datetime) -> str:
    """Until when an answer keeps the appointment; nothing where that time has passed already."""
    by = min((each.reply_by for each in dates), default=None)
    return shown_moment(by) if by is not None and by > now else ""


def _answers(row: CaseRow, about: Contents) -> list[AnswerRow]:
    return [answer for answer in about.answers if answer.case_id == row.case_id]


def _agreed(row: CaseRow, about: Contents, lab: Lab) -> AgreedCase:
    """What was agreed about a case, to be confirmed."""
    numbers = [read_number(job.number) for job in about.jobs[row.case_id] if job.state != "withdrawn"]
    return AgreedCase(
        patient=patient_words(row.case.patient, lab) or "no label given",
        numbers=tuple(number.shown for number in numbers),
        barcode=f"{numbers[0].digits}00",
        answers=tuple(_agreed_answer(answer, row.case, lab) for answer in _answers(row, about)),
    )


def _agreed_answer(answer: AnswerRow, case: Case, lab: Lab) -> AgreedAnswer:
    what, index = in_sentence(requirement_words(answer.requirement)), answer.appliance
    if index is not None and index < len(case.appliances):
        what = f"{appliance_name(case.appliances[index], lab)}, {what}"
    return AgreedAnswer(
        id=answer.answer_id,
        about=capital(what),
        says=answer.says,
        by=f"{who_says(answer.speaker, answer.authority)}, {WAYS[answer.route]}",
        on=shown_moment(answer.at),
    )


def alike(queries: Sequence[QueryRow]) -> list[list[QueryRow]]:
    """The queries in their order, with those together that one answer will do for."""
    groups: dict[tuple[str, str, str], list[QueryRow]] = {}
    for query in queries:
        groups.setdefault((query.requirement, query.level, query.question), []).append(query)
    return list(groups.values())


def finding_of(query: QueryRow) -> Finding:
    """A query as the question that it was opened for."""
    return Finding(
        requirement=query.requirement,
        level="stops" if query.level == "stops" else "asks",
        appliance=query.appliance,
        question=query.question,
        because=query.because,
        place=query.place,
    )


def _question(
    same: Sequence[QueryRow], case: Case, practice: Practice | None, lab: Lab, now: datetime
) -> LetterQuestion:
    query, finding = same[0], finding_of(same[0])
    return LetterQuestion(
        question=about(same, case, lab) + query.question,
        reason=query.because,
        level="stops" if query.level == "stops" else "asks",
        answers=offered(finding, case, lab, practice, now),
        id=query.query_id,
        menu=lab.shades if query.place.endswith(".shade") else (),
    )


def about(same: Sequence[QueryRow], case: Case, lab: Lab) -> str:
    """Which of several appliances a question is about, where it does not say so itself."""
    if len(case.appliances) < 2:
        return ""
    of_appliances = [query.appliance for query in same if query.appliance is not None]
    names = dict.fromkeys(appliance_name(case.appliances[index], lab) for index in of_appliances)
    unsaid = [name for name in names if name not in same[0].question]
    return f"{capital(listed(unsaid))}: " if unsaid else ""


def otherwise(case: Case, queries: Sequence[QueryRow], dates: Sequence[Deadlines], lab: Lab) -> str:
    """What happens to the appointment without an answer; nothing where the work goes on without one."""
    late = [d.earliest_appointment for d in dates if d.earliest_appointment]
    waits = any(query.level == "stops" for query in queries)
    if not dates or case.appointment is None or not (late or waits):
        return ""
    filled = {
        "reply_by": shown_moment(min(d.reply_by for d in dates)),
        "appointment": shown_moment(case.appointment),
        "earliest": shown_day(max(late)) if late else "",
    }
    return (lab.letter.late if late else lab.letter.otherwise).format_map(filled)
