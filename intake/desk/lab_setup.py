"""The lab setup at the desk: what is in force, put something else in force, and the editions there were."""

from dataclasses import dataclass
from pathlib import Path

from intake.desk.desk import Desk
from intake.desk.people import only_leads
from intake.desk.work_under_way import not_possible
from intake.domain.lab import Lab
from intake.errors import IntakeError
from intake.setup.first_run import default_setup
from intake.setup.places import DataFolder
from intake.setup.reading import setup_of, setup_text
from intake.setup.writing import write_whole
from intake.store.editions import digest_of
from intake.store.setup_rows import EditionRow


class MeanwhileInForce(IntakeError):
    """Somebody else put another setup in force while this one was being changed."""


class NotPossibleNow(IntakeError):
    """A setup would leave work without a box, a bench or a kind; the message says what and how much."""


@dataclass(frozen=True)
class SetupFile:
    """The setup as a file, and which edition it is."""

    text: str
    edition: int | None


@dataclass(frozen=True)
class InForce:
    """A setup that has just been put in force.

    Attributes:
        desk: The desk with the new setup.
        edition: Its edition.
        text: The whole file.
    """

    desk: Desk
    edition: int
    text: str


def setup_file(desk: Desk) -> SetupFile:
    """The setup that is in force; the shipped one as long as there is neither an edition nor a file."""
    newest = desk.store.read.newest_edition()
    if newest is None:
        place = _place(desk)
        return SetupFile(setup_text(place if place.exists() else default_setup()), None)
    return SetupFile(edition_text(desk, newest.edition), newest.edition)


def read_draft(desk: Desk, text: str) -> Lab:
    """A setup that is being changed, as a value. Raises SetupWrong with every reason at once."""
    return setup_of(text, _place(desk))


def put_in_force(desk: Desk, text: str, note: str, of: int | None) -> InForce:
    """Puts a changed setup in force: an edition in the store, and the file beside it.

    One that is the same as an older edition is that edition put back.

    Args:
        desk: Where it is done.
        text: The whole file.
        note: Why it was changed.
        of: The newest edition that who changes it knows of, as `setup_file` gave it.

    Raises:
        SetupWrong: it cannot be used.
        NotPossibleNow: work is under way that it has no place for.
        MeanwhileInForce: another edition is in force by now.
        NotWritten: the file cannot be written; nothing is in force.
    """
    only_leads(desk, "setup")
    return add_edition(desk, text, note, of)


def add_edition(desk: Desk, text: str, note: str, of: int | None) -> InForce:
    """Puts a setup in force as `put_in_force` does, whoever is at the desk."""
    lab = read_draft(desk, text)
    with desk.work() as work:
        newest = desk.store.read.newest_edition()
        if newest is not None and newest.edition != of:
            raise MeanwhileInForce(
                f"{newest.who} put another setup in force meanwhile, edition {newest.edition}. Look at what differs, "
                "then put yours in force again."
            )
        if newest is not None and newest.sha256 == digest_of(text):
            return InForce(desk.with_setup(lab, newest.edition), newest.edition, text)
        if problems := not_possible(desk.store, desk.lab, lab):
            raise NotPossibleNow(" ".join(problems))
        before = desk.store.read.edition_of(digest_of(text))
        edition = work.editions.add(
            text, "put-back" if before else "window", note.strip(), of=before.edition if before else None
        )
        write_whole(_place(desk), text)
        work.commit()
    return InForce(desk.with_setup(lab, edition), edition, text)


def newer(desk: Desk) -> InForce | None:
    """The setup that another desk has put in force since, read and written beside the data; None where there is none.

    Raises:
        SetupWrong: this version of Intake cannot use it.
        NotWritten: the file cannot be written.
    """
    newest = desk.store.read.newest_edition()
    if newest is None or newest.edition == desk.edition:
        return None
    text = edition_text(desk, newest.edition)
    lab = read_draft(desk, text)
    write_whole(_place(desk), text)
    return InForce(desk.with_setup(lab, newest.edition), newest.edition, text)


def editions(desk: Desk) -> tuple[EditionRow, ...]:
    """Every edition of the setup, newest first."""
    return desk.store.read.editions()


def edition_text(desk: Desk, edition: int) -> str:
    """The whole file of an edition."""
    text = desk.store.read.edition_text(edition)
    assert text is not None, "an edition is never taken away, and has a text"
    return text


def _place(desk: Desk) -> Path:
    assert desk.folder is not None, "this desk was opened without a folder"
    return DataFolder(desk.folder).setup
