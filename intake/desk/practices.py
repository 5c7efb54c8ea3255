"""The entry of one practice: what of it cannot stand, and how it is kept."""

from collections.abc import Iterable, Mapping

from intake.desk.desk import Desk
from intake.desk.recounting import recount
from intake.domain.form_fields import FormWrong
from intake.domain.form_practice import read_code
from intake.domain.practice import Practice
from intake.domain.practice_checks import faults
from intake.domain.reading import find_practice
from intake.store.rows import PracticeRow

_WAY = ("open_weekdays", "service", "transit_days", "country", "subdivision")
"""What of an entry the dates of its jobs hang on."""


def problems(practice: Practice, desk: Desk) -> Mapping[str, str]:
    """What of an entry cannot stand: each field with a sentence that says what would be right.

    The code of one that the directory has is taken as it is.
    """
    found = faults(practice, desk.lab)
    row = desk.store.read.practice(practice.code)
    if row is None and (why := _code(practice, desk)):
        found["code"] = why
    if row is None or practice.former != row.practice.former:
        found |= _former(practice, desk)
    return found


def save_practice(desk: Desk, practice: Practice, version: int | None = None) -> PracticeRow:
    """Keeps an entry; a new one without a version. Nothing is written where nothing changes.

    Where the way to the practice changes, the dates of its open jobs are counted anew.

    Raises:
        NotNow: a new practice's code is another's.
        ChangedMeanwhile: it was changed since the version that was read.
    """
    before = desk.store.read.practice(practice.code)
    with desk.work() as work:
        version = work.practices.save(practice, version)
        work.commit()
    if before is not None:
        count_dates_anew(desk, [(before.practice, practice)])
    return PracticeRow(practice, version)


def count_dates_anew(desk: Desk, changed: Iterable[tuple[Practice, Practice]]) -> None:
    """Counts the dates of open jobs anew, of those practices to which the way is another one than it was.

    Args:
        desk: Where it is done.
        changed: Practices as they were and as they are.
    """
    codes = [now.code for was, now in changed if any(getattr(was, each) != getattr(now, each) for each in _WAY)]
    if codes:
        recount(desk, practice=codes[0] if len(codes) == 1 else None)


def _code(practice: Practice, desk: Desk) -> str:
    """What is wrong with a new practice's code; empty where it can stand."""
    try:
        read_code(practice.code)
    except FormWrong as problem:
        return str(problem)
    other = find_practice(practice.code, desk.practices())
    if other is None:
        return ""
    had = "is" if other.code.casefold() == practice.code.casefold() else "was"
    return f"{practice.code} {had} {other.name}’s code. Choose another."


def _former(practice: Practice, desk: Desk) -> dict[str, str]:
    """What is wrong with the codes that a practice had before."""
    for former in practice.former:
        other = find_practice(former, desk.practices())
        if other is not None and other.code != practice.code:
            return {"former": f"{former} is a code of {other.name} ({other.code})."}
    return {}
