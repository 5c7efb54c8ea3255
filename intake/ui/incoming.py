"""The watched folder: looked at every few seconds; what lies there is taken in, one file at a time, and told."""

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from intake.errors import IntakeError
from intake.ui.received import received_words
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk import incoming as desk_incoming
    from intake.desk.desk import Desk
    from intake.desk.receive import Received

EVERY_MS = 3000
TROUBLE, NOT_MOVED, AWAY = "incoming", "incoming-not-moved", "incoming-away"


class Incoming(QObject):
    """Takes in what is put into a folder.

    Args:
        room: What every place shares.
        folder: The folder; it is made once the data are open.
        every_ms: How often it is looked at. A file is taken at the second look that finds it unchanged.
        parent: The owner.
    """

    received = Signal(object)
    """What became of the files that lay there, once none is left: a tuple of `Received`."""

    def __init__(self, room: Room, folder: Path, every_ms: int, parent: QObject) -> None:
        super().__init__(parent)
        self._room, self._path = room, folder
        self._desk: Desk | None = None
        self._folder: desk_incoming.Incoming | None = None
        self._looking = False
        self._taken: tuple[Received, ...] = ()
        self._timer = QTimer(self)
        self._timer.setInterval(every_ms)
        self._timer.timeout.connect(self.look)

    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        first, self._desk = self._desk is None, desk
        if first:
            self._timer.start()
            self.look()

    def stop(self) -> None:
        """Looks no more: the window closes. What still lies there is taken in the next time."""
        self._timer.stop()
        self._desk = None

    @Slot()
    def look(self) -> None:
        """Looks into the folder now, if it is not being looked at."""
        if not self._looking and self._desk is not None:
            self._looking = True
            self._next(self._desk)

    def _next(self, desk: "Desk") -> None:
        if self._folder is None:
            self._room.jobs.run(partial(_watch, self._path), self._on_folder, self._on_failed)
        else:
            self._room.jobs.run(partial(self._folder.take_next, desk), self._on_taken, self._on_failed)

    def _on_folder(self, folder: "desk_incoming.Incoming") -> None:
        self._folder, self._looking = folder, False
        self._room.news.settle(TROUBLE)
        self.look()

    def _on_taken(self, taken: "desk_incoming.FromFolder") -> None:
        self._room.news.settle(TROUBLE)
        if taken.away:
            self._room.news.trouble(taken.away, AWAY)
        else:
            self._room.news.settle(AWAY)
        if taken.problem:
            self._room.news.trouble(taken.problem, NOT_MOVED)
        elif taken.received:
            self._room.news.settle(NOT_MOVED)
        if taken.received:
            self._taken += taken.received
            self._room.news.tell(received_words(self._taken, self._room.keys.shown("go-waiting")))
        if taken.more and self._desk is not None:
            self._next(self._desk)
            return
        self._looking = False
        if self._taken and self._desk is not None:
            told, self._taken = self._taken, ()
            self.received.emit(told)

    def _on_failed(self, problem: Exception) -> None:
        self._looking = False
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.trouble(f"Nothing is taken in from the folder {self._path.name} just now. {problem}", TROUBLE)


def _watch(folder: Path) -> "desk_incoming.Incoming":
    # The desk brings the database with it, which is slow to import: that is left to the jobs.
    from intake.desk.incoming import watch

    return watch(folder)
