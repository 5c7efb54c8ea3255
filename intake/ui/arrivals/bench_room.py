"""Lets the verdict at the form count the load of the benches, read now and then behind the window."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Slot

from intake.domain.bench_room import BenchRoom
from intake.domain.lab import Lab
from intake.errors import IntakeError
from intake.ui.arrivals import asked
from intake.ui.arrivals.writing import Writing
from intake.ui.latest import Latest
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk

EVERY_MS = 600_000
"""So often the load is read again; never by a key stroke."""


class RoomOnBenches(QObject):
    """Hands the form the days on which the benches are full, where the lab's promise counts them.

    Args:
        room: What every place shares.
        lab: The lab setup.
        writing: The form.
        parent: The owner.
    """

    def __init__(self, room: Room, lab: Lab, writing: Writing, parent: QObject) -> None:
        super().__init__(parent)
        self._room, self._counts, self._writing = room, lab.load.promise, writing
        self._desk: Desk | None = None
        self._reads = Latest(room.jobs)
        self._timer = QTimer(self)
        self._timer.setInterval(EVERY_MS)
        self._timer.timeout.connect(self._read)

    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        counted, first = self._counts, self._desk is None
        self._desk, self._counts = desk, desk.lab.load.promise
        if not self._counts:
            self._timer.stop()
            self._writing.set_room(None)
        elif first or not counted:
            self._timer.start()
            self._read()

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._timer.stop()
        self._reads.forget()

    @Slot()
    def _read(self) -> None:
        if self._desk is not None:
            self._reads.ask(partial(asked.room_on_benches, self._desk), self._on_read, self._failed)

    def _on_read(self, benches: BenchRoom | None) -> None:
        self._writing.set_room(benches)

    def _failed(self, problem: Exception) -> None:
        """Without it the dates are counted as if the benches were idle, which is how a lab begins."""
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(f"The load of the benches is not counted in the dates. {problem}")
