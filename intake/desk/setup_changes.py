"""What a changed setup would change, before it is put in force: what differs, and what speaks against it."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from intake.desk.desk import Desk
from intake.desk.lab_setup import setup_file
from intake.desk.work_under_way import not_possible
from intake.domain.lab import Lab
from intake.domain.written_dates import shown_moment
from intake.setup.comparing import Difference, differences
from intake.setup.reading import SetupWrong, setup_of
from intake.store.setup_rows import EditionRow


@dataclass(frozen=True)
class Weighed:
    """A changed setup, beside the one in force.

    Attributes:
        newest: The edition in force; None before the first.
        differences: What would be other than it is now.
        cautions: What is to be heeded, in sentences.
        problems: Why it cannot be put in force now, in sentences.
    """

    newest: EditionRow | None
    differences: tuple[Difference, ...]
    cautions: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()


def weigh(desk: Desk, text: str, begun_with: int | None) -> Weighed:
    """Holds a changed setup against the newest edition.

    Args:
        desk: The desk.
        text: The whole changed file.
        begun_with: The edition that was changed.

    Raises:
        SetupWrong: it cannot be used.
    """
    lab = setup_of(text, Path("setup.toml"))
    newest = desk.store.read.newest_edition()
    in_force = setup_of(setup_file(desk).text, Path("setup.toml"))
    return Weighed(
        newest,
        differences(in_force, lab),
        tuple(_cautions(newest, in_force, lab, begun_with)),
        not_possible(desk.store, in_force, lab),
    )


def compare(desk: Desk, before: int, after: int) -> tuple[Difference, ...]:
    """What differs between two editions. Raises SetupWrong where this version of Intake cannot read one of them."""
    return differences(lab_of(desk, before), lab_of(desk, after))


def lab_of(desk: Desk, edition: int) -> Lab:
    """An edition as a value. Raises SetupWrong where this version of Intake cannot read it."""
    text = desk.store.read.edition_text(edition)
    if text is None:
        raise SetupWrong(f"There is no edition {edition} of the setup.")
    return setup_of(text, Path(f"Edition {edition}"))


def _cautions(newest: EditionRow | None, in_force: Lab, lab: Lab, begun_with: int | None) -> Iterator[str]:
    if newest is not None and begun_with is not None and newest.edition != begun_with:
        yield (
            f"{newest.who} put edition {newest.edition} in force on {shown_moment(newest.at)}, while this was being "
            "changed. What it changed and yours does not have is taken back: see below."
        )
    if lab.name != in_force.name:
        yield f"Everything printed will be by “{lab.name}”, and no more by “{in_force.name}”."
