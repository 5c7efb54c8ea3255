"""From a parcel to the forms of its cases in Arrivals, one after the other, and back for the next parcel."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Slot

from intake.ui.arrivals.place import Arrivals
from intake.ui.parcels import asked
from intake.ui.parcels.place import Parcels
from intake.ui.places import ARRIVALS, PARCELS
from intake.ui.room import Room
from intake.ui.window import Window

if TYPE_CHECKING:
    from intake.desk.book_in import Booked

MORE = "{left} more of this parcel to book in: {key}"
NO_MORE = "The parcel is done: {key} takes the next one"


class OnToCases(QObject):
    """Connects Parcels with Arrivals.

    Args:
        room: What every place shares.
        window: The window.
        parcels: Opens parcels.
        arrivals: Books in what lies in them.
    """

    def __init__(self, room: Room, window: Window, parcels: Parcels, arrivals: Arrivals) -> None:
        super().__init__(window)
        self._room, self._window, self._parcels, self._arrivals = room, window, parcels, arrivals
        self._arrival_id: int | None = None
        parcels.case_wanted.connect(self._open)
        parcels.came_back.connect(self._on_came_back)
        parcels.changed.connect(arrivals.arriving.read)
        arrivals.booked.connect(self._on_booked)
        arrivals.arriving.opened.connect(self._on_opened)
        room.keys.action("next-of-parcel").triggered.connect(self._on_next)

    @Slot(int)
    def _open(self, arrival_id: int) -> None:
        """Opens something of a parcel in the form of Arrivals."""
        self._arrival_id = arrival_id
        self._window.show_place(ARRIVALS)
        self._arrivals.arriving.open(arrival_id)

    @Slot(object)
    def _on_opened(self, half: object) -> None:
        self._arrival_id = getattr(half, "arrival_id", None) or self._arrival_id

    @Slot(object)
    def _on_booked(self, booked: "Booked") -> None:
        if booked.arrival_id is not None:
            self._arrival_id = booked.arrival_id
            self._ask(booked.arrival_id, self._tell)

    @Slot()
    def _on_next(self) -> None:
        if self._arrival_id is None:
            self._to_parcels()
        else:
            self._ask(self._arrival_id, self._go)

    def _ask(self, arrival_id: int, done: Callable[[tuple[int, ...] | None], None]) -> None:
        self._parcels.deeds.run(partial(asked.others_of_parcel, arrival_id=arrival_id), done)

    def _tell(self, others: tuple[int, ...] | None) -> None:
        """Says under the head of the form what of the parcel is left; nothing of what came in none."""
        key = self._room.keys.shown("next-of-parcel")
        if others is not None and self._arrivals.writing.is_empty:
            words = MORE.format(left=len(others), key=key) if others else NO_MORE.format(key=key)
            self._arrivals.columns.title.setText(words)

    def _go(self, others: tuple[int, ...] | None) -> None:
        if others:
            self._open(others[0])
        else:
            self._to_parcels()

    def _to_parcels(self) -> None:
        self._arrival_id = None
        self._window.show_place(PARCELS)
        self._parcels.begin()

    @Slot(object)
    def _on_came_back(self, arrival_ids: tuple[int, ...]) -> None:
        """A parcel was taken back: what of it was open in the form goes, unless somebody has written into it."""
        self._arrivals.let_go(arrival_ids)
        self._window.show_place(PARCELS)
