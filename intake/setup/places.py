"""Where a lab's files lie: one folder for its setup, its data and its logs."""

import os
from dataclasses import dataclass
from pathlib import Path

from platformdirs import user_data_path


@dataclass(frozen=True)
class DataFolder:
    """The folder of one lab on this computer."""

    path: Path

    @property
    def setup(self) -> Path:
        """The lab setup."""
        return self.path / "setup.toml"

    @property
    def practices(self) -> Path:
        """The directory file: practices that are added when the desk is opened."""
        return self.path / "practices.toml"

    @property
    def store(self) -> Path:
        """The database, where it is a file."""
        return self.path / "intake.db"

    @property
    def settings(self) -> Path:
        """What this desk's window remembers."""
        return self.path / "window.ini"

    @property
    def drafts(self) -> Path:
        """E-mails that a person sends from a mail program."""
        return self.path / "drafts"

    @property
    def incoming(self) -> Path:
        """What is put here is taken in: returned forms, mails, prescriptions."""
        return self.path / "incoming"

    @property
    def scans(self) -> Path:
        """The files of deliveries, each under the digest of its content."""
        return self.path / "scans"

    @property
    def logs(self) -> Path:
        """The logs; they hold no patient's name."""
        return self.path / "logs"


def data_folder(named: str | None = None) -> DataFolder:
    """The folder that was named, else the one of the environment's INTAKE_DATA, else the user's own."""
    place = named or os.environ.get("INTAKE_DATA")
    return DataFolder(Path(place) if place else user_data_path("Intake", appauthor=False))
