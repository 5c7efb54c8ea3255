"""Which setup is in force when a desk is opened: the store's newest edition, or what a hand has made of the file."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from intake.desk.desk import Notice
from intake.desk.work_under_way import not_possible
from intake.domain.lab import Lab
from intake.domain.written_dates import shown_day
from intake.setup.reading import SetupWrong, read_setup, setup_of, setup_text
from intake.setup.writing import NotWritten, write_whole
from intake.store.editions import digest_of
from intake.store.opening import Store
from intake.store.setup_rows import EditionRow
from intake.store.words import EditionSource


@dataclass(frozen=True)
class Settled:
    """The setup in force when a desk is opened, its edition where the store keeps it, and what is to be told of it."""

    lab: Lab
    edition: int | None
    notices: tuple[Notice, ...] = ()


@dataclass(frozen=True)
class SetupOpening:
    """Settles which setup is in force.

    Attributes:
        store: The store.
        file: Where the setup lies as a file.
        shipped: The setup that comes with Intake, which holds as long as there is neither file nor edition.
        who: Whom the history names.
        clock: The wall clock of a lab.
    """

    store: Store
    file: Path
    shipped: Path
    who: str
    clock: Callable[[Lab], datetime]

    def settle(self) -> Settled:
        """The setup in force.

        The first file that is found is the first edition. One that somebody changed by hand is a new edition where it
        can be used; else the last edition stays in force, which is told with the reason. One that is missing, or that
        of an older edition, is written anew.

        Raises:
            SetupWrong: neither the file nor the newest edition can be used.
        """
        newest = self.store.read.newest_edition()
        if newest is None:
            return self._first()
        try:
            text = setup_text(self.file) if self.file.exists() else ""
        except SetupWrong as problem:
            return self._stays(newest, str(problem))
        known = self.store.read.edition_of(digest_of(text))
        if known is not None and known.sha256 == newest.sha256:
            return Settled(self._lab_of(newest), newest.edition)
        if known is not None or not text.strip():
            return self._written_anew(newest, known)
        return self._changed_by_hand(newest, text)

    def _first(self) -> Settled:
        if not self.file.exists():
            return Settled(read_setup(self.shipped), None)
        text = setup_text(self.file)
        lab = setup_of(text, self.file)
        return Settled(lab, self._add(text, lab, "first"))

    def _changed_by_hand(self, newest: EditionRow, text: str) -> Settled:
        try:
            lab = setup_of(text, self.file)
        except SetupWrong as problem:
            return self._stays(newest, str(problem))
        try:
            in_force = self._lab_of(newest)
        except SetupWrong:
            in_force = lab  # that of another version of Intake: what was changed by hand is what can be used
        if lab.name != in_force.name and self.store.read.has_cases():
            return self._stays(
                newest,
                f"It is the setup of “{lab.name}”, and the cases here are those of “{in_force.name}”. Where the "
                "laboratory has got another name, change it in Lab setup.",
            )
        if problems := not_possible(self.store, in_force, lab):
            return self._stays(newest, " ".join(problems))
        edition = self._add(text, lab, "file")
        said = f"{self.file.name} was changed by hand; it is in force as edition {edition} of the lab setup."
        return Settled(lab, edition, (Notice(said),))

    def _stays(self, newest: EditionRow, why: str) -> Settled:
        said = (
            f"{self.file.name} was changed by hand and is not in force. {why} The setup in force is edition "
            f"{newest.edition}, of {shown_day(newest.at.date())}; the file stays as it is until another edition is put "
            "in force."
        )
        return Settled(self._lab_of(newest), newest.edition, (Notice(said, trouble=True),))

    def _written_anew(self, newest: EditionRow, was: EditionRow | None) -> Settled:
        text = self.store.read.edition_text(newest.edition)
        assert text is not None, "an edition has a text"
        lab = self._lab_of(newest)
        what = f"that of edition {was.edition}" if was is not None else "missing"
        said = (
            f"{self.file.name} was {what}; it is written anew as edition {newest.edition}, which is in force. Lab "
            "setup puts an older edition back."
        )
        try:
            write_whole(self.file, text)
        except NotWritten as problem:
            return Settled(lab, newest.edition, (Notice(str(problem), trouble=True),))
        return Settled(lab, newest.edition, (Notice(said),))

    def _lab_of(self, edition: EditionRow) -> Lab:
        text = self.store.read.edition_text(edition.edition)
        assert text is not None, "an edition has a text"
        return setup_of(text, Path(f"Edition {edition.edition} of the lab setup"))

    def _add(self, text: str, lab: Lab, source: EditionSource) -> int:
        with self.store.work(self.who, self.clock(lab)) as work:
            newest = self.store.read.newest_edition()
            if newest is not None and newest.sha256 == digest_of(text):  # another desk opened it at the same moment
                return newest.edition
            edition = work.editions.add(text, source)
            work.commit()
        return edition
