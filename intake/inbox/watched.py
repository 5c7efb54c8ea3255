"""A watched folder: a file is taken when it has stopped growing, and moved aside once it is dealt with.

The folder is looked at again and again: what tells of changes sees nothing on a network drive.
"""

import os
from dataclasses import dataclass, field
from pathlib import Path

from intake.errors import IntakeError
from intake.inbox.sorting import MESHES

SUFFIXES = (*MESHES, ".zip", ".pdf", ".eml", ".json", ".png", ".jpg", ".jpeg")
TAKEN, NOT_TAKEN = "taken in", "not taken in"
ASIDE = (TAKEN, NOT_TAKEN)
"""The folders inside it to which files are moved."""
MOST_IN_A_FOLDER = 2_000
"""So many files of a folder are looked at; nothing larger is a case."""
About = tuple[int, int]
"""Bytes, and the time of the last change in nanoseconds."""


class NotMoved(IntakeError):
    """A file of the watched folder cannot be moved aside."""


@dataclass
class Watched:
    """One folder."""

    folder: Path
    problem: str = ""
    """Why it could not be looked at the last time, in a sentence."""
    _seen: dict[str, About] = field(default_factory=dict)
    _given: dict[str, About] = field(default_factory=dict)

    def poll(self) -> tuple[Path, ...]:
        """The files that stood still since the last look; none where the folder cannot be read now.

        Scans come first, so that what lies beside them finds them taken in. A folder in it is given as a whole, once
        all of it stands still. Each is given once, and again only when it has changed.
        """
        now = self._files()
        still = sorted((name for name, about in now.items() if about[0] and self._seen.get(name) == about), key=_order)
        new = [name for name in still if self._given.get(name) != now[name]]
        self._seen = now
        self._given = {name: about for name, about in now.items() if name in new or self._given.get(name) == about}
        return tuple(self.folder / name for name in new)

    def _files(self) -> dict[str, About]:
        """Size and time of each file that is of a kind to be taken in, and of each folder; links are left alone."""
        found: dict[str, About] = {}
        self.problem = ""
        try:
            with os.scandir(self.folder) as entries:
                for entry in entries:
                    about = _about(entry)
                    if about is not None:
                        found[entry.name] = about
        except OSError as error:
            self.problem = f"The folder {self.folder} cannot be looked at: {error.strerror or type(error).__name__}."
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
            stem, suffix = (path.name, "") if path.is_dir() else (path.stem, path.suffix)
            free, number = target / path.name, 2
            while free.exists():
                free, number = target / f"{stem} ({number}){suffix}", number + 1
            return path.rename(free)
        except OSError as error:
            why = error.strerror or str(error)
            raise NotMoved(f"{path.name} cannot be moved to the folder “{to}” of {self.folder}: {why}.") from None


def _order(name: str) -> tuple[bool, str]:
    return not name.lower().endswith(MESHES), name


def _about(entry: "os.DirEntry[str]") -> About | None:
    """What a file or a folder is told by; None for what is left alone, is gone, or cannot be looked at."""
    try:
        if entry.is_dir(follow_symlinks=False):
            aside = entry.name in ASIDE or entry.name.startswith(".")
            return None if aside else _about_folder(Path(entry.path))
        if entry.is_file(follow_symlinks=False) and entry.name.lower().endswith(SUFFIXES):
            about = entry.stat(follow_symlinks=False)
            return about.st_size, about.st_mtime_ns
    except OSError:
        pass
    return None


def _about_folder(folder: Path) -> About | None:
    """The bytes of all files in a folder, and when the newest was changed; None where nothing in it is to be taken."""
    size = newest = count = 0
    wanted = False
    for place, _, names in os.walk(folder):
        for name in names:
            about = os.stat(os.path.join(place, name), follow_symlinks=False)
            size, newest, count = size + about.st_size, max(newest, about.st_mtime_ns), count + 1
            wanted = wanted or name.lower().endswith(SUFFIXES)
        if count > MOST_IN_A_FOLDER:
            break
    return (size, newest) if wanted else None
