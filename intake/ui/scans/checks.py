"""Checks the scans that came, behind the window: one after the other, in a process of its own."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from intake.errors import IntakeError
from intake.ui.room import Room
from intake.ui.scans import asked

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.inbox.mesh.worker import Worker

TROUBLE = "scans"
HALTED = "Checking scans was stopped. What was not checked stays so until you go on."
BOOKED_BEFORE = "Scans were checked after their case was booked."
AGAIN_MS = 20_000
"""After this long it is tried again, where a check could not be kept."""


class Checks(QObject):
    """Checks scans while any waits for it, and measures arches anew when it is asked to.

    One thing is done at a time: the process answers one question after the other.

    Args:
        room: What every place shares.
        parent: The owner.
        again_ms: After how long to try again what failed.
    """

    checked = Signal(object)
    """The arrivals of which something was checked or measured now: a tuple of ids."""
    issued = Signal(str, object)
    """Why, and what became of the tickets of cases that were booked before their scans were checked."""
    left = Signal(int)
    """How many scans are still to be checked, before each check; 0 as soon as none is checked any more."""

    def __init__(self, room: Room, parent: QObject, again_ms: int = AGAIN_MS) -> None:
        super().__init__(parent)
        self._room = room
        self._desk: Desk | None = None
        self._stopped = self._running = self._halted = False
        self._to_measure: list[int] = []
        self._worker: Worker | None = None
        self._again = QTimer(self, singleShot=True, interval=again_ms)
        self._again.timeout.connect(self.look)
        room.keys.action("stop-checks").triggered.connect(self.halt)
        room.keys.action("check-again").triggered.connect(self.go_on)
        self._allow()

    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self._desk = desk
        self.look()

    def stop(self) -> None:
        """Checks no more: the window closes. What was not checked is, the next time."""
        self._stopped, self._desk = True, None
        self._again.stop()

    @Slot()
    def halt(self) -> None:
        """Stops what is being checked, and checks nothing until a person goes on; what was not checked stays so."""
        self._halted = self._running
        self._allow()

    @Slot()
    def go_on(self) -> None:
        """Checks again, after it was stopped."""
        self._halted = False
        self._room.news.settle(TROUBLE)
        self._allow()
        self.look()

    def close(self) -> None:
        """Ends the process, once no job needs it any more."""
        if self._worker is not None:
            self._worker.close()

    def measure(self, arrival_id: int) -> None:
        """Measures how the arches of an arrival stand, in its turn, where that is not known as they are now."""
        if arrival_id not in self._to_measure:
            self._to_measure.append(arrival_id)
        self.look()

    @Slot()
    def look(self) -> None:
        """Does what waits to be done, if that is not under way."""
        if self._desk is None or self._running or self._halted:
            return
        self._running = True
        self._allow()
        self._again.stop()
        wanted = self._to_measure.pop(0) if self._to_measure else None
        work = partial(self._next, self._desk, wanted)
        self._room.jobs.run(work, self._on_done, partial(self._on_failed, wanted), lane="beside")

    def _next(self, desk: "Desk", wanted: int | None) -> asked.Found | None:
        """On a thread of the jobs: what was found; None where nothing is left to do."""
        if self._worker is None:
            self._worker = asked.worker()
            self._worker.stopped = lambda: self._stopped or self._halted
        if wanted is not None:
            return asked.measure(desk, self._worker, wanted)
        self.left.emit(asked.left_to_check(desk))
        return asked.check_next(desk, self._worker)

    def _on_done(self, found: asked.Found | None) -> None:
        self._running = False
        self._room.news.settle(TROUBLE)
        if found is not None and found.arrival_ids:
            self.checked.emit(found.arrival_ids)
        if found is not None and found.issued and not self._stopped:
            self.issued.emit(BOOKED_BEFORE, found.issued)
        if found is None and not self._to_measure:
            self._halted = False  # there is nothing left to stop
            self._rest()
        elif self._halted:
            self._rest(HALTED)
        else:
            self.look()

    def _on_failed(self, wanted: int | None, problem: Exception) -> None:
        self._running = False
        if not isinstance(problem, IntakeError):
            raise problem
        if wanted is not None:
            self._to_measure.insert(0, wanted)
        if self._stopped:
            return
        if self._halted:
            self._rest(HALTED)
        else:
            self._rest(f"No scan is checked just now. {problem}")
            self._again.start()

    def _rest(self, why: str = "") -> None:
        """Nothing is checked any more; why not, where something is left."""
        self.left.emit(0)
        self._allow()
        if why:
            self._room.news.trouble(why, TROUBLE, self._room.keys.action("check-again") if self._halted else None)

    def _allow(self) -> None:
        """What can be asked for as things stand: to stop, or to go on."""
        self._room.keys.action("stop-checks").setEnabled(self._running and not self._halted)
        self._room.keys.action("check-again").setEnabled(self._halted and not self._running)
