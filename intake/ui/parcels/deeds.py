"""What can be done with a parcel that was kept: each is saved at once, said, and can be taken back."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from intake.domain.lab import Lab
from intake.domain.parcels import CONTENT_WORDS, HARMLESS
from intake.errors import IntakeError
from intake.ui.parcels import asked
from intake.ui.parcels.disinfect_dialog import DisinfectDialog
from intake.ui.parcels.draft import Picture, Thing
from intake.ui.reason_dialog import ReasonDialog
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.hygiene import Disinfected
    from intake.desk.issue import Issued
    from intake.desk.parcels import ContentLine, ParcelCard, Photograph

REFUSALS = (
    "not disinfected and visibly soiled",
    "too damaged to work with",
    "not for this laboratory",
    "nobody can tell whose it is",
)
WHYS = (
    "belongs to a case that is booked already",
    "sent by mistake, goes back to the practice",
    "waste, nothing to make of it",
    "paper only, filed with the practice",
)
GOINGS_ON = ("made safe, nothing sharp is left in it", "taken out by the person responsible for safety")


class Deeds(QObject):
    """Does what is asked for with a parcel.

    Args:
        room: What every place shares.
        lab: The lab setup.
        place: The place over which dialogs open.
    """

    changed = Signal(int)
    """The parcel of which something has changed."""
    issued = Signal(object)

    def __init__(self, room: Room, lab: Lab, place: QWidget) -> None:
        super().__init__(place)
        self._room, self._lab, self._over = room, lab, place
        self.desk: Desk | None = None

    def set_lab(self, lab: Lab) -> None:
        """Takes another setup."""
        self._lab = lab

    def run(self, work: Callable[["Desk"], Any], done: Callable[[Any], None], beside: bool = False) -> None:
        """Runs work with the desk; what it refuses is said."""
        if self.desk is None:
            self._room.news.tell("The data are still being opened; do it again in a moment.")
            return
        self._room.jobs.run(partial(work, self.desk), done, self.trouble, lane="beside" if beside else "store")

    def trouble(self, problem: Exception) -> None:
        """Says what the desk refuses; what nobody foresaw goes on to the last resort."""
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    def accept(self, card: "ParcelCard", by: str) -> None:
        """Takes a parcel on in spite of what was seen, or takes that back."""
        if not any(each not in HARMLESS for each in card.seen):
            self._room.news.tell("Nothing was seen that somebody would have to accept.")
            return
        work = partial(asked.accept, parcel_id=card.parcel_id, by="" if card.accepted_by else by)
        said = (
            "No longer accepted: somebody has to decide." if card.accepted_by else f"Accepted in spite of it by {by}."
        )
        self.run(work, partial(self._on_accepted, card, said), beside=True)

    def _on_accepted(self, card: "ParcelCard", said: str, issued: "tuple[Issued, ...]") -> None:
        self.issued.emit(issued)
        back = partial(self._accept_back, card)
        self._room.news.offer_undo(said, back, "who accepted it")
        self.changed.emit(card.parcel_id)

    def _accept_back(self, card: "ParcelCard") -> None:
        work = partial(asked.accept, parcel_id=card.parcel_id, by=card.accepted_by)
        self.run(work, partial(self._on_accept_back, card.parcel_id), beside=True)

    def _on_accept_back(self, parcel_id: int, issued: "tuple[Issued, ...]") -> None:
        self.issued.emit(issued)
        self._on_back(parcel_id, None)

    def say_why(self, card: "ParcelCard", line: "ContentLine | None") -> None:
        """Asks why a thing has no case, and keeps that."""
        if line is None or line.settled:
            self._room.news.tell("Choose something that is open: only that needs a reason why it has no case.")
            return
        told = f"{line.words}: it then waits for no case any more. The reason stands in the history."
        self._ask("Why it has no case", told, WHYS, "&Keep it  Enter", partial(self._settle, card, line))

    def _settle(self, card: "ParcelCard", line: "ContentLine", reason: str) -> None:
        work = partial(asked.settle, content_id=line.content_id, reason=reason)
        back = partial(asked.open_again, content_id=line.content_id)
        self._undoable(card, work, f"{line.words} has no case: {reason}.", back, "reason why it has no case")

    def add(self, card: "ParcelCard", thing: Thing) -> None:
        """Puts one more thing to what lay in it."""
        self.run(partial(asked.add_thing, parcel_id=card.parcel_id, thing=thing), partial(self._on_added, card, thing))

    def _on_added(self, card: "ParcelCard", thing: Thing, content_id: int) -> None:
        said = f"In it too: {CONTENT_WORDS[thing.kind].lower()}."
        if thing.kind == "danger":  # what can hurt is written down, not taken back by a key
            self._room.news.tell(said)
        else:
            self._offer(card, said, partial(asked.take_out, content_id=content_id), "what lies in it")
        self.changed.emit(card.parcel_id)

    def take_out(self, card: "ParcelCard", line: "ContentLine | None") -> None:
        """Takes a wrong entry out."""
        if line is None:
            self._room.news.tell("There is nothing to take out.")
            return
        work = partial(asked.take_out, content_id=line.content_id)
        back = partial(asked.put_back, content_id=line.content_id)
        self._undoable(card, work, f"Taken out: {line.words.lower()}.", back, "what was taken out")

    def ask_refusal(self, shown: str, given: Callable[[str], None]) -> None:
        """Asks why a parcel is refused."""
        told = f"{shown} goes back as it came, with a note of return, which is printed now. Nothing of it is booked in."
        self._ask("Refuse and return", told, REFUSALS, "&Refuse it  Enter", given)

    def refuse_now(self, parcel_id: int, reason: str) -> None:
        """Refuses a parcel; its note of return is printed."""
        # Paper is made beside the store's thread: a printer that does not answer keeps nobody waiting.
        work = partial(asked.refuse, parcel_id=parcel_id, reason=reason)
        self.run(work, partial(self._on_refused, parcel_id, reason), beside=True)

    def _on_refused(self, parcel_id: int, reason: str, issued: "tuple[Issued, ...]") -> None:
        self.issued.emit(issued)
        back = partial(self._take_back, parcel_id, partial(asked.take_refusal_back, parcel_id=parcel_id))
        problem = next((each.problem for each in issued if each.problem), None)
        said = f"Refused: {reason}. " + (
            f"Its note of return waits: {problem}" if problem else "Its note of return is printed."
        )
        self._room.news.offer_undo(said, back, "refusal")
        self.changed.emit(parcel_id)

    def disinfect(self, card: "ParcelCard") -> None:
        """Asks for a disinfection done here; a second one warns first."""
        self.run(partial(asked.second_warning, parcel_id=card.parcel_id), partial(self._on_warned, card))

    def _on_warned(self, card: "ParcelCard", warning: str) -> None:
        who = self.desk.person if self.desk is not None else ""
        dialog = DisinfectDialog(self._lab.parcels.agents, who, warning, self._room.look, self._over)
        dialog.given.connect(partial(self._disinfect, card))
        dialog.open()

    def _disinfect(self, card: "ParcelCard", agent: str, minutes: int, who: str) -> None:
        work = partial(asked.disinfect, parcel_id=card.parcel_id, agent=agent, minutes=minutes, who=who)
        self.run(work, partial(self._on_disinfected, card))

    def _on_disinfected(self, card: "ParcelCard", done: "Disinfected") -> None:
        said = " ".join(filter(None, (done.says, done.warning)))
        back = partial(asked.take_disinfection_back, disinfection_id=done.disinfection_id)
        self._offer(card, said, back, "disinfection")
        self.changed.emit(card.parcel_id)

    def go_on(self, card: "ParcelCard") -> None:
        """Asks on what grounds it goes on with a parcel that was stopped."""
        if card.state != "stopped":
            self._room.news.tell("This parcel is not stopped.")
            return
        told = "What can hurt has no case; the reason stands in the history. Whoever is responsible for safety decides."
        self._ask("Go on with it", told, GOINGS_ON, "&Go on  Enter", partial(self._go_on, card))

    def _go_on(self, card: "ParcelCard", reason: str) -> None:
        work = partial(asked.go_on, parcel_id=card.parcel_id, reason=reason)
        self.run(work, partial(self._on_done, card, f"It goes on: {reason}."))

    def add_pictures(self, card: "ParcelCard", pictures: tuple[Picture, ...]) -> None:
        """Keeps photographs with a parcel."""
        work = partial(asked.keep_pictures, parcel_id=card.parcel_id, pictures=pictures)
        self.run(work, partial(self._on_pictures, card, len(pictures)))

    def _on_pictures(self, card: "ParcelCard", count: int, troubles: tuple[str, ...]) -> None:
        kept = count - len(troubles)
        words = f"{kept} photograph{'' if kept == 1 else 's'} kept with the parcel." if kept else ""
        self._on_done(card, " ".join(filter(None, (words, *troubles))))

    def take_picture_out(self, card: "ParcelCard", picture: "Photograph") -> None:
        """Takes a photograph out."""
        work = partial(asked.take_picture_out, file_id=picture.file_id)
        back = partial(asked.put_picture_back, file_id=picture.file_id)
        self._undoable(card, work, f"Taken out: {picture.name}.", back, "photograph")

    def _on_done(self, card: "ParcelCard", said: str, _: object = None) -> None:
        self._room.news.tell(said)
        self.changed.emit(card.parcel_id)

    def _undoable(
        self, card: "ParcelCard", work: Callable[["Desk"], Any], said: str, back: Callable[["Desk"], Any], what: str
    ) -> None:
        self.run(work, partial(self._on_undoable, card, said, back, what))

    def _on_undoable(self, card: "ParcelCard", said: str, back: Callable[["Desk"], Any], what: str, _: object) -> None:
        self._offer(card, said, back, what)
        self.changed.emit(card.parcel_id)

    def _offer(self, card: "ParcelCard", said: str, back: Callable[["Desk"], Any], what: str) -> None:
        self._room.news.offer_undo(said, partial(self._take_back, card.parcel_id, back), what)

    def _take_back(self, parcel_id: int, back: Callable[["Desk"], Any]) -> None:
        self.run(back, partial(self._on_back, parcel_id))

    def _on_back(self, parcel_id: int, _: object) -> None:
        self._room.news.tell("Taken back: it is as it was.")
        self.changed.emit(parcel_id)

    def _ask(self, title: str, told: str, usual: tuple[str, ...], go: str, given: Callable[[str], None]) -> None:
        dialog = ReasonDialog(title, told, usual, go, self._room.look, self._over)
        dialog.given.connect(given)
        dialog.open()
