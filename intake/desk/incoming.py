"""What lies in the watched folder: taken in one file at a time, and moved aside."""

from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from intake.desk.desk import Desk
from intake.desk.receive import Received, receive
from intake.errors import IntakeError
from intake.inbox.watched import NotMoved, Watched
from intake.store.complaints import StoreRefused


class NoFolder(IntakeError):
    """The watched folder cannot be made."""


@dataclass(frozen=True)
class FromFolder:
    """One file of the watched folder, and what became of it; nothing where none lies there."""

    received: tuple[Received, ...] = ()
    problem: str = ""
    """Why it could not be moved aside."""
    more: bool = False
    """Whether another file can be taken at once."""


@dataclass
class Incoming:
    """The watched folder of a desk."""

    watched: Watched
    _due: list[Path] = field(default_factory=list)

    def take_next(self, desk: Desk) -> FromFolder:
        """Takes the next file in and moves it aside; looks into the folder again when all it had are dealt with.

        Raises StoreRefused where the store takes nothing at present; the file is the next one then, too.
        """
        if not self._due:
            self._due = list(self.watched.poll())
        if not self._due:
            return FromFolder()
        path = self._due[0]
        if not path.exists():  # taken away again by whoever put it there
            self._due.pop(0)
            return FromFolder(more=bool(self._due))
        received = self._receive(desk, path)
        self._due.pop(0)
        return FromFolder(received, self._aside(path, any(each.taken for each in received)), bool(self._due))

    def _receive(self, desk: Desk, path: Path) -> tuple[Received, ...]:
        try:
            return receive(desk, (path,))
        except StoreRefused:
            raise
        except Exception:  # a file that nobody foresaw is told once, and not met again with every look
            self._due.pop(0)
            with suppress(NotMoved):
                self.watched.not_taken(path)
            raise

    def _aside(self, path: Path, taken: bool) -> str:
        """Moves a file aside; why it could not be."""
        try:
            self.watched.taken(path) if taken else self.watched.not_taken(path)
        except NotMoved as problem:
            return str(problem)
        return ""


def watch(folder: Path) -> Incoming:
    """The watched folder, which is made where there is none. Raises NoFolder."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        why = error.strerror or str(error)
        raise NoFolder(f"The folder {folder}, from which files are taken in, cannot be made: {why}.") from None
    return Incoming(Watched(folder))
