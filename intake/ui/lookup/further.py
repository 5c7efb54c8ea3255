"""What else can become of the case on the card: sent back, split, merged, made again. Each is undone by one key."""

from collections.abc import Callable, Collection
from functools import partial
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from intake.domain.case import Patient
from intake.domain.job_number import JobNumber
from intake.domain.wording import listed
from intake.errors import IntakeError
from intake.ui.latest import Latest
from intake.ui.lookup import asked_deeds
from intake.ui.lookup.deed_dialog import Deed, DeedDialog, Ticks
from intake.ui.lookup.merge_dialog import MergeDialog
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.book_in import Booked
    from intake.desk.desk import Desk
    from intake.desk.likeness import Likely
    from intake.desk.look_up import Card
    from intake.desk.merge import MergedCases, MergeLook
    from intake.desk.remake import Remade
    from intake.desk.split import SplitOff

RETURNS = ("impression distorted", "prescription unreadable", "not for this laboratory", "asked for by the practice")
SPLITS = ("two prescriptions on one sheet", "two patients in one bag", "wanted on different days")
REMAKES = ("did not fit", "broke", "lost", "our fault", "other")
ONE_ALONE = "This case has one appliance alone; there is nothing to split off."
SIGNS = {"held": "HOLD", "clear": "CLEAR"}


class Further(QObject):
    """Asks for each deed, does it, and offers to take it back.

    Args:
        room: What every place shares.
        window: The place over which dialogs open.
        take_up: Takes a case of a card up again, in this version: undoes that it was sent back.
        issued: Tells of tickets that were handed to the printer.
        done: Tells that something about the job on the card has changed.
    """

    desk: "Desk"
    """Set before there can be a card."""

    def __init__(
        self,
        room: Room,
        window: QWidget,
        take_up: Callable[["Card", int], None],
        issued: Callable[[tuple], None],
        done: Callable[[], None],
    ) -> None:
        super().__init__(window)
        self._room, self._window, self._take_up = room, window, take_up
        self._issued, self._done = issued, done
        self._looks = Latest(room.jobs)

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._looks.forget()

    def send_back(self, card: "Card") -> None:
        """Asks what goes back to the practice, and why."""
        items = asked_deeds.items_to_send_back(card.case.case)
        rows = [words for _, words in items]
        told = f"The case of {of(card)} goes back to the practice, and is withdrawn. It can be taken up again."
        if not items:
            told += " Nothing of it can be put into a parcel."
        ticks = Ticks("What goes &back", rows, frozenset(range(len(rows))))
        self._ask(
            ("Send the case back", told, RETURNS, "&Send it back  Enter"),
            partial(self._send_back, card, [place for place, _ in items]),
            ticks=ticks if items else None,
        )

    def split_off(self, card: "Card") -> None:
        """Asks which appliances leave, for whom they are, and why."""
        if len(card.case.case.appliances) < 2:
            self._room.news.tell(ONE_ALONE)
            return
        work = partial(asked_deeds.appliances, self.desk, card.case.case)
        self._looks.ask(work, partial(self._on_to_split, card), self._trouble)

    def merge(self, card: "Card") -> None:
        """Asks which case is the same, and shows what comes of it."""
        work = partial(asked_deeds.likely, self.desk, card.case.case, card.case.case_id)
        self._looks.ask(work, partial(self._on_to_merge, card), self._trouble)

    def remake(self, card: "Card") -> None:
        """Asks what is made again, and why."""
        work = partial(asked_deeds.appliances, self.desk, card.case.case)
        self._looks.ask(work, partial(self._on_to_remake, card), self._trouble)

    def _send_back(self, card: "Card", places: list[int], deed: Deed) -> None:
        items = [places[row] for row in deed.ticked]
        work = partial(asked_deeds.send_back, self.desk, card.case.case_id, card.case.version, deed.reason, items)
        self._room.jobs.run(work, partial(self._on_sent_back, card), self._trouble)

    def _on_sent_back(self, card: "Card", version: int) -> None:
        undo = partial(self._take_up, card, version)
        self._room.news.offer_undo(f"The case of {of(card)} goes back to the practice.", undo, "what was sent back")
        self._done()

    def _on_to_split(self, card: "Card", appliances: tuple[str, ...]) -> None:
        told = (
            "What is ticked becomes a case of its own, with new numbers and tickets. What came is kept with both, bar "
            "what only one of them needs. It can be undone until one of the two is changed."
        )
        refusal = "Tick what leaves, and leave at least one line without a tick."
        self._ask(
            ("Split the case", told, SPLITS, "&Split it  Enter"),
            partial(self._split, card),
            ticks=Ticks("What becomes a &case of its own", appliances, least=1, left=1, refusal=refusal),
            fields=(("&Patient of the new case", "the same patient"), ("&Reference", "the same reference")),
        )

    def _split(self, card: "Card", deed: Deed) -> None:
        label, reference = deed.texts
        patient = Patient(label=label or None, reference=reference or None) if label or reference else None
        what = self.desk, card.case.case_id, card.case.version, deed.ticked, deed.reason, patient
        self._room.jobs.run(partial(asked_deeds.split_off, *what), partial(self._on_split, card), self._trouble)

    def _on_split(self, card: "Card", done: "SplitOff") -> None:
        undo = self._undo(partial(asked_deeds.join_again, self.desk, done), "The case is one again.")
        self._room.news.offer_undo(f"Split off: {_jobs(done.new)}", undo, f"what was split off from {of(card)}")
        self._print((*done.new.tickets, *done.rest.tickets))

    def _on_to_merge(self, card: "Card", likely: "tuple[Likely, ...]") -> None:
        told = (
            f"The case of {of(card)} stands and gets what only the other one has, which is withdrawn. Where both say "
            "something, this one stays as it is. It can be undone."
        )
        dialog = MergeDialog(told, likely, self._room.look, self._window)
        dialog.looked.connect(partial(self._look, dialog, card))
        dialog.given.connect(partial(self._merge, card))
        dialog.open()
        dialog.look_again()

    def _look(self, dialog: MergeDialog, card: "Card", words: str) -> None:
        work = partial(asked_deeds.look_at_merge, self.desk, card.case.case_id, words)
        self._looks.ask(work, partial(_show, dialog), partial(self._not_found, dialog))

    def _not_found(self, dialog: MergeDialog, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        _show(dialog, None, str(problem))

    def _merge(self, card: "Card", look: "MergeLook", reason: str, asks: bool) -> None:
        work = partial(asked_deeds.merge, self.desk, look, reason, asks)
        self._room.jobs.run(work, partial(self._on_merged, card, bool(look.differs and asks)), self._trouble)

    def _on_merged(self, card: "Card", asks: bool, done: "MergedCases") -> None:
        undo = self._undo(partial(asked_deeds.take_apart, self.desk, done), "Both cases stand again.")
        asked = " The practice is asked which holds." if asks else ""
        self._room.news.offer_undo(f"Merged into {_jobs(done.stands)}{asked}", undo, f"the merging of {of(card)}")
        self._print(done.stands.tickets)

    def _on_to_remake(self, card: "Card", appliances: tuple[str, ...]) -> None:
        told = (
            f"What is ticked of job {JobNumber(card.job.number).shown} is made again: a new case with the same "
            "prescription, its own numbers and tickets. The appointment is asked for. It can be undone."
        )
        own = card.job.appliances or tuple(range(len(appliances)))
        self._ask(
            ("Make it again", told, REMAKES, "&Make it again  Enter"),
            partial(self._remake, card, uuid4().hex),
            ticks=Ticks("What is &made again", appliances, frozenset(own), least=1, refusal="Tick what is made again."),
            flag="The mo&dels and what else came are still here",
        )

    def _remake(self, card: "Card", token: str, deed: Deed) -> None:
        what = self.desk, card.case.case_id, deed.ticked, deed.reason, deed.flag, token
        self._room.jobs.run(partial(asked_deeds.remake, *what), partial(self._on_remade, card), self._trouble)

    def _on_remade(self, card: "Card", done: "Remade") -> None:
        undo = self._undo(partial(asked_deeds.take_back_remake, self.desk, done), "The remake is withdrawn.")
        said = f"Made again as {_jobs(done.new)}"
        self._room.news.offer_undo(said, undo, f"the remake of {JobNumber(card.job.number).shown}")
        self._print(done.new.tickets)

    def _undo(self, back: Callable[[], Any], said: str) -> Callable[[], None]:
        """What takes a deed back: it says so, and prints what waits then."""

        def on_back(tickets: Any) -> None:
            self._room.news.tell(said)
            self._print(tickets if isinstance(tickets, tuple) else ())

        return lambda: self._room.jobs.run(back, on_back, self._not_back)

    def _print(self, tickets: Collection[int]) -> None:
        """Shows the card anew, and hands tickets to the printer beside the store's thread."""
        self._done()
        if tickets:
            work = partial(asked_deeds.issue, self.desk, tickets)
            self._room.jobs.run(work, self._on_issued, self._trouble, lane="beside")

    def _on_issued(self, issued: tuple) -> None:
        self._issued(issued)
        self._done()

    def _not_back(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(f"Not taken back. {problem}")

    def _trouble(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    def _ask(self, what: tuple[str, str, tuple[str, ...], str], given: Callable[[Deed], None], **asked: Any) -> None:
        dialog = DeedDialog(*what, self._room.look, parent=self._window, **asked)
        dialog.given.connect(given)
        dialog.open()


def of(card: "Card") -> str:
    """Whose case it is, as it is called in news: its patient, or its number."""
    who = (card.job.patient_label, card.job.patient_reference)
    return " · ".join(filter(None, who)) or JobNumber(card.job.number).shown


def _show(dialog: MergeDialog, look: "MergeLook | None", problem: str = "") -> None:
    from shiboken6 import isValid

    if isValid(dialog):  # it may be closed by the time that the answer is there
        dialog.show_look(look, problem)


def _jobs(booked: "Booked") -> str:
    """The jobs of a case: `26 004123 76, Splints, Blue box: HOLD.`."""
    told = [
        f"{JobNumber(job.number).shown}, {job.category_name}, {job.box_colour} box: {SIGNS.get(job.state, job.state)}"
        for job in booked.jobs
    ]
    return f"{listed(told)}." if told else "no job."
