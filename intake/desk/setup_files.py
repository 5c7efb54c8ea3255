"""A setup from another place taken into the draft, and an edition kept as a file."""

from dataclasses import dataclass
from pathlib import Path

from intake.domain.lab import Lab
from intake.setup.reading import setup_of, setup_text
from intake.setup.writing import write_whole


@dataclass(frozen=True)
class OpenedSetup:
    """A setup file of another place, and what is to be told of it."""

    text: str
    said: str


def open_setup(path: Path, lab: Lab) -> OpenedSetup:
    """Reads a setup file so that it can be looked at, changed and put in force.

    Args:
        path: The file.
        lab: The setup in force.

    Raises:
        SetupWrong: it is none, or one of another version of Intake, or wrong; with every reason and its line.
    """
    text = setup_text(path)
    read = setup_of(text, path)
    whose = "" if read.name == lab.name else f" It is the setup of “{read.name}”: its name and address are others."
    return OpenedSetup(text, f"{path.name} is in the draft and not in force yet.{whose}")


def keep_setup(path: Path, text: str) -> str:
    """Writes a setup to a file; what is told of it. Raises NotWritten."""
    write_whole(path, text)
    return f"The setup is kept as {path}."
