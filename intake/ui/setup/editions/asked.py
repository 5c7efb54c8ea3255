"""What the page Editions asks of the desk, on the threads of the job runner."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.setup_files import OpenedSetup
    from intake.setup.comparing import Difference
    from intake.store.setup_rows import EditionRow


@dataclass(frozen=True)
class Side:
    """One of two setups that are compared: an edition, or a text such as the draft's."""

    edition: int | None = None
    text: str | None = None


def editions(desk: "Desk") -> "tuple[EditionRow, ...]":
    """Every edition, newest first."""
    from intake.desk.lab_setup import editions

    return editions(desk)


def compare(desk: "Desk", before: Side, after: Side) -> "tuple[Difference, ...]":
    """What differs between two setups."""
    from intake.desk.lab_setup import read_draft
    from intake.desk.setup_changes import lab_of
    from intake.setup.comparing import differences

    was, now = (
        lab_of(desk, side.edition) if side.edition is not None else read_draft(desk, side.text or "")
        for side in (before, after)
    )
    return differences(was, now)


def edition_text(desk: "Desk", edition: int) -> str:
    """The whole file of an edition that this version of Intake can use."""
    from intake.desk.lab_setup import edition_text
    from intake.desk.setup_changes import lab_of

    lab_of(desk, edition)
    return edition_text(desk, edition)


def open_setup(desk: "Desk", path: Path) -> "OpenedSetup":
    """A setup file of another place."""
    from intake.desk.setup_files import open_setup

    return open_setup(path, desk.lab)


def keep_setup(desk: "Desk", path: Path, edition: int | None, text: str) -> str:
    """Keeps an edition, or the draft's text, as a file."""
    from intake.desk.lab_setup import edition_text
    from intake.desk.setup_files import keep_setup

    return keep_setup(path, text if edition is None else edition_text(desk, edition))
