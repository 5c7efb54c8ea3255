"""The call card: everything to say to one practice, in the order to say it, and what it has said so far."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from intake.desk.answer_words import answer_sentence, requirement_words, standing_words
from intake.desk.desk import Desk
from intake.desk.letter_words import about, alike, finding_of, otherwise
from intake.desk.reply_lines import ReplyLine, reply_lines
from intake.desk.ring_list import RingLine, practice_of_key, ring_line
from intake.desk.ticket_words import appliance_words, patient_words
from intake.domain.answering import Choice, choices
from intake.domain.case import Case, NewPractice
from intake.domain.job_number import read_number
from intake.domain.lab import Lab
from intake.domain.practice import Practice, StandingInstruction
from intake.domain.verdict import Finding
from intake.domain.wording import capital, counted, in_sentence, requirement_name
from intake.domain.written_dates import short_day, shown_day, shown_moment
from intake.store.rows import AnswerRow, AttemptRow, CaseRow, DocumentRow, JobRow, QueryRow

OUTCOMES = {
    "spoke": "spoke",
    "no-answer": "no answer",
    "engaged": "engaged",
    "message-left": "message left",
    "ring-back": "to be rung back",
    "wrong-number": "wrong number",
}
LETTERS = 5
"""So many of its newest letters are told."""
FORGETS_DAYS = 90
"""So far back goes the count of what a practice leaves out."""


@dataclass(frozen=True)
class CardQuestion:
    """One thing to ask; one answer does for all its queries."""

    query_id: int
    query_ids: tuple[int, ...]
    finding: Finding
    about: str
    """Which of several appliances it is about, where the question does not say so itself."""
    choices: tuple[Choice, ...]
    standing: str
    """How it stands: promised, asked in a letter, or empty."""
    earlier: tuple[str, ...]
    """What was answered before, a sentence each, oldest first."""


@dataclass(frozen=True)
class CardCase:
    """One case of the practice with what is to be asked of it."""

    case_id: int
    case: Case
    patient: str
    """As the practice knows it."""
    numbers: tuple[str, ...]
    appliances: tuple[str, ...]
    arrived: str
    appointment: str
    reply_by: str
    otherwise: str
    """What happens without an answer."""
    state: Literal["held", "clear"]
    questions: tuple[CardQuestion, ...]


@dataclass(frozen=True)
class SpokenLine:
    """An answer by word of mouth that is not confirmed in writing yet."""

    answer_ids: tuple[int, ...]
    case_id: int
    patient: str
    says: str
    by: str
    written: str
    """The letter that asks to confirm it, or that it goes out with today's."""


@dataclass(frozen=True)
class StandingLine:
    """A standing instruction of the practice."""

    index: int
    """Its place among the practice's standing instructions."""
    says: str
    about: str
    since: str
    review: str
    overdue: bool
    """Whether its day of review has passed."""


@dataclass(frozen=True)
class CallCard:
    """All that is open for one practice."""

    line: RingLine
    practice: Practice | None
    email: str
    caution: str
    cases: tuple[CardCase, ...]
    spoken: tuple[SpokenLine, ...]
    standing: tuple[StandingLine, ...]
    tries: tuple[str, ...]
    """Newest first."""
    letters: tuple[str, ...]
    """Newest first."""
    forgets: str
    replies: tuple[ReplyLine, ...]

    def question(self, query_id: int) -> tuple[CardCase, CardQuestion]:
        """A question with its case. Raises KeyError where it is not on the card."""
        for case in self.cases:
            for question in case.questions:
                if query_id in question.query_ids:
                    return case, question
        raise KeyError(query_id)


def call_card(desk: Desk, key: str) -> CallCard | None:
    """The card of a practice as it stands now; None where nothing is open for it."""
    line = ring_line(desk, key)
    if line is None:
        return None
    read, now, practice = desk.store.read, desk.now(), practice_of_key(desk, key)
    queries, spoken = read.practice_queries(key), read.spoken(key)
    rows = read.cases({query.case_id for query in queries} | {answer.case_id for answer in spoken})
    cases = _cases(desk, queries, rows, practice, now)
    written = next((row.case.practice for row in rows.values() if isinstance(row.case.practice, NewPractice)), None)
    since = now - timedelta(days=FORGETS_DAYS)
    return CallCard(
        line=line,
        practice=practice,
        email=practice.email if practice else written.email if written else "",
        caution=_caution(line, practice),
        cases=cases,
        spoken=_spoken(spoken, rows, desk.lab),
        standing=standing_lines(practice, desk.lab, now),
        tries=tuple(try_words(row, now) for row in sorted(read.attempts(key), key=lambda row: row.at, reverse=True)),
        letters=tuple(_letter(desk, letter) for letter in reversed(read.letters_to(key, since=since)[-LETTERS:])),
        forgets=_forgets(read.forgets(key, since)),
        replies=reply_lines(desk, key),
    )


def standing_lines(practice: Practice | None, lab: Lab, now: datetime) -> tuple[StandingLine, ...]:
    """The standing instructions of a practice that hold, in their order."""
    told = enumerate(practice.standing if practice else ())
    return tuple(_standing(index, each, lab, now) for index, each in told if each.withdrawn is None)


def try_words(row: AttemptRow, now: datetime) -> str:
    """One try to reach a practice: `today 11:20, no answer, AB`."""
    when = f"today {row.at:%H:%M}" if row.at.date() == now.date() else f"{short_day(row.at.date())}, {row.at:%H:%M}"
    back = f" at {shown_moment(row.ring_back)}" if row.ring_back else ""
    note = f": {row.note}" if row.note else ""
    return capital(f"{when}, {OUTCOMES[row.outcome]}{back}, {row.who}{note}")


def _cases(
    desk: Desk, queries: Sequence[QueryRow], rows: Mapping[int, CaseRow], practice: Practice | None, now: datetime
) -> tuple[CardCase, ...]:
    jobs = desk.store.read.jobs_of_cases(rows)
    of_case: dict[int, list[QueryRow]] = {}
    for query in queries:
        of_case.setdefault(query.case_id, []).append(query)
    cases = [_case(desk, rows[case_id], asked, jobs[case_id], practice, now) for case_id, asked in of_case.items()]
    latest = datetime.max
    by = {query.case_id: query.reply_by or latest for query in queries}
    return tuple(sorted(cases, key=lambda case: (case.state != "held", by[case.case_id], case.case_id)))


def _case(
    desk: Desk,
    row: CaseRow,
    queries: Sequence[QueryRow],
    jobs: Sequence[JobRow],
    practice: Practice | None,
    now: datetime,
) -> CardCase:
    standing = [job for job in jobs if job.state != "withdrawn"]
    dates = [job.deadlines for job in standing if job.deadlines]
    answers = desk.store.read.answers_of(row.case_id)
    return CardCase(
        case_id=row.case_id,
        case=row.case,
        patient=patient_words(row.case.patient, desk.lab) or "no label given",
        numbers=tuple(read_number(job.number).shown for job in standing),
        appliances=tuple(appliance_words(appliance, practice, desk.lab) for appliance in row.case.appliances),
        arrived=shown_day(row.arrived.date()),
        appointment=shown_moment(row.case.appointment) if row.case.appointment else "",
        reply_by=shown_moment(min(each.reply_by for each in dates)) if dates else "",
        otherwise=otherwise(row.case, queries, dates, desk.lab),
        state="held" if any(query.level == "stops" for query in queries) else "clear",
        questions=tuple(_question(group, row.case, answers, practice, desk.lab, now) for group in alike(queries)),
    )


def _question(
    group: Sequence[QueryRow],
    case: Case,
    answers: Sequence[AnswerRow],
    practice: Practice | None,
    lab: Lab,
    now: datetime,
) -> CardQuestion:
    first, finding = group[0], finding_of(group[0])
    same = [row for row in answers if (row.requirement, row.appliance) == (first.requirement, first.appliance)]
    return CardQuestion(
        query_id=first.query_id,
        query_ids=tuple(query.query_id for query in group),
        finding=finding,
        about=about(group, case, lab),
        choices=choices(finding, case, lab, practice, now),
        standing=standing_words(first),
        earlier=tuple(answer_sentence(row) for row in same),
    )


def _caution(line: RingLine, practice: Practice | None) -> str:
    """Whom to trust: the number on file, never one from a message."""
    if practice is None:
        return "This practice is not in the directory. Find its number in a source of your own, not in the message."
    if not line.telephone:
        return "No telephone number is on file. Find it in a source of your own, not in the message."
    return f"Ring the number on file, {line.telephone}, never one from a message."


def _spoken(answers: Iterable[AnswerRow], rows: Mapping[int, CaseRow], lab: Lab) -> tuple[SpokenLine, ...]:
    return tuple(
        SpokenLine(
            answer_ids=(row.answer_id,),
            case_id=row.case_id,
            patient=patient_words(rows[row.case_id].case.patient, lab) or "no label given",
            says=f"{requirement_words(row.requirement)}: {row.answer.says}",
            by=f"{row.speaker}, {shown_moment(row.at)}",
            written=f"asked to confirm in letter {row.letter_id}" if row.letter_id else "goes out with today’s letter",
        )
        for row in answers
        if row.case_id in rows
    )


def _standing(index: int, each: StandingInstruction, lab: Lab, now: datetime) -> StandingLine:
    kinds = [lab.type_by_id[kind].name if kind in lab.type_by_id else kind for kind in each.types]
    return StandingLine(
        index=index,
        says=each.says,
        about=", ".join([requirement_words(each.requirement), *map(in_sentence, kinds)]),
        since=f"since {shown_day(each.since)}" + (f", {each.source}" if each.source else ""),
        review=f"to go through again on {shown_day(each.review)}" if each.review else "",
        overdue=each.review is not None and each.review <= now.date(),
    )


def _letter(desk: Desk, letter: DocumentRow) -> str:
    """A letter and where it has got to: `Letter 12, Tue 24 Nov, by e-mail, sent: 3 questions, 1 answered`."""
    queries = desk.store.read.queries_in(letter.document_id)
    answered = sum(query.state == "answered" for query in queries)
    state = {
        "waiting": "waits",
        "drawn": "waits",
        "sent": "sent",
        "done": "sent" if letter.way == "mail" else "printed",
        "failed": f"not sent: {letter.problem}",
        "cancelled": "never sent, a later one took its place",
    }[letter.state]
    way = {"print": "by post", "mail": "by e-mail", "draft": "as an e-mail draft"}[letter.way]
    asked = f"{counted(len(queries), 'question')}, {answered} answered" if queries else "to confirm what was agreed"
    return f"Letter {letter.document_id}, {short_day(letter.created.date())}, {way}, {state}: {asked}"


def _forgets(counts: Sequence[tuple[str, int]]) -> str:
    """What the practice leaves out most often."""
    most = [f"{requirement_name(requirement)} ({count})" for requirement, count in counts[:3]]
    return f"Left out most often in {FORGETS_DAYS} days: {', '.join(most)}." if most else ""
