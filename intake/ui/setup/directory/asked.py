"""What the directory asks of the desk, on the threads of the job runner."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from intake.domain.practice import Practice
from intake.domain.practice_index import PracticeIndex
from intake.ui.undisturbed import undisturbed

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.directory_import import Preview, TakenIn
    from intake.desk.issue import Issued
    from intake.desk.merging_practices import Merge, Merged
    from intake.domain.bank_holidays import Country
    from intake.store.rows import PracticeRow
    from intake.ui.progress_row import Watched


@dataclass(frozen=True)
class Offered:
    """What can be chosen in the entry of a practice."""

    countries: "tuple[Country, ...]"

    def zones(self, country: str) -> tuple[str, ...]:
        """The time zones of a country."""
        from intake.setup.time_zones import zones_of

        return zones_of(country)


def offered(desk: "Desk") -> Offered:
    """What can be chosen. Takes half a second the first time: every country's calendar is read."""
    from intake.domain.bank_holidays import countries

    return Offered(countries())


def directory(desk: "Desk") -> PracticeIndex:
    """The directory, ready to be looked through."""
    with undisturbed():
        return PracticeIndex(desk.practices())


def practice(desk: "Desk", code: str) -> Practice | None:
    """One practice as it is now."""
    row = desk.store.read.practice(code)
    return row.practice if row else None


def change(desk: "Desk", code: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> Practice:
    """Changes some fields of a practice."""
    from intake.desk.practice_entry import change_entry

    return change_entry(desk, code, before, after)


def enter(desk: "Desk", new: Practice) -> "PracticeRow":
    """Enters a new practice."""
    from intake.desk.practice_entry import enter_practice

    return enter_practice(desk, new)


def take_out(desk: "Desk", entered: "PracticeRow") -> None:
    """Takes a practice out again that has just been entered."""
    from intake.desk.practice_entry import take_out

    take_out(desk, entered)


def stickers(desk: "Desk", code: str, sheets: int) -> "tuple[Issued, ...]":
    """Prints sheets of a practice's stickers."""
    from intake.desk.code_sheets import print_stickers

    return (print_stickers(desk, code, sheets),)


def most_sheets() -> int:
    """So many sheets of stickers may be asked for at once."""
    from intake.desk.code_sheets import MOST_SHEETS

    return MOST_SHEETS


def blank(desk: "Desk", code: str) -> "tuple[Issued, ...]":
    """Prints the blank prescription of a practice."""
    from intake.desk.blanks import send_blank

    return (send_blank(desk, code),)


def preview(desk: "Desk", path: Path, watched: "Watched") -> "Preview":
    """What a spreadsheet would change in the directory."""
    from intake.desk.directory_import import preview

    with undisturbed():
        return preview(desk, path, watched.progress, watched.stopped)


def take_in(desk: "Desk", shown: "Preview", watched: "Watched") -> "TakenIn":
    """Takes in what was previewed, all of it or nothing."""
    from intake.desk.directory_import import take_in

    with undisturbed():
        return take_in(desk, shown, watched.progress, watched.stopped)


def take_back(desk: "Desk", taken: "TakenIn") -> None:
    """Takes an import back."""
    from intake.desk.directory_import import take_back

    with undisturbed():
        take_back(desk, taken)


def write_faulty(shown: "Preview", path: Path) -> None:
    """Writes the rows that were not read to a file, each with the reason."""
    from intake.desk.directory_import import export_faulty

    export_faulty(shown, path)


def write_directory(desk: "Desk", path: Path) -> int:
    """Writes the directory to a spreadsheet; how many practices."""
    from intake.desk.directory_export import export

    with undisturbed():
        return export(desk, path)


def what_merges(desk: "Desk", from_code: str, into_code: str) -> "Merge":
    """What would move from one practice to the other."""
    from intake.desk.merging_practices import what_merges

    return what_merges(desk, from_code, into_code)


def merge(desk: "Desk", what: "Merge") -> "Merged":
    """Merges two practices."""
    from intake.desk.merging_practices import merge

    return merge(desk, what)


def issue(desk: "Desk", tickets: tuple[int, ...]) -> "tuple[Issued, ...]":
    """Prints the tickets that a merge has set free."""
    from intake.desk.issue import issue_all

    return issue_all(desk, tickets)


def unmerge(desk: "Desk", merged: "Merged") -> None:
    """Takes a merge back."""
    from intake.desk.merging_practices import unmerge

    unmerge(desk, merged)
