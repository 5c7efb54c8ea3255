"""What the live pour list asks of the desk, on the threads of the job runner."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.issue import Issued
    from intake.desk.pour_list import Poured, ToPour


@dataclass(frozen=True)
class PourShown:
    """The pour list as the window shows it."""

    lines: "tuple[ToPour, ...]"
    counted: str
    unopened: str
    """What of the post still waits to be opened; empty where nothing does."""
    caution: str


def pour_list(desk: "Desk") -> PourShown:
    """What to pour now, in order."""
    from intake.desk.pour_list import how_many_to_pour, unopened
    from intake.desk.pour_list import pour_list as listed
    from intake.desk.pour_list_words import unopened_words
    from intake.domain.wording import counted

    lines, now = listed(desk), desk.now()
    more = how_many_to_pour(desk) - len(lines)
    told = f"{counted(len(lines), 'case')} to pour at {now:%H:%M}, what keeps least first"
    told += f"; {more} more behind them" if len(lines) and more > 0 else ""
    return PourShown(lines, told, unopened_words(unopened(desk)), desk.lab.cautions.pouring)


def mark_poured(desk: "Desk", case_id: int) -> "Poured":
    """Keeps that the impressions of a case are poured."""
    from intake.desk.pour_list import mark_poured as mark

    return mark(desk, case_id)


def take_back(desk: "Desk", poured: "Poured") -> None:
    """Puts a case on the list again."""
    from intake.desk.pour_list import take_poured_back

    take_poured_back(desk, poured)


def print_list(desk: "Desk") -> "tuple[Issued, ...]":
    """The pour list, handed to the printer."""
    from intake.desk.issue import issue
    from intake.desk.pour_list import print_pour_list

    return (issue(desk, print_pour_list(desk)),)
