"""Watches for a setup that another desk puts in force, so that every desk works by the same one."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from intake.errors import IntakeError
from intake.ui.latest import Latest
from intake.ui.room import Room
from intake.ui.setup import asked

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.lab_setup import InForce

EVERY_MS = 30_000
TROUBLE = "setup"


class SetupWatch(QObject):
    """Looks now and then.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    in_force = Signal(object)
    """The desk with the setup that another desk put in force."""

    def __init__(self, room: Room, parent: QObject) -> None:
        super().__init__(parent)
        self._room = room
        self._desk: Desk | None = None
        self._looks = Latest(room.jobs)
        self._timer = QTimer(self)
        self._timer.setInterval(EVERY_MS)
        self._timer.timeout.connect(self.look)

    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open; a setup that is not kept in the store is not watched."""
        self._desk = desk
        if desk.edition is not None:
            self._timer.start()

    def stop(self) -> None:
        """Looks no more: the window closes."""
        self._timer.stop()
        self._looks.forget()
        self._desk = None

    @Slot()
    def look(self) -> None:
        """Looks whether another edition is in force."""
        if self._desk is not None:
            self._looks.ask(partial(asked.newer, self._desk), self._on_looked, self._on_failed)

    def _on_looked(self, newer: "InForce | None") -> None:
        self._room.news.settle(TROUBLE)
        if newer is not None and self._desk is not None and newer.edition != self._desk.edition:
            self._room.news.tell(f"Another desk put edition {newer.edition} of the lab setup in force.")
            self.in_force.emit(newer.desk)

    def _on_failed(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.trouble(
            f"Another desk put a setup in force that this one cannot use: the one before counts here. {problem}",
            TROUBLE,
        )
