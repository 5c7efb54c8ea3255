"""Keeps the half-typed form, so that a crash loses at most the field being typed."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Slot

from intake.domain.half_typed import HalfTyped
from intake.errors import IntakeError
from intake.ui.arrivals import asked
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk

AFTER_MS = 800
"""So long after the first key press since then, the form is kept."""
TROUBLE = "draft"


class Keeping(QObject):
    """Keeps the form a moment after it was typed in.

    Args:
        room: What every place shares.
        half: Gives the form as it stands; None when there is nothing to keep.
        spared: Whether what is kept is to be left as it is for now.
        parent: The owner.
    """

    def __init__(
        self, room: Room, half: Callable[[], HalfTyped | None], spared: Callable[[], bool], parent: QObject
    ) -> None:
        super().__init__(parent)
        self._room, self._half, self._spared = room, half, spared
        self.desk: Desk | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(AFTER_MS)
        self._timer.timeout.connect(self.keep_now)

    @Slot()
    def soon(self) -> None:
        """Keeps the form a moment from now; further key presses do not put it off."""
        if not self._timer.isActive():
            self._timer.start()

    @Slot()
    def keep_now(self) -> None:
        """Keeps the form."""
        self._timer.stop()
        if self.desk is not None and not self._spared():
            self._room.jobs.run(partial(asked.keep, self.desk, self._half()), self._on_kept, self._on_failed)

    def _on_kept(self, _: None) -> None:
        self._room.news.settle(TROUBLE)

    def _on_failed(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.trouble(f"What is typed cannot be kept for a restart: {problem}", TROUBLE)
