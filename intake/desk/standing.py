"""Standing instructions: made, gone through again, withdrawn; what is open is judged anew each time."""

from dataclasses import dataclass

from intake.desk.amending import bring_in_line
from intake.desk.desk import Desk
from intake.desk.ring_list import practice_of_key
from intake.domain.answer import Speaker
from intake.domain.answering import disinfected_always
from intake.domain.lab import Lab
from intake.domain.practice import Practice, StandingInstruction
from intake.domain.ringing import review_day
from intake.domain.written_dates import shown_day
from intake.errors import IntakeError
from intake.store.work import Work


class CannotStand(IntakeError):
    """There is nothing to stand, or nowhere to keep it."""


@dataclass(frozen=True)
class Stands:
    """What became of a standing instruction, in a sentence, and the tickets that wait to be printed."""

    said: str
    tickets: tuple[int, ...] = ()


def make_standing(desk: Desk, key: str, instruction: StandingInstruction) -> Stands:
    """Adds a standing instruction to a practice's entry; what it settles is asked no longer."""
    practice, stands = _practice(desk, key), dated(instruction, desk.lab)
    _save(desk, practice.model_copy(update={"standing": (*practice.standing, stands)}))
    again = f" To go through again on {shown_day(stands.review)}." if stands.review else ""
    return Stands(f"Standing for {practice.name}: {stands.says}.{again}", judge_again(desk, practice.code))


def always_disinfected(desk: Desk, key: str, speaker: Speaker) -> Stands:
    """Keeps a practice's statement that everything it sends is disinfected. Local rules decide what the desk does."""
    return make_standing(desk, key, disinfected_always(speaker, desk.now().date()))


def withdraw_standing(desk: Desk, key: str, index: int, reason: str) -> Stands:
    """Withdraws a standing instruction by its place, with the reason; it settles nothing from then on."""
    if not reason.strip():
        raise CannotStand("Say why it is withdrawn: it stands in the history.")
    practice, instruction = _instruction(desk, key, index)
    gone = {"withdrawn": desk.now().date(), "why_withdrawn": reason.strip()}
    _save(desk, _with(practice, index, instruction.model_copy(update=gone)))
    return Stands(f"No longer standing for {practice.name}: {instruction.says}.", judge_again(desk, practice.code))


def still_holds(desk: Desk, key: str, index: int) -> Stands:
    """Notes that a standing instruction was gone through with the practice and holds on."""
    practice, instruction = _instruction(desk, key, index)
    again = review_day(desk.now().date(), desk.lab)
    _save(desk, _with(practice, index, instruction.model_copy(update={"review": again})))
    return Stands(f"Still standing: {instruction.says}. To go through again on {shown_day(again)}.")


def dated(instruction: StandingInstruction, lab: Lab) -> StandingInstruction:
    """A standing instruction with the day on which it is gone through again."""
    return instruction.model_copy(update={"review": instruction.review or review_day(instruction.since, lab)})


def keep_practice(desk: Desk, work: Work, practice: Practice) -> None:
    """Replaces a practice's entry in a unit of work."""
    row = desk.store.read.practice(practice.code)
    assert row is not None, "only a practice of the directory has standing instructions"
    work.practices.save(practice, row.version)


def judge_again(desk: Desk, code: str, besides: int | None = None) -> tuple[int, ...]:
    """Judges the cases of a practice anew that something is asked of; the tickets that then wait to be printed.

    What was let through before a standing instruction was withdrawn is not called back.
    """
    tickets: list[int] = []
    for case_id in sorted({query.case_id for query in desk.store.read.practice_queries(code)} - {besides}):
        row = desk.store.read.case(case_id)
        assert row is not None, "a case is never deleted"
        with desk.work() as work:
            practice = desk.practice_of(row.case)
            tickets += bring_in_line(desk, work, case_id, row.version, row.case, practice).tickets
            work.commit()
    return tuple(tickets)


def _save(desk: Desk, practice: Practice) -> None:
    with desk.work() as work:
        keep_practice(desk, work, practice)
        work.commit()


def _practice(desk: Desk, key: str) -> Practice:
    practice = practice_of_key(desk, key)
    if practice is None:
        raise CannotStand("Only a practice of the directory has standing instructions. Enter it there first.")
    return practice


def _instruction(desk: Desk, key: str, index: int) -> tuple[Practice, StandingInstruction]:
    practice = _practice(desk, key)
    if not 0 <= index < len(practice.standing) or practice.standing[index].withdrawn is not None:
        raise CannotStand("This standing instruction is withdrawn already.")
    return practice, practice.standing[index]


def _with(practice: Practice, index: int, instruction: StandingInstruction) -> Practice:
    standing = (*practice.standing[:index], instruction, *practice.standing[index + 1 :])
    return practice.model_copy(update={"standing": standing})
