"""What stands in a letter to a practice, in words."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from intake.desk.ticket_words import appliance_words, patient_words
from intake.documents.letter_content import AgreedAnswer, AgreedCase, Letter, LetterCase, LetterQuestion
from intake.domain.answer_offers import offered
from intake.domain.asked_in import asked_in
from intake.domain.case import Case, NewPractice
from intake.domain.facts import Facts
from intake.domain.job_number import read_number
from intake.domain.lab import Lab
from intake.domain.languages import requirement_in, spoken
from intake.domain.practice import Practice
from intake.domain.reading import find_practice
from intake.domain.reply_number import reply_number
from intake.domain.verdict import Deadlines, Finding
from intake.domain.wording import appliance_name, capital
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
    """The letter that asks and confirms, to the one practice whose cases it is about, in the language of that."""
    name, address = addressee(about.cases[0].case, practices)
    practice = find_practice(about.cases[0].case.practice, practices)
    language = practice.language if practice else None
    said = spoken(lab, language)
    both = _Said(lab, language, said)
    asked = [row for row in about.cases if any(query.case_id == row.case_id for query in about.queries)]
    filled = {"count": str(len(asked or about.cases)), "practice": name, "lab": lab.name}
    texts, dates, now = said.letter, said.words.dates, document.created
    reminded = {"reminder": str(about.reminder), "first": dates.shown_day(about.first) if about.first else ""}
    return Letter(
        number=str(document.document_id),
        date=dates.shown_day(now.date()),
        lab=lab.name,
        practice=name,
        address=address,
        subject=_subject(texts.subject, texts.subject_of_one, filled),
        opening=texts.opening.format_map(filled) if asked else "",
        cases=tuple(_case(row, about, practice, both, now) for row in asked),
        slip=texts.slip.format_map(filled),
        caution=texts.caution.format_map(filled),
        closing=texts.closing.format_map(filled),
        lab_address=tuple(filter(None, (*lab.address, lab.postcode))),
        telephone=lab.telephone,
        email=lab.email,
        logo=logo,
        form=reply_number(document.document_id),
        agreed=tuple(_agreed(row, about, both) for row in about.cases if _answers(row, about)),
        agreed_opening=texts.agreed.format_map(filled) if about.answers else "",
        reminder=texts.reminder.format_map(filled | reminded) if about.reminder and about.first else "",
        words=said.words.letter,
        own=lab.words.letter if said is not lab else None,
    )


@dataclass(frozen=True)
class _Said:
    """The setup, and as it speaks to the practice."""

    own: Lab
    language: str | None
    lab: Lab


def addressee(case: Case, practices: Sequence[Practice]) -> tuple[str, tuple[str, ...]]:
    """The practice's name, and the lines of its address with the postcode last."""
    known = find_practice(case.practice, practices)
    practice = known or (case.practice if isinstance(case.practice, NewPractice) else None)
    if practice is None:
        return str(case.practice or ""), ()
    return practice.name, tuple(filter(None, (*practice.address, practice.postcode)))


def _subject(many: str, one: str, filled: Mapping[str, str]) -> str:
    return (one if filled["count"] == "1" else many).format_map(filled)


def _case(row: CaseRow, about: Contents, practice: Practice | None, said: _Said, now: datetime) -> LetterCase:
    lab, dated = said.lab, said.lab.words.dates
    queries = [query for query in about.queries if query.case_id == row.case_id]
    standing = [job for job in about.jobs[row.case_id] if job.state != "withdrawn"]
    numbers = [read_number(job.number) for job in standing]
    dates = [job.deadlines for job in standing if job.deadlines]
    return LetterCase(
        patient=patient_words(row.case.patient, lab) or lab.words.letter.no_label,
        numbers=tuple(number.shown for number in numbers),
        barcode=f"{numbers[0].digits}00",
        appliances=tuple(appliance_words(appliance, practice, lab) for appliance in row.case.appliances),
        questions=tuple(_question(same, row.case, practice, dates, said, now) for same in alike(queries)),
        appointment=dated.shown_moment(row.case.appointment) if row.case.appointment else "",
        arrived=dated.shown_day(row.arrived.date()),
        reply_by=_reply_by(dates, now, lab),
        otherwise=otherwise(row.case, queries, dates, lab),
    )


def _reply_by(dates: Sequence[Deadlines], now: datetime, lab: Lab) -> str:
    """Until when an answer keeps the appointment; nothing where that time has passed already."""
    by = min((each.reply_by for each in dates), default=None)
    return lab.words.dates.shown_moment(by) if by is not None and by > now else ""


def _answers(row: CaseRow, about: Contents) -> list[AnswerRow]:
    return [answer for answer in about.answers if answer.case_id == row.case_id]


def _agreed(row: CaseRow, about: Contents, said: _Said) -> AgreedCase:
    """What was agreed about a case, to be confirmed."""
    numbers = [read_number(job.number) for job in about.jobs[row.case_id] if job.state != "withdrawn"]
    return AgreedCase(
        patient=patient_words(row.case.patient, said.lab) or said.lab.words.letter.no_label,
        numbers=tuple(number.shown for number in numbers),
        barcode=f"{numbers[0].digits}00",
        answers=tuple(_agreed_answer(answer, row.case, said) for answer in _answers(row, about)),
    )


def _agreed_answer(answer: AnswerRow, case: Case, said: _Said) -> AgreedAnswer:
    what, index = requirement_in(answer.requirement, said.own, said.language), answer.appliance
    lab, speakers, name = said.lab, said.lab.words.speakers, answer.speaker.strip()
    role = speakers.of(answer.authority)
    who = f"{name}, {role}" if name else capital(role)
    if index is not None and index < len(case.appliances):
        what = f"{appliance_name(case.appliances[index], lab)}, {what}"
    return AgreedAnswer(
        id=answer.answer_id,
        about=capital(what),
        says=answer.says,
        by=f"{who}, {speakers.of(answer.route)}",
        on=lab.words.dates.shown_moment(answer.at),
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
    same: Sequence[QueryRow],
    case: Case,
    practice: Practice | None,
    dates: Sequence[Deadlines],
    said: _Said,
    now: datetime,
) -> LetterQuestion:
    query, finding, lab = same[0], finding_of(same[0]), said.lab
    answers = offered(finding, case, said.own, practice, now)
    question, because = query.question, query.because
    told = answers
    if lab is not said.own:
        late = [each.earliest_appointment for each in dates if each.earliest_appointment]
        facts = Facts(practice=practice, earliest=max(late, default=None))
        question, because = asked_in(finding, case, facts, said.own, lab)
        in_place = dict(zip(_answers_to(query, said.own), _answers_to(query, lab), strict=True))
        told = tuple(in_place[answer] for answer in answers)
    return LetterQuestion(
        question=about(same, case, lab, question) + question,
        reason=because,
        level="stops" if query.level == "stops" else "asks",
        answers=told,
        id=query.query_id,
        menu=lab.shades if query.place.endswith(".shade") else (),
        own=answers if lab is not said.own else (),
    )


def _answers_to(query: QueryRow, lab: Lab) -> tuple[str, ...]:
    return lab.letter.answers.get(query.requirement, ())


def about(same: Sequence[QueryRow], case: Case, lab: Lab, question: str | None = None) -> str:
    """Which of several appliances a question is about, where it does not say so itself.

    `question` is how it is asked, where that is not in the lab's own words.
    """
    if len(case.appliances) < 2:
        return ""
    of_appliances = [query.appliance for query in same if query.appliance is not None]
    names = dict.fromkeys(appliance_name(case.appliances[index], lab) for index in of_appliances)
    unsaid = [name for name in names if name not in (question or same[0].question)]
    return f"{capital(lab.words.work.listed(unsaid))}: " if unsaid else ""


def otherwise(case: Case, queries: Sequence[QueryRow], dates: Sequence[Deadlines], lab: Lab) -> str:
    """What happens to the appointment without an answer; nothing where the work goes on without one."""
    late = [d.earliest_appointment for d in dates if d.earliest_appointment]
    waits = any(query.level == "stops" for query in queries)
    if not dates or case.appointment is None or not (late or waits):
        return ""
    said = lab.words.dates
    filled = {
        "reply_by": said.shown_moment(min(d.reply_by for d in dates)),
        "appointment": said.shown_moment(case.appointment),
        "earliest": said.shown_day(max(late)) if late else "",
    }
    return (lab.letter.late if late else lab.letter.otherwise).format_map(filled)
