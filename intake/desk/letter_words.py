"""What stands in a query letter, in words."""

from collections.abc import Mapping, Sequence
from pathlib import Path

from intake.desk.ticket_words import appliance_words, patient_words
from intake.documents.letter_content import Letter, LetterCase, LetterQuestion
from intake.domain.case import Case, NewPractice
from intake.domain.job_number import read_number
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.reading import find_practice
from intake.domain.verdict import Deadlines
from intake.domain.wording import appliance_name, capital, listed
from intake.domain.written_dates import shown_day, shown_moment
from intake.store.rows import CaseRow, DocumentRow, JobRow, QueryRow

Jobs = Mapping[int, Sequence[JobRow]]


def letter_words(
    document: DocumentRow,
    queries: Sequence[QueryRow],
    cases: Sequence[CaseRow],
    jobs: Jobs,
    practices: Sequence[Practice],
    lab: Lab,
    logo: Path | None = None,
) -> Letter:
    """The letter that asks some queries of the one practice whose cases they are about."""
    name, address = addressee(cases[0].case, practices)
    filled = {"count": str(len(cases)), "practice": name, "lab": lab.name}
    texts = lab.letter
    return Letter(
        number=str(document.document_id),
        date=shown_day(document.created.date()),
        lab=lab.name,
        practice=name,
        address=address,
        subject=_subject(texts.subject, texts.subject_of_one, filled),
        opening=texts.opening.format_map(filled),
        cases=tuple(
            _case(row, [query for query in queries if query.case_id == row.case_id], jobs[row.case_id], practices, lab)
            for row in cases
        ),
        slip=texts.slip.format_map(filled),
        caution=texts.caution.format_map(filled),
        closing=texts.closing.format_map(filled),
        lab_address=tuple(filter(None, (*lab.address, lab.postcode))),
        telephone=lab.telephone,
        email=lab.email,
        logo=logo,
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


def _case(
    row: CaseRow, queries: Sequence[QueryRow], jobs: Sequence[JobRow], practices: Sequence[Practice], lab: Lab
) -> LetterCase:
    standing = [job for job in jobs if job.state != "withdrawn"]
    numbers = [read_number(job.number) for job in standing]
    practice = find_practice(row.case.practice, practices)
    dates = [job.deadlines for job in standing if job.deadlines]
    return LetterCase(
        patient=patient_words(row.case.patient, lab) or "no label given",
        numbers=tuple(number.shown for number in numbers),
        barcode=f"{numbers[0].digits}00",
        appliances=tuple(appliance_words(appliance, practice, lab) for appliance in row.case.appliances),
        questions=tuple(_question(alike, row.case, lab) for alike in _alike(queries)),
        appointment=shown_moment(row.case.appointment) if row.case.appointment else "",
        arrived=shown_day(row.arrived.date()),
        reply_by=shown_moment(min(d.reply_by for d in dates)) if dates else "",
        otherwise=_otherwise(row.case, queries, dates, lab),
    )


def _alike(queries: Sequence[QueryRow]) -> list[list[QueryRow]]:
    """The queries in their order, with those together that one answer will do for."""
    groups: dict[tuple[str, str, str], list[QueryRow]] = {}
    for query in queries:
        groups.setdefault((query.requirement, query.level, query.question), []).append(query)
    return list(groups.values())


def _question(alike: Sequence[QueryRow], case: Case, lab: Lab) -> LetterQuestion:
    query = alike[0]
    return LetterQuestion(
        question=_about(alike, case, lab) + query.question,
        reason=query.because,
        level="stops" if query.level == "stops" else "asks",
        answers=lab.letter.answers.get(query.requirement, ()),
    )


def _about(alike: Sequence[QueryRow], case: Case, lab: Lab) -> str:
    """Which of several appliances a question is about, where it does not say so itself."""
    if len(case.appliances) < 2:
        return ""
    of_appliances = [query.appliance for query in alike if query.appliance is not None]
    names = dict.fromkeys(appliance_name(case.appliances[index], lab) for index in of_appliances)
    unsaid = [name for name in names if name not in alike[0].question]
    return f"{capital(listed(unsaid))}: " if unsaid else ""


def _otherwise(case: Case, queries: Sequence[QueryRow], dates: Sequence[Deadlines], lab: Lab) -> str:
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
