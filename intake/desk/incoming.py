"""What lies in the watched folders: taken in one file or folder at a time, and moved aside."""

from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from intake.desk.desk import Desk
from intake.desk.receive import Received, receive
from intake.errors import IntakeError
from intake.inbox.scan_files import NoRoom
from intake.inbox.watched import NotMoved, Watched
from intake.store.complaints import StoreRefused


class NoFolder(IntakeError):
    """The watched folder cannot be made."""


@dataclass(frozen=True)
class FromFolder:
    """One file of a watched folder, and what became of it; nothing where none lies there."""

    received: tuple[Received, ...] = ()
    problem: str = ""
    """Why it could not be moved aside."""
    more: bool = False
    """Whether another file can be taken at once."""
    away: str = ""
    """Which of the folders cannot be looked at just now, and why, in sentences."""


@dataclass
class Incoming:
    """The watched folders of a desk: its own, and those that the lab setup names."""

    own: Watched
    _others: dict[Path, Watched] = field(default_factory=dict)
    _due: list[tuple[Watched, Path]] = field(default_factory=list)

    def take_next(self, desk: Desk) -> FromFolder:
        """Takes the next file in and moves it aside; looks into the folders again when all they had are dealt with.

        Raises StoreRefused and NoRoom where nothing can be kept at present; the file is the next one then, too.
        """
        away = ""
        if not self._due:
            folders = self._folders(desk)
            self._due = [(folder, path) for folder in folders for path in folder.poll()]
            away = " ".join(folder.problem for folder in folders if folder.problem)
        if not self._due:
            return FromFolder(away=away)
        folder, path = self._due[0]
        if not path.exists():  # taken away again by whoever put it there, or taken in by another desk
            self._due.pop(0)
            return FromFolder(more=bool(self._due), away=away)
        received = self._receive(desk, folder, path)
        self._due.pop(0)
        problem = _aside(folder, path, any(each.taken for each in received))
        return FromFolder(received, problem, bool(self._due), away)

    def _folders(self, desk: Desk) -> list[Watched]:
        """The watched folders as the setup has them now; what is no whole path lies in the data folder."""
        data = desk.folder or self.own.folder.parent
        named = dict.fromkeys((data / name).resolve() for name in desk.lab.scans.folders)
        self._others = {place: self._others.get(place) or Watched(place) for place in named}
        return [self.own, *self._others.values()]

    def _receive(self, desk: Desk, folder: Watched, path: Path) -> tuple[Received, ...]:
        try:
            return receive(desk, (path,))
        except (StoreRefused, NoRoom):
            raise
        except Exception:  # a file that nobody foresaw is told once, and not met again with every look
            self._due.pop(0)
            with suppress(NotMoved):
                folder.not_taken(path)
            raise


def watch(folder: Path) -> Incoming:
    """The watched folder, which is made where there is none, and those that the setup names. Raises NoFolder."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        why = error.strerror or str(error)
        raise NoFolder(f"The folder {folder}, from which files are taken in, cannot be made: {why}.") from None
    return Incoming(Watched(folder))


def _aside(folder: Watched, path: Path, taken: bool) -> str:
    """Moves a file aside; why it could not be."""
    try:
        folder.taken(path) if taken else folder.not_taken(path)
    except NotMoved as problem:
        return str(problem) if path.exists() else ""  # moved by another desk, which watches the same folder
    return ""
