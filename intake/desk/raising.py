"""Raises a question to the practice that no rule asks: it stops the work, and is rung for and written."""

from dataclasses import dataclass

from intake.desk.amending import bring_in_line
from intake.desk.desk import Desk
from intake.domain.case import Case, Raised
from intake.domain.raised import with_raised, without_raised
from intake.errors import IntakeError
from intake.store.rows import CaseRow
from intake.store.work import Work


class NothingAsked(IntakeError):
    """A question has no words, or there is nothing to raise it about."""


class AnsweredMeanwhile(IntakeError):
    """A question was answered since, and cannot be taken back."""


@dataclass(frozen=True)
class Question:
    """A question that was raised, with the tickets that wait to be printed."""

    case_id: int
    version: int
    raised: Raised
    tickets: tuple[int, ...]


def raise_question(desk: Desk, case_id: int, version: int, question: str, bench: str = "") -> Question:
    """Raises a question about a case: a finding that stops, and so a query on the ring list and in letters.

    A job whose box is at reception is held from then on; one that is at a bench stays there, with a ticket that asks.

    Args:
        desk: The desk.
        case_id: The case.
        version: Its version when it was read.
        question: What the practice is asked.
        bench: The bench where it came up; empty at the desk.

    Raises:
        NothingAsked: there are no words, or the case is withdrawn or not here.
        ChangedMeanwhile: another desk changed the case since it was read.
    """
    row = _standing(desk, case_id)
    with desk.work() as work:
        raised = raise_in(desk, work, row, version, question, bench)
        work.commit()
    return raised


def raise_in(desk: Desk, work: Work, row: CaseRow, version: int, question: str, bench: str = "") -> Question:
    """Raises a question in a unit of work. Raises as `raise_question` does."""
    if not question.strip():
        raise NothingAsked("Type the question to the practice first: it is rung for and written as it stands.")
    case = with_raised(row.case, question, desk.person, desk.now(), bench)
    raised = case.raised[-1]
    work.moves.tell_question(row.case_id, raised.question, bench)
    practice = desk.practice_of(case)
    amended = bring_in_line(desk, work, row.case_id, version, case, practice, why="question raised")
    return Question(row.case_id, amended.version, raised, amended.tickets)


def take_question_back(desk: Desk, question: Question) -> tuple[int, ...]:
    """Takes back a question that was raised by mistake; gives the tickets that wait to be printed.

    Raises AnsweredMeanwhile where the practice has answered it, and ChangedMeanwhile as any change of a case does.
    """
    row = _standing(desk, question.case_id)
    with desk.work() as work:
        tickets = take_back_in(desk, work, row, question.raised)
        work.commit()
    return tickets


def take_back_in(desk: Desk, work: Work, row: CaseRow, raised: Raised) -> tuple[int, ...]:
    """Takes a question back in a unit of work. Raises as `take_question_back` does."""
    case = _without(row.case, raised)
    work.moves.tell_question(row.case_id, raised.question, raised.bench, taken_back=True)
    practice, why = desk.practice_of(case), "question taken back"
    return bring_in_line(desk, work, row.case_id, row.version, case, practice, why=why).tickets


def _without(case: Case, raised: Raised) -> Case:
    if raised not in case.raised:
        raise AnsweredMeanwhile("The question was answered since. Take the answer back first, in Waiting.")
    return without_raised(case, raised)


def _standing(desk: Desk, case_id: int) -> CaseRow:
    row = desk.store.read.case(case_id)
    if row is None:
        raise NothingAsked("This case is not here any more.")
    if row.state == "withdrawn":
        raise NothingAsked("This case is withdrawn: take it up again before anything is asked about it.")
    return row
