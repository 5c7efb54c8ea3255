"""Hands boxes over to the benches, takes them in and out there, and brings them back to reception."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

from intake.desk.box_facts import BoxFacts, box_facts
from intake.desk.desk import Desk
from intake.desk.raising import Question, raise_in, take_back_in
from intake.desk.replaced_tickets import note_scan
from intake.domain.box_moves import Move, MoveKind, step_at
from intake.domain.calendar import lab_calendar
from intake.domain.handing_over import BACK_WORDS, BackFor, No, Why, Yes, may_come_back, may_go_out, may_hand_over
from intake.domain.job_number import read_number
from intake.domain.scan_codes import ScanCode
from intake.errors import IntakeError
from intake.store.meanwhile import ChangedMeanwhile
from intake.store.rows import JobRow
from intake.store.work import Work

AGAIN = timedelta(seconds=10)
"""The same box to the same place within this time, at whatever desk, is one move."""
TRIES = 3
"""So often a box is looked at anew when another desk was faster."""


class NotTakenBack(IntakeError):
    """A move cannot be taken back any more."""


@dataclass(frozen=True)
class HandedOver:
    """The answer to one scan.

    Attributes:
        yes: Whether the box may go, and has been moved.
        number: The job's number, its digits.
        said: What was done, or the reason why not; a sentence.
        way_on: What to do instead, in a sentence; empty where the box was moved.
        key: The action of the window that does that.
        why: The kind of reason why not; empty where the box was moved.
        note: What is to be told with a yes, such as that it is late.
        again: Whether the same box was moved so a moment ago, and nothing was done now.
        at: When.
        bench: The bench that is meant.
        practice: The practice.
        patient: The patient's label and reference.
        category: The kind of work.
        colour: The name of its box's colour.
        hex: That colour.
        box: The number of its box.
        move_id: The move, to be taken back; None where none was made.
        question: The question that was raised with it.
        tickets: The tickets that wait to be printed.
    """

    yes: bool
    number: str
    said: str
    way_on: str = ""
    key: str = ""
    why: Why | Literal[""] = ""
    note: str = ""
    again: bool = False
    at: datetime | None = None
    bench: str = ""
    practice: str = ""
    patient: str = ""
    category: str = ""
    colour: str = ""
    hex: str = ""
    box: int | None = None
    move_id: int | None = None
    question: Question | None = None
    tickets: tuple[int, ...] = ()

    @property
    def shown(self) -> str:
        """The job's number in groups."""
        return read_number(self.number).shown


@dataclass(frozen=True)
class _Done:
    """A move that is to be made, with what is said of it."""

    kind: MoveKind
    bench: str
    said: str
    reason: str = ""
    asks: str = ""
    """The question to the practice."""


_Decide = Callable[[BoxFacts], tuple[Yes | No, _Done]]


def hand_over(desk: Desk, bench: str, code: ScanCode) -> HandedOver:
    """Hands a box over to a bench, or lets it go on to it from another one; or says why not, and what to do.

    Raises only what a broken store or calendar raises: whatever stops the box is its answer.

    Args:
        desk: The desk.
        bench: The bench's name, as the routes have it.
        code: A ticket's code; without a copy, the number was typed.
    """
    return _moved(desk, code, bench, lambda facts: _decided_over(desk, bench, facts, taking_in=False))


def take_in(desk: Desk, bench: str, code: ScanCode) -> HandedOver:
    """A bench takes a box in: one that was handed over to it, or that comes from the bench before. As `hand_over`."""
    return _moved(desk, code, bench, lambda facts: _decided_over(desk, bench, facts, taking_in=True))


def send_on(desk: Desk, bench: str, code: ScanCode) -> HandedOver:
    """A bench is done with a box. Out of the last of the route the job is finished, and its numbered box is free."""

    def decided(facts: BoxFacts) -> tuple[Yes | No, _Done]:
        may = may_go_out(facts.box, bench, desk.now(), lab_calendar(desk.lab.calendar))
        return may, _Done("out", bench, f"{bench} is done with it. {_next_after(facts, bench)}")

    return _moved(desk, code, bench, decided)


def bring_back(desk: Desk, code: ScanCode, back_for: BackFor, words: str = "") -> HandedOver:
    """Brings a box back to reception. For a question to the practice the question is raised, and the job is held.

    Args:
        desk: The desk.
        code: A ticket's code; any copy will do.
        back_for: Why.
        words: The question as it is to be asked; else whatever else is to be noted.
    """
    words = " ".join(words.split())

    def decided(facts: BoxFacts) -> tuple[Yes | No, _Done]:
        last = facts.box.stands.last
        bench = last.bench if last is not None else facts.job.bench or ""
        may = may_come_back(facts.box)
        if isinstance(may, Yes) and back_for == "question" and not words:
            may = No("question-missing", "What is the practice to be asked?", "Type the question, then Enter.")
        if isinstance(may, Yes) and back_for == "question" and facts.job.case_state == "withdrawn":
            may = No("withdrawn", "Its case is withdrawn: nothing is asked about it.", "Choose another reason.")
        reason = words if back_for == "question" else ": ".join(filter(None, (BACK_WORDS[back_for], words)))
        return may, _Done("back", bench, _said_back(facts, back_for, bench), reason, _asks(back_for, words))

    return _moved(desk, code, "", decided)


def take_back(desk: Desk, handed: HandedOver) -> tuple[int, ...]:
    """Takes a move back that was a mistake, with the question that was raised by it; gives the tickets that wait.

    A job that was finished by it has its numbered box again, if that is still free.

    Raises NotTakenBack where its box was moved on since, AnsweredMeanwhile where the practice answered the question.
    """
    job = desk.store.read.job(handed.number)
    if job is None or handed.move_id is None:
        raise NotTakenBack("There is no move to be taken back.")
    facts = box_facts(desk, job, None)
    if not facts.moves or facts.moves[-1].move_id != handed.move_id:
        raise NotTakenBack(f"Job {handed.shown} was moved on since. Bring its box back instead.")
    row = desk.store.read.case(job.case_id)
    assert row is not None, "a case is never deleted"
    with desk.work() as work:
        work.moves.take_back(handed.move_id, job.version, facts.stands_after(facts.moves[:-1], facts.waiting_state()))
        _put_back_in_box(desk, work, handed, job)
        tickets = take_back_in(desk, work, row, handed.question.raised) if handed.question is not None else ()
        work.commit()
    return tickets


def _moved(desk: Desk, code: ScanCode, bench: str, decide: _Decide) -> HandedOver:
    """The answer to one scan: decided anew where another desk was faster."""
    for _ in range(TRIES):
        job = desk.store.read.job(code.value)
        if job is None:
            return _unknown(desk, code)
        facts = box_facts(desk, job, code.copy)
        may, done = decide(facts)
        answer = _answer(desk, facts, bench or done.bench)
        if (before := _just_now(desk, facts, done)) is not None:
            return replace(answer, yes=True, said=done.said, again=True, at=before.at)
        if isinstance(may, No):
            if may.why == "replaced":
                note_scan(desk, job.number, code.copy)
            return replace(answer, said=may.reason, way_on=may.way_on, key=may.key, why=may.why)
        try:
            return _make(desk, facts, replace(done, kind=may.kind), replace(answer, yes=True, note=may.note))
        except ChangedMeanwhile:
            continue
    return replace(
        answer,
        said="It was changed at another desk while it was scanned.",
        way_on="Scan it once more.",
        why="already",
    )


def _make(desk: Desk, facts: BoxFacts, done: _Done, answer: HandedOver) -> HandedOver:
    """Makes a move, with the question that it raises, in one unit of work."""
    job = facts.job
    move = Move(0, done.kind, done.bench, desk.now(), desk.person)
    to = facts.stands_after((*facts.moves, move), facts.waiting_state())
    row = desk.store.read.case(job.case_id) if done.asks else None
    question = None
    with desk.work() as work:
        move_id = work.moves.move(
            job.job_id, job.version, done.kind, done.bench, to, copy=facts.box.scanned or 0, reason=done.reason
        )
        if row is not None:
            question = raise_in(desk, work, row, row.version, done.asks, done.bench)
        work.commit()
    tickets = question.tickets if question is not None else ()
    return replace(answer, said=done.said, move_id=move_id, question=question, tickets=tickets)


def _decided_over(desk: Desk, bench: str, facts: BoxFacts, *, taking_in: bool) -> tuple[Yes | No, _Done]:
    calendar = lab_calendar(desk.lab.calendar)
    may = may_hand_over(facts.box, bench, desk.now(), desk.lab.hand_over, calendar, taking_in)
    kind: MoveKind = may.kind if isinstance(may, Yes) else "in" if taking_in else "handed-over"
    said = f"Taken in at {bench}." if taking_in else f"To {bench}."
    return may, _Done(kind, bench, said)


def _just_now(desk: Desk, facts: BoxFacts, done: _Done) -> Move | None:
    """The same move of the same box a moment ago: the trigger was held, or two desks scanned it."""
    last = facts.box.stands.last
    if last is None or desk.now() - last.at > AGAIN:
        return None
    alike = {"handed-over": ("handed-over", "in"), "in": ("in",)}.get(done.kind, (done.kind,))
    return last if last.kind in alike and last.bench == done.bench else None


def _answer(desk: Desk, facts: BoxFacts, bench: str) -> HandedOver:
    job = facts.job
    return HandedOver(
        yes=False,
        number=job.number,
        said="",
        at=desk.now(),
        bench=bench,
        practice=job.practice_name,
        patient=" · ".join(filter(None, (job.patient_label, job.patient_reference))),
        category=job.category_name,
        colour=job.box_colour,
        hex=job.box_hex,
        box=desk.store.read.box_of(job.job_id) if desk.lab.boxes is not None else None,
    )


def _unknown(desk: Desk, code: ScanCode) -> HandedOver:
    return HandedOver(
        yes=False,
        number=code.value,
        said=f"No job here has the number {read_number(code.value).shown}. The number itself is sound.",
        way_on="Set it apart: is it another laboratory’s ticket?",
        why="unknown",
        at=desk.now(),
    )


def _next_after(facts: BoxFacts, bench: str) -> str:
    """Where a box goes that a bench is done with."""
    step = step_at(facts.route, bench, facts.box.stands)
    if step is None or step + 1 >= len(facts.route):
        return "It is finished."
    return f"It goes to {facts.route[step + 1].bench} next."


def _said_back(facts: BoxFacts, back_for: BackFor, bench: str) -> str:
    where = f"Back from {bench}" if bench else "Back"
    if back_for == "question":
        return f"{where}: held until the practice has answered."
    if facts.job.case_state == "withdrawn":
        return f"{where}: its case is withdrawn, and nothing is made of it."
    kept = "held" if facts.waiting_state() == "held" else "clear"
    return f"{where}: {BACK_WORDS[back_for]}. It is {kept} and waits at reception."


def _asks(back_for: BackFor, words: str) -> str:
    return words if back_for == "question" else ""


def _put_back_in_box(desk: Desk, work: Work, handed: HandedOver, job: JobRow) -> None:
    """A job that is not finished after all lies in its numbered box, where nobody took that meanwhile."""
    if job.finished is not None and handed.box is not None and desk.store.read.box(handed.box) is None:
        work.moves.put_in_box(handed.box, job.job_id)
