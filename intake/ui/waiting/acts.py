"""What the actions of Waiting do with the practice on the card: dial, note a try, write, make an answer standing."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QUrl, Signal, Slot
from PySide6.QtGui import QDesktopServices, QGuiApplication

from intake.ui.room import Room
from intake.ui.waiting.call_view import CallView
from intake.ui.waiting.calling import Calling
from intake.ui.waiting.deeds import Deeds

if TYPE_CHECKING:
    from intake.desk.ring_list import RingLine
    from intake.domain.ringing import Outcome

UNREACHED: "tuple[Outcome, ...]" = ("no-answer", "engaged", "message-left", "wrong-number")


class Acts(QObject):
    """Does what the actions ask for.

    Args:
        room: What every place shares.
        card: The card.
        calling: The call.
        deeds: What the desk is asked to do.
        line_of: Gives the line of a practice in the ring list.
    """

    over = Signal()
    """The practice was not reached: on to the next."""
    to_card = Signal()
    """The card is wanted, where list and card take turns."""

    def __init__(
        self,
        room: Room,
        card: CallView,
        calling: Calling,
        deeds: Deeds,
        line_of: "Callable[[str], RingLine | None]",
    ) -> None:
        super().__init__(card)
        self._room, self._card, self._calling, self._deeds, self._line_of = room, card, calling, deeds, line_of
        action = room.keys.action
        for outcome in UNREACHED:
            action(outcome).triggered.connect(partial(self._on_try, outcome))
        for name, act in (
            ("ring-back", self._on_ring_back),
            ("copy-number", self._on_copy),
            ("dial", self._on_dial),
            ("write-now", partial(self._on_write, "print")),
            ("mail-now", partial(self._on_write, "mail")),
            ("send-forms", self._on_forms),
            ("make-standing", self._on_standing),
            ("all-disinfected", self._on_disinfected),
        ):
            action(name).triggered.connect(act)

    def _on_try(self, outcome: "Outcome") -> None:
        if key := self._chosen("note a try"):
            self._deeds.note_try(key, outcome)
            self.over.emit()

    @Slot()
    def _on_ring_back(self) -> None:
        if self._chosen("note when to ring back"):
            self.to_card.emit()
            self._calling.ask_ring_back()

    @Slot()
    def _on_copy(self) -> None:
        if (line := self._line("copy its number")) is None:
            return
        if line.telephone:
            QGuiApplication.clipboard().setText(line.telephone)
        self._room.news.tell(f"{line.telephone} is copied." if line.telephone else "No number is on file to copy.")

    @Slot()
    def _on_dial(self) -> None:
        if (line := self._line("dial its number")) is None:
            return
        if not line.dial:
            self._room.news.tell("There is no number on file that could be dialled.")
        elif QDesktopServices.openUrl(QUrl(line.dial)):
            self._room.news.tell(f"Dialling {line.telephone} …")
        else:
            self._room.news.tell(f"No program on this computer dials. The number is {line.telephone}.")

    def _on_write(self, way: str) -> None:
        if key := self._chosen("write to it"):
            self._room.news.tell("Writing …")
            self._deeds.write(key, way)

    @Slot()
    def _on_forms(self) -> None:
        if key := self._chosen("send it forms"):
            self._deeds.send_forms(key, "print")

    @Slot()
    def _on_standing(self) -> None:
        if self._chosen("make an answer standing"):
            self._calling.make_standing()

    @Slot()
    def _on_disinfected(self) -> None:
        if not (key := self._chosen("keep that all is disinfected")):
            return
        if self._calling.call.speaker.name:
            self._deeds.always_disinfected(key, self._calling.call.speaker)
        else:
            self._card.speaker.want()

    def _line(self, wanted: str) -> "RingLine | None":
        key = self._chosen(wanted)
        return self._line_of(key) if key else None

    def _chosen(self, wanted: str) -> str:
        """The practice on the card; says why not where there is none."""
        if not self._calling.key:
            self._room.news.tell(f"Choose a practice first, to {wanted}.")
        return self._calling.key
