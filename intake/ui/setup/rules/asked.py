"""What the rule book asks of the desk, on the threads of the job runner."""

from collections.abc import Callable, Collection
from typing import TYPE_CHECKING

from intake.domain.practice_index import PracticeIndex

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.try_rules import Explained, Tried, TriedCase
    from intake.domain.lab import Lab


def names(desk: "Desk", codes: Collection[str]) -> dict[str, str]:
    """The names of the practices that rules speak of, by the codes as they are written there."""
    rows = {code: desk.store.read.practice(code) for code in codes}
    return {code: row.practice.name for code, row in rows.items() if row is not None}


def directory(desk: "Desk") -> PracticeIndex:
    """The directory, ready to be looked through."""
    return PracticeIndex(desk.practices())


def try_setup(
    desk: "Desk", lab: "Lab", months: int, progress: Callable[[int, int], None], stop: Callable[[], bool]
) -> "Tried":
    """Holds a changed setup against the one in force, over the cases of the last months."""
    from intake.desk.try_rules import try_setup

    return try_setup(desk, lab, months, progress, stop)


def explain(desk: "Desk", tried: "Tried", case: "TriedCase") -> "Explained":
    """What would be otherwise of one case, with the questions and the reasons."""
    from intake.desk.try_rules import explain

    return explain(desk, tried, case)
