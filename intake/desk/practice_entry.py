"""One field of a practice's entry after the other, as the directory's form has them."""

from collections.abc import Mapping
from typing import Any

from intake.desk.desk import Desk
from intake.desk.practices import problems, save_practice
from intake.domain.practice import Practice
from intake.domain.practice_entry import changed
from intake.errors import IntakeError
from intake.store.rows import PracticeRow


class EntryRefused(IntakeError):
    """A field cannot be kept as it is; the message says what would be right.

    Attributes:
        place: The field.
    """

    def __init__(self, place: str, why: str) -> None:
        super().__init__(why)
        self.place = place


def change_entry(desk: Desk, code: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> Practice:
    """Changes some fields of a practice and gives it as it is now; the others stay as whoever wrote them last.

    Args:
        desk: Where it is done.
        code: The practice.
        before: What the fields said when they were shown.
        after: What they shall say.

    Raises:
        EntryRefused: a value cannot stand, or the field was changed by somebody else since it was shown.
    """
    row = desk.store.read.practice(code)
    if row is None:
        raise EntryRefused("code", f"The directory has no practice {code} any more: it was merged into another.")
    for place, value in before.items():
        if getattr(row.practice, place) != value:
            raise EntryRefused(place, "Somebody changed this field meanwhile; Esc shows what it says now.")
    practice = changed(row.practice, after)
    for place, why in problems(practice, desk).items():
        if place in after:
            raise EntryRefused(place, why)
    return save_practice(desk, practice, row.version).practice


def enter_practice(desk: Desk, practice: Practice) -> PracticeRow:
    """Enters a new practice. Raises EntryRefused."""
    for place, why in problems(practice, desk).items():
        raise EntryRefused(place, why)
    return save_practice(desk, practice, None)


def take_out(desk: Desk, entered: PracticeRow) -> None:
    """Takes a practice out again that has just been entered by hand.

    Raises EntryRefused where it was changed since, or something has come from it.
    """
    code, name = entered.practice.code, entered.practice.name
    with desk.work() as work:
        if desk.store.read.practice(code) != entered:
            raise EntryRefused("code", f"{name} was changed since it was entered, and stays.")
        if work.practices.used([code]):
            raise EntryRefused("code", f"Something has come from {name} since it was entered, so it stays.")
        work.practices.take_out((entered,))
        work.commit()
