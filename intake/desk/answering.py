"""Takes an answer down: the case is what it says from then on, and its source is kept."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from intake.desk.amending import Amended, bring_in_line
from intake.desk.answer_words import requirement_words, who_says
from intake.desk.desk import Desk
from intake.desk.letter_words import alike, finding_of
from intake.desk.standing import dated, judge_again, keep_practice
from intake.domain.answer import Answer, Speaker
from intake.domain.answering import (
    apply,
    can_stand,
    confirmed,
    counts,
    is_spoken,
    read_answer,
    spoken_of,
    standing_of,
)
from intake.domain.case import Case
from intake.domain.job_number import read_number
from intake.domain.practice import Practice
from intake.domain.speaking import WAYS
from intake.domain.wording import listed
from intake.errors import IntakeError
from intake.store.rows import AnswerRow, BookedJob, CaseRow, QueryRow
from intake.store.work import Work


class NoLongerAsked(IntakeError):
    """A question was settled meanwhile."""


class NobodySpeaks(IntakeError):
    """An answer has no source."""


@dataclass(frozen=True)
class Answered:
    """An answer as it was taken down."""

    answer_ids: tuple[int, ...]
    query_ids: tuple[int, ...]
    case_id: int
    version: int
    said: str
    """What was taken down and what it changed, in sentences."""
    counts: bool
    """Whether it counts as an answer; else it is kept as a note, and `said` has the reason."""
    closed: bool
    """Whether the question is settled."""
    tickets: tuple[int, ...]
    """The tickets that wait to be printed."""
    before: Case
    """The case as it was, for taking the answer back."""
    practice_before: Practice | None = None
    """The practice's entry as it was, where the answer became a standing instruction."""


@dataclass(frozen=True)
class Confirmed:
    """What became of a confirmation, in sentences, and the tickets that wait to be printed."""

    said: str
    tickets: tuple[int, ...] = ()


def take_answer(desk: Desk, query_id: int, answer: Answer, speaker: Speaker, reply_id: int | None = None) -> Answered:
    """Takes an answer to a question down, and to every question of the case that is the same in words.

    Args:
        desk: The desk.
        query_id: The question.
        answer: What was said, as `read_answer` read it.
        speaker: Who said it, in what role and by which way.
        reply_id: The returned form that it came on, if it did.

    Raises:
        NoLongerAsked: the question was answered or withdrawn meanwhile.
        NobodySpeaks: nobody is named who said it.
        IntakeError: the store refuses.
    """
    if not speaker.name.strip():
        raise NobodySpeaks("Say first who gives the answers: the name, and in what role.")
    queries, row = _asked(desk, query_id)
    practice = desk.practice_of(row.case)
    answers = _read_alike(desk, queries, answer, row.case, practice)
    case = row.case
    # The last appliance first: one that is taken away moves those behind it.
    for query, each in sorted(answers, key=lambda pair: pair[0].appliance or 0, reverse=True):
        case = apply(case, finding_of(query), each, speaker, desk.lab, practice, desk.now())
    why_not = counts(finding_of(queries[0]), answer, speaker)
    with desk.work() as work:
        kept = tuple(_keep(work, query, each, speaker, why_not, reply_id) for query, each in answers)
        stands = _make_standing(desk, work, queries[0], answer, speaker, row, why_not)
        amended = _amend(desk, work, row, row.version, case, [query.query_id for query in queries])
        work.commit()
    also = judge_again(desk, stands.code, besides=row.case_id) if stands is not None else ()
    left = {query.query_id for query in desk.store.read.queries_of(row.case_id) if query.state == "open"}
    return Answered(
        answer_ids=kept,
        query_ids=tuple(query.query_id for query in queries),
        case_id=row.case_id,
        version=amended.version if amended else row.version,
        said=_said(queries[0], answer, speaker, why_not, amended.jobs if amended else ()),
        counts=not why_not,
        closed=queries[0].query_id not in left,
        tickets=(*(amended.tickets if amended else ()), *also),
        before=row.case,
        practice_before=stands,
    )


def take_back(desk: Desk, answered: Answered) -> tuple[int, ...]:
    """Takes an answer back that was taken down just now; it stays in the story. Gives the tickets that wait.

    Raises ChangedMeanwhile where the case was changed since.
    """
    row = desk.store.read.case(answered.case_id)
    assert row is not None, "a case is never deleted"
    with desk.work() as work:
        for answer_id in answered.answer_ids:
            work.answers.take_back(answer_id)
        if answered.practice_before is not None:
            keep_practice(desk, work, answered.practice_before)
        amended = _amend(desk, work, row, answered.version, answered.before)
        work.commit()
    before = answered.practice_before
    also = judge_again(desk, before.code, besides=answered.case_id) if before is not None else ()
    return (*(amended.tickets if amended else ()), *also)


def confirm(desk: Desk, answer_ids: Iterable[int], how: str) -> Confirmed:
    """Notes that answers by word of mouth are confirmed in writing now; says which jobs that frees.

    `how` is by which paper: `by letter`, `by e-mail`, `on the reply form`.
    """
    wanted = set(answer_ids)
    rows = [row for row in desk.store.read.spoken() if row.answer_id in wanted]
    if not rows:
        raise NoLongerAsked("These answers are confirmed already, or were taken back.")
    cases = dict.fromkeys(row.case_id for row in rows)
    amended = [_confirm_case(desk, case_id, [row for row in rows if row.case_id == case_id], how) for case_id in cases]
    numbers = [read_number(number).shown for each in amended if each for number in each.freed]
    free = f" {'Job' if len(numbers) == 1 else 'Jobs'} {listed(numbers)} may go to the bench." if numbers else ""
    tickets = tuple(ticket for each in amended if each for ticket in each.tickets)
    return Confirmed(f"Confirmed in writing, {how}.{free}", tickets)


def _confirm_case(desk: Desk, case_id: int, rows: Sequence[AnswerRow], how: str) -> Amended | None:
    """Confirms a case's answers; the case as it was brought in line."""
    row = desk.store.read.case(case_id)
    assert row is not None, "a case is never deleted"
    spoken = {
        each
        for answer in rows
        for each in spoken_of(row.case, answer.requirement, answer.appliance, answer.says, answer.speaker)
    }
    with desk.work() as work:
        work.answers.confirm([answer.answer_id for answer in rows], how)
        amended = _amend(desk, work, row, row.version, confirmed(row.case, spoken))
        work.commit()
    return amended


def _asked(desk: Desk, query_id: int) -> tuple[list[QueryRow], CaseRow]:
    """The question with those of its case that are the same in words, and the case."""
    query = desk.store.read.query(query_id)
    row = desk.store.read.case(query.case_id) if query else None
    if query is None or row is None:
        raise NoLongerAsked("This question is not here any more.")
    if query.state != "open" or row.state != "open":
        settled = {"answered": "was answered meanwhile", "withdrawn": "need not be asked any more"}
        raise NoLongerAsked(f"This question {settled.get(query.state, 'is about a case that was withdrawn')}.")
    standing = [each for each in desk.store.read.queries_of(row.case_id) if each.state == "open"]
    return next(group for group in alike(standing) if query_id in {each.query_id for each in group}), row


def _read_alike(
    desk: Desk, queries: Sequence[QueryRow], answer: Answer, case: Case, practice: Practice | None
) -> list[tuple[QueryRow, Answer]]:
    """The answer for each of the questions: for the same words about another appliance it is read anew."""
    taken = [(queries[0], answer)]
    for query in queries[1:]:
        read = read_answer(answer.written, finding_of(query), case, desk.lab, practice, desk.now()).answer
        if read is not None:
            taken.append((query, read))
    return taken


def _keep(work: Work, query: QueryRow, answer: Answer, speaker: Speaker, why_not: str, reply_id: int | None) -> int:
    spoken = not why_not and is_spoken(finding_of(query), answer, speaker)
    return work.answers.add(query.query_id, answer, speaker, counts=not why_not, spoken=spoken, reply_id=reply_id)


def _make_standing(
    desk: Desk, work: Work, query: QueryRow, answer: Answer, speaker: Speaker, row: CaseRow, why_not: str
) -> Practice | None:
    """Keeps an answer as a standing instruction where the practice wants it so; the entry as it was."""
    before = desk.practice_of(row.case)
    finding = finding_of(query)
    if not answer.always or why_not or before is None or not can_stand(finding, desk.lab):
        return None
    instruction = dated(standing_of(finding, answer, speaker, row.case, desk.lab, desk.now().date()), desk.lab)
    keep_practice(desk, work, before.model_copy(update={"standing": (*before.standing, instruction)}))
    return before


def _amend(
    desk: Desk, work: Work, row: CaseRow, version: int, case: Case, answered: Sequence[int] = ()
) -> Amended | None:
    """Brings the case in line; None where the answer changes nothing in it."""
    if case == row.case:
        return None
    return bring_in_line(desk, work, row.case_id, version, case, desk.practice_of(case), answered)


def _said(query: QueryRow, answer: Answer, speaker: Speaker, why_not: str, jobs: Sequence[BookedJob]) -> str:
    what = f"{requirement_words(query.requirement)}: {answer.says}"
    who = f"{what}, says {who_says(speaker.name, speaker.authority)}, {WAYS[speaker.route]}."
    if why_not:
        return f"{who} {why_not}"
    return " ".join([who, *(f"Job {job.shown} is {job.state}." for job in jobs)])
