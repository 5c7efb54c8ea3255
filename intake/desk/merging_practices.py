"""Makes one practice of two entries of it, with everything that belongs to both, and two of them again."""

from collections.abc import Iterator
from dataclasses import dataclass

from intake.desk.desk import Desk
from intake.desk.field_words import field_words
from intake.desk.people import only_leads
from intake.desk.recounting import recount
from intake.desk.standing import judge_again
from intake.desk.told_practices import moved_words
from intake.domain.merging_practices import left_behind, one_practice, taken_over
from intake.domain.practice import Practice
from intake.domain.reading import find_practice
from intake.domain.wording import capital, counted, listed
from intake.errors import IntakeError
from intake.store.practice_rows import Belongings
from intake.store.rows import PracticeRow


class CannotMergePractices(IntakeError):
    """Two entries that cannot be made one."""


@dataclass(frozen=True)
class Merge:
    """What comes of merging a practice into another, before it is done."""

    goes: PracticeRow
    stays: PracticeRow
    practice: Practice
    """The one that stays, as it shall be."""
    said: str
    """What moves, what is taken over and what is left, in sentences."""


@dataclass(frozen=True)
class Merged:
    """Two practices that were merged, so that they can be parted."""

    goes: PracticeRow
    """The one that is part of the other now, as it was."""
    stays: PracticeRow
    """The other, as it is."""
    before: Practice
    """The other, as it was."""
    moved: Belongings
    said: str
    tickets: tuple[int, ...] = ()
    """Those that wait to be printed, since a standing instruction of the one settles what the other was asked."""


def what_merges(desk: Desk, from_code: str, into_code: str) -> Merge:
    """What would move from one practice to the other; nothing is written.

    Args:
        desk: Whose directory it is.
        from_code: The practice that becomes part of the other.
        into_code: The practice that stays.

    Raises CannotMergePractices where they are one, or the directory does not have them.
    """
    goes, stays = _row(desk, from_code), _row(desk, into_code)
    if goes.practice.code == stays.practice.code:
        raise CannotMergePractices("This is the same practice. Choose the other one.")
    practice = one_practice(stays.practice, goes.practice)
    moved = desk.store.read.belongings(goes.practice.code)
    return Merge(goes, stays, practice, " ".join(_told(goes.practice, stays.practice, practice, moved)))


def merge(desk: Desk, what: Merge) -> Merged:
    """Merges as it was shown: nothing is lost, and the code of the one is a former code of the other from then on.

    What is asked of the practice is judged anew, and the dates of its open jobs are counted anew.

    Raises:
        NotForYou: only a lead may.
        NotNow: one of them was changed since it was looked at.
    """
    only_leads(desk, "merge")
    with desk.work() as work:
        moved, version = work.practices.merge(what.goes, what.stays, what.practice)
        work.commit()
    tickets = _follow(desk, what.practice.code)
    gone, into = what.goes.practice, what.practice
    with_it = moved_words(moved.counts)
    said = (
        f"{gone.name} ({gone.code}) is part of {into.name} ({into.code}) now{f', with {with_it}' if with_it else ''}."
    )
    return Merged(what.goes, PracticeRow(into, version), what.stays.practice, moved, said, tickets)


def unmerge(desk: Desk, merged: Merged) -> None:
    """Takes a merge back: both entries are as they were, and what moved is back with its own.

    Raises:
        NotForYou: only a lead may.
        NotNow: the practice that stayed was changed since, or the code was given to another one.
    """
    only_leads(desk, "merge")
    with desk.work() as work:
        work.practices.part(merged.goes, merged.stays, merged.before, merged.moved)
        work.commit()
    for code in (merged.goes.practice.code, merged.before.code):
        _follow(desk, code)


def _row(desk: Desk, code: str) -> PracticeRow:
    known = find_practice(code, desk.practices())
    row = desk.store.read.practice(known.code) if known is not None else None
    if row is None:
        raise CannotMergePractices(f"The directory has no practice “{code}”.")
    return row


def _follow(desk: Desk, code: str) -> tuple[int, ...]:
    """Brings in line what hangs on a practice's entry; the tickets that wait to be printed."""
    tickets = judge_again(desk, code)
    recount(desk, practice=code)
    return tickets


def _told(goes: Practice, stays: Practice, practice: Practice, moved: Belongings) -> Iterator[str]:
    what = moved_words(moved.counts)
    yield (
        f"{capital(what)} of {goes.code} will be {stays.name}’s ({stays.code})."
        if what
        else (f"Nothing has come from {goes.code} yet; only its entry goes.")
    )
    if taken := _taken(goes, stays, practice):
        yield f"{stays.code} takes over {listed(taken)}."
    if left := left_behind(stays, goes):
        yield f"{capital(listed(_named(left)))} of {stays.code} {'stays' if len(left) == 1 else 'stay'} as it has them."
    yield f"{goes.code} will be found as a former code of it."


def _taken(goes: Practice, stays: Practice, practice: Practice) -> list[str]:
    taken = [f"its {word}" for word in _named(taken_over(stays, goes))]
    if more := len(practice.prescribers) - len(stays.prescribers):
        taken.append(counted(more, "prescriber"))
    if more := len(practice.standing) - len(stays.standing):
        taken.append(counted(more, "standing instruction"))
    return taken + (["its notes"] if practice.notes != stays.notes else [])


def _named(fields: tuple[str, ...]) -> list[str]:
    return [field_words(field) for field in fields]
