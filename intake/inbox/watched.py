"""A watched folder: a file is taken when it has stopped growing, and moved aside once it is dealt with.

The folder is looked at again and again: what tells of changes sees nothing on a network drive.
"""

import os
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from intake.errors import IntakeError

SUFFIXES = (".pdf", ".eml", ".json", ".png", ".jpg", ".jpeg")
TAKEN, NOT_TAKEN = "taken in", "not taken in"
"""The folders inside it to which files are moved."""
About = tuple[int, int]
"""Bytes, and the time of the last change in nanoseconds."""


class NotMoved(IntakeError):
    """A file of the watched folder cannot be moved aside."""


@dataclass
class Watched:
    """One folder."""

    folder: Path
    _seen: dict[str, About] = field(default_factory=dict)
    _given: dict[str, About] = field(default_factory=dict)

    def poll(self) -> tuple[Path, ...]:
        """The files that stood still since the last look, by name; none where the folder cannot be read now.

        A file is given once, and again only when it has changed.
        """
        now = self._files()
        still = sorted(name for name, about in now.items() if about[0] and self._seen.get(name) == about)
        new = [name for name in still if self._given.get(name) != now[name]]
        self._seen = now
        self._given = {name: about for name, about in now.items() if name in new or self._given.get(name) == about}
        return tuple(self.folder / name for name in new)

    def _files(self) -> dict[str, About]:
        """Size and time of each file that is of a kind to be taken in; links are left alone."""
        found: dict[str, About] = {}
        with suppress(OSError), os.scandir(self.folder) as entries:
            for entry in entries:
                with suppress(OSError):  # gone meanwhile, or not to be looked at: the others are
                    if entry.is_file(follow_symlinks=False) and Path(entry.name).suffix.lower() in SUFFIXES:
                        about = entry.stat(follow_symlinks=False)
                        found[entry.name] = (about.st_size, about.st_mtime_ns)
        return found

    def taken(self, path: Path) -> Path:
        """Moves a file aside that was taken in; gives its new place. Raises NotMoved."""
        return self._move(path, TAKEN)

    def not_taken(self, path: Path) -> Path:
        """Moves a file aside that could not be taken in; gives its new place. Raises NotMoved."""
        return self._move(path, NOT_TAKEN)

    def _move(self, path: Path, to: str) -> Path:
        target = self.folder / to
        try:
            target.mkdir(exist_ok=True)
            free, number = target / path.name, 2
            while free.exists():
                free, number = target / f"{path.stem} ({number}){path.suffix}", number + 1
            return path.rename(free)
        except OSError as error:
            why = error.strerror or str(error)
            raise NotMoved(f"{path.name} cannot be moved to the folder “{to}” of {self.folder}: {why}.") from None
