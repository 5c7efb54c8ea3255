"""A watched folder: a file is taken when it has stopped growing, and moved aside once it is dealt with.

The folder is looked at again and again: what tells of changes sees nothing on a network drive.
"""

import os
from dataclasses import dataclass, field
from pathlib import Path

SUFFIXES = (".pdf", ".eml", ".json", ".png", ".jpg", ".jpeg")
TAKEN, NOT_TAKEN = "taken in", "not taken in"
"""The folders inside it to which files are moved."""


@dataclass
class Watched:
    """One folder."""

    folder: Path
    _seen: dict[str, tuple[int, float]] = field(default_factory=dict)

    def poll(self) -> tuple[Path, ...]:
        """The files that stood still since the last look, by name; none where the folder cannot be read now."""
        now: dict[str, tuple[int, float]] = {}
        try:
            with os.scandir(self.folder) as entries:
                for entry in entries:
                    if entry.is_file(follow_symlinks=False) and Path(entry.name).suffix.lower() in SUFFIXES:
                        about = entry.stat()
                        now[entry.name] = (about.st_size, about.st_mtime)
        except OSError:
            return ()
        still = sorted(name for name, about in now.items() if about[0] and self._seen.get(name) == about)
        self._seen = now
        return tuple(self.folder / name for name in still)

    def taken(self, path: Path) -> Path:
        """Moves a file aside that was taken in; gives its new place."""
        return self._move(path, TAKEN)

    def not_taken(self, path: Path) -> Path:
        """Moves a file aside that could not be taken in; gives its new place."""
        return self._move(path, NOT_TAKEN)

    def _move(self, path: Path, to: str) -> Path:
        target = self.folder / to
        target.mkdir(exist_ok=True)
        free, number = target / path.name, 2
        while free.exists():
            free, number = target / f"{path.stem} ({number}){path.suffix}", number + 1
        return path.rename(free)
