"""Practices that come into the directory: with a case that names a new one, and from the file beside the setup."""

from dataclasses import replace
from pathlib import Path

from intake.desk.desk import Desk, Notice
from intake.domain.practice import Practice
from intake.domain.practice_search import codes_taken, same_practice
from intake.domain.reading import find_practice
from intake.errors import IntakeError
from intake.setup.reading import read_practices
from intake.store.work import Work


class CodeTaken(IntakeError):
    """A new practice's code was given to another one meanwhile."""


def enter(desk: Desk, work: Work, practice: Practice) -> bool:
    """Puts a new practice in the directory, in the same unit of work as its case; whether it was not there yet.

    Raises CodeTaken where another desk gave the code to another practice meanwhile.
    """
    known = find_practice(practice.code, desk.practices())
    if known is None:
        work.practices.save(practice)
        return True
    if not same_practice(known, practice):
        raise CodeTaken(f"The code {practice.code} is {known.name}’s now; choose another for {practice.name}.")
    return False


def remember(desk: Desk, work: Work, code: str, prescriber: str) -> bool:
    """Adds a prescriber to those on file at a practice, in the unit of work of a case; whether it was new there."""
    row = desk.store.read.practice(code)
    if row is None or prescriber in row.practice.prescribers:
        return False
    signs = (*row.practice.prescribers, prescriber)
    work.practices.save(row.practice.model_copy(update={"prescribers": signs}), row.version)
    return True


def take_up(desk: Desk, file: Path) -> Desk:
    """Adds the practices of a directory file whose codes the directory lacks; what it has stays as it is.

    A file that cannot be used stops nothing: it stands in the notices of the desk that is given back.
    """
    if not file.exists():
        return desk
    try:
        added = _add_missing(desk, read_practices(file))
    except IntakeError as problem:
        notice = Notice(f"{problem} No practice was taken from it.", trouble=True)
        return replace(desk, notices=(*desk.notices, notice))
    if not added:
        return desk
    words = "1 practice" if added == 1 else f"{added} practices"
    return replace(desk, notices=(*desk.notices, Notice(f"{words} of {file.name} came into the directory.")))


def _add_missing(desk: Desk, practices: tuple[Practice, ...]) -> int:
    if not _missing(desk, practices):
        return 0
    with desk.work() as work:
        missing = _missing(desk, practices)  # another desk may have been quicker
        for practice in missing:
            work.practices.save(practice)
        work.commit()
    return len(missing)


def _missing(desk: Desk, practices: tuple[Practice, ...]) -> list[Practice]:
    known = codes_taken(desk.practices())  # also of what was merged: it does not come back
    return [practice for practice in practices if practice.code.casefold() not in known]
