"""From what is left over of a day to the place where something can be done about it."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Slot

from intake.domain.job_number import JobNumber
from intake.ui.places import ARRIVALS, DAY, LOOK_UP, PARCELS, WAITING
from intake.ui.room import Room
from intake.ui.window import Window

if TYPE_CHECKING:
    from intake.desk.evening import Go


class GoThere(QObject):
    """Shows in another place what The day points to.

    Args:
        room: What every place shares.
        window: The window.
        places: The places by name.
    """

    def __init__(self, room: Room, window: Window, places: Mapping[str, Any]) -> None:
        super().__init__(window)
        self._room, self._window, self._places = room, window, places
        places[DAY].go.connect(self.go)

    @Slot(object)
    def go(self, go: "Go") -> None:
        """Goes to a place and shows there what is meant, where it is still there."""
        self._window.show_place(go.place)
        place = self._places[go.place]
        key = self._room.keys.shown("go-day")
        self._room.news.tell(f"{key} goes back to the day.")
        if go.place == LOOK_UP:
            place.show_scanned(JobNumber(go.about).shown)
        elif go.place == ARRIVALS:
            place.arriving.open(int(go.about))
        elif go.place == PARCELS:
            place.show_parcel(int(go.about))
        elif go.place == WAITING and go.letter is not None:
            place.show_letter(go.letter)
        elif go.place == WAITING and go.about:
            # The place reads its list again when it is shown; what is asked for after that comes back after it.
            self._room.jobs.run(_nothing, lambda _: self._show_practice(go.about))

    def _show_practice(self, key: str) -> None:
        if not self._places[WAITING].ring.show_practice(key):
            self._room.news.tell("Nothing is open for this practice any more.")


def _nothing() -> None:
    """Work that only keeps its place in the row."""
