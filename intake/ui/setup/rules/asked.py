"""What the rule book asks of the desk, on the threads of the job runner."""

from collections.abc import Collection
from typing import TYPE_CHECKING

from intake.domain.practice_index import PracticeIndex

if TYPE_CHECKING:
    from intake.desk.desk import Desk


def names(desk: "Desk", codes: Collection[str]) -> dict[str, str]:
    """The names of the practices that rules speak of, by the codes as they are written there."""
    rows = {code: desk.store.read.practice(code) for code in codes}
    return {code: row.practice.name for code, row in rows.items() if row is not None}


def directory(desk: "Desk") -> PracticeIndex:
    """The directory, ready to be looked through."""
    return PracticeIndex(desk.practices())
