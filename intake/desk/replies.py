"""Returned reply forms: kept once, shown beside their questions, taken with one key; nothing is ever guessed."""

from dataclasses import dataclass
from typing import Any

from intake.desk.answering import Answered, Confirmed, NoLongerAsked, confirm, take_answer
from intake.desk.desk import Desk
from intake.desk.letter_words import finding_of
from intake.desk.ticket_words import patient_words
from intake.domain.answer import Speaker
from intake.domain.answering import AnswerRead, read_answer
from intake.domain.form_fields import Said
from intake.domain.reply_fields import ROLES_TO_TICK, Filled
from intake.domain.speaking import role_of
from intake.domain.written_dates import shown_moment
from intake.errors import IntakeError
from intake.store.rows import AnswerRow, QueryRow, ReplyRow
from intake.store.words import ReplyKind

PROBLEMS = {
    "two answers": "Two answers are given.",
    "line of another answer": "A line of another answer is filled in.",
    "line left empty": "The line of this answer is empty.",
    "not one of the answers": "The answer is none of those that were offered.",
}


class NoReply(IntakeError):
    """A returned form is not here, or was taken already."""


@dataclass(frozen=True)
class ReplyAnswer:
    """What the form says to one question."""

    query_id: int
    patient: str
    question: str
    written: str
    """As it stands on the form."""
    read: AnswerRead
    open: bool
    """Whether the question still waits for an answer."""
    now: str
    """What was answered meanwhile, where it was."""


@dataclass(frozen=True)
class ReplyAgreed:
    """What the form says to an answer that it was to confirm."""

    answer_id: int
    patient: str
    says: str
    written: str
    confirms: bool
    open: bool


@dataclass(frozen=True)
class ReplyCard:
    """A returned form beside its questions."""

    reply_id: int
    key: str
    practice: str
    letter: str
    speaker: Speaker
    date: str
    answers: tuple[ReplyAnswer, ...]
    agreed: tuple[ReplyAgreed, ...]
    problem: str
    """Why a person has to read it; empty where it can be taken as it is."""
    kind: ReplyKind
    file_name: str
    can_take: bool


def reply_card(desk: Desk, reply_id: int) -> ReplyCard:
    """A returned form beside its questions as they stand now. Raises NoReply."""
    row = desk.store.read.reply(reply_id)
    if row is None:
        raise NoReply("This returned form is not here any more.")
    letter = desk.store.read.document(row.letter_id) if row.letter_id is not None else None
    speaker = _speaker(desk, row, letter.practice_code if letter else None)
    answers = tuple(_answer(desk, query, row) for query in _asked_in(desk, row))
    agreed = tuple(_agreed(desk, answer, row) for answer in _agreed_in(desk, row))
    readable = any(each.open and each.read.answer is not None for each in answers)
    return ReplyCard(
        reply_id=reply_id,
        key=row.key or "",
        practice=letter.practice_name if letter else "",
        letter=f"Letter {row.letter_id}, {shown_moment(letter.created)}" if letter else row.source_name,
        speaker=speaker,
        date=str(row.content.get("date", "")),
        answers=answers,
        agreed=agreed,
        problem=row.problem,
        kind=row.kind,
        file_name=row.source_name,
        can_take=row.kind == "form"
        and row.state == "waiting"
        and (readable or any(each.open and each.confirms for each in agreed)),
    )


@dataclass(frozen=True)
class TakenReply:
    """A returned form as it was taken."""

    answers: tuple[Answered, ...]
    said: str
    tickets: tuple[int, ...]
    """The tickets that wait to be printed."""


def take_reply(desk: Desk, reply_id: int) -> TakenReply:
    """Takes every answer of a returned form that can be read, each as its own; the others stay to be asked.

    Raises NoReply where it was taken before, or cannot be taken as it is.
    """
    card = reply_card(desk, reply_id)
    if not card.can_take:
        raise NoReply(card.problem or "There is nothing on this form that can be taken. Read it, and set it aside.")
    taken = []
    for each in card.answers:
        if each.open and each.read.answer is not None:
            try:
                taken.append(take_answer(desk, each.query_id, each.read.answer, card.speaker, reply_id))
            except NoLongerAsked:  # one answer settled the next question too
                continue
    wanted = [each.answer_id for each in card.agreed if each.open and each.confirms]
    done: list[Answered | Confirmed] = [*taken]
    if wanted:
        done.append(confirm(desk, wanted, "on the reply form"))
    _set_state(desk, reply_id, "taken")
    said = " ".join(each.said for each in done)
    return TakenReply(tuple(taken), said, tuple(ticket for each in done for ticket in each.tickets))


def set_aside(desk: Desk, reply_id: int) -> None:
    """Takes a returned form off the list, since a person has read it. It stays in the store."""
    _set_state(desk, reply_id, "set-aside")


def reply_file(desk: Desk, reply_id: int) -> tuple[str, bytes]:
    """The file that a returned form came as, with its name. Raises NoReply."""
    file = desk.store.read.reply_file(reply_id)
    if file is None:
        raise NoReply("This returned form is not here any more.")
    return file.name, file.content


def _set_state(desk: Desk, reply_id: int, state: Any) -> None:
    with desk.work() as work:
        work.replies.set_state(reply_id, state)
        work.commit()


def _speaker(desk: Desk, row: ReplyRow, code: str | None) -> Speaker:
    """Who filled it in, in the role that is ticked; where none is, the prescriber by full name or else the team."""
    practice = desk.store.read.practice(code) if code else None
    name, role = str(row.content.get("name", "")), str(row.content.get("role", ""))
    ticked = next((authority for authority in ROLES_TO_TICK if authority == role), None)
    return Speaker(
        name=name,
        authority=ticked or role_of(name, practice.practice.prescribers if practice else ()),
        route="reply-form",
    )


def _asked_in(desk: Desk, row: ReplyRow) -> list[QueryRow]:
    """The questions of the letter that the form answers, one for those that are the same in words."""
    queries = desk.store.read.queries_in(row.letter_id) if row.letter_id is not None else ()
    answered = row.content.get("answers", {})
    return [query for query in queries if str(query.query_id) in answered] if answered else list(queries)


def _agreed_in(desk: Desk, row: ReplyRow) -> list[AnswerRow]:
    return list(desk.store.read.answers_in(row.letter_id)) if row.letter_id is not None else []


def _answer(desk: Desk, query: QueryRow, row: ReplyRow) -> ReplyAnswer:
    case = desk.store.read.case(query.case_id)
    assert case is not None, "a case is never deleted"
    filled = Filled(**row.content.get("answers", {}).get(str(query.query_id), {}))
    written = "; ".join(filter(None, (filled.text, filled.other)))
    practice = desk.practice_of(case.case)
    if filled.problem:
        read = AnswerRead(None, Said(PROBLEMS[filled.problem], wrong=True))
    elif filled.text and filled.other:
        read = AnswerRead(None, Said("An answer is ticked and another is written beside it.", wrong=True))
    else:
        read = read_answer(written, finding_of(query), case.case, desk.lab, practice, desk.now())
    return ReplyAnswer(
        query_id=query.query_id,
        patient=patient_words(case.case.patient, desk.lab) or "no label given",
        question=query.question,
        written=written,
        read=read,
        open=query.state == "open" and case.state == "open",
        now=_meanwhile(desk, query),
    )


def _meanwhile(desk: Desk, query: QueryRow) -> str:
    """What was answered before, where the question is settled."""
    if query.state == "open":
        return ""
    answers = [row for row in desk.store.read.answers_to(query.query_id) if not row.taken_back]
    return f"answered meanwhile: {answers[-1].answer.says}" if answers else "need not be asked any more"


def _agreed(desk: Desk, answer: AnswerRow, row: ReplyRow) -> ReplyAgreed:
    case = desk.store.read.case(answer.case_id)
    assert case is not None, "a case is never deleted"
    filled = Filled(**row.content.get("agreed", {}).get(str(answer.answer_id), {}))
    return ReplyAgreed(
        answer_id=answer.answer_id,
        patient=patient_words(case.case.patient, desk.lab) or "no label given",
        says=answer.answer.says,
        written="; ".join(filter(None, (filled.text, filled.other))),
        confirms=filled.choice == 0 and not filled.problem and not filled.other,
        open=answer.confirmed is None and not answer.taken_back,
    )
