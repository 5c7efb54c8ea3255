"""Puts what is in the form to what it belongs to, when the desk says so: a case that waits for it, or an arrival."""

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot

from intake.domain.half_typed import HalfTyped
from intake.domain.matching import NOTHING_CAME
from intake.domain.wording import listed
from intake.errors import IntakeError
from intake.ui.arrivals import asked
from intake.ui.arrivals.likely import MayBeSame
from intake.ui.arrivals.promised import Promised
from intake.ui.arrivals.saving import Saving, replaced_words
from intake.ui.arrivals.writing import Writing
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.expected import Match
    from intake.desk.joining import Together
    from intake.desk.partners import Partner

TOGETHER = "Put together: what both brought waits as one, and is in the form."
PARTED = "Taken apart: both wait as they did, and the form is as it was."


class Joining(QObject):
    """Asks for offers as the form changes, and joins the one that is taken.

    Args:
        room: What every place shares.
        writing: The form.
        promised: Shows the offers.
        likely: Shows what the form may be the same as.
        saving: Joins.
        parent: The owner.
    """

    leaves = Signal(object)
    """The form, as HalfTyped, that is about to be joined and makes room for the next."""

    def __init__(
        self, room: Room, writing: Writing, promised: Promised, likely: MayBeSame, saving: Saving, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._room, self._writing, self._promised, self._saving = room, writing, promised, saving
        self._likely = likely
        writing.was_read.connect(self.look)
        promised.chosen.connect(self._on_chosen)
        promised.offered.connect(likely.leave_out)

    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self._promised.desk = self._likely.desk = desk
        self.look_again()

    @Slot()
    def look(self) -> None:
        """Looks for offers, where practice, patient or items are others than before."""
        self._look(anew=False)

    @Slot()
    def look_again(self) -> None:
        """Looks for offers: something may have been promised meanwhile."""
        self._look(anew=True)

    def _look(self, anew: bool) -> None:
        half = self._writing.half
        is_arrival = half.case_id is None
        case = self._writing.read.case
        self._promised.ask(case if is_arrival else None, half.arrival_id, anew)
        self._likely.ask(case, half.token, half.case_id, anew)

    @Slot(object)
    def _on_chosen(self, offer: "Match | Partner") -> None:
        desk, writing = self._promised.desk, self._writing
        wrong = [each for each in writing.wrong() if each[0] == "items"]
        if desk is None:
            return
        if offer.kind == "arrival":
            self._put_together(desk, offer)
        elif wrong:
            writing.refuse(wrong)
        elif not writing.read.case.items:
            writing.go_to("items")
            self._room.news.tell(NOTHING_CAME)
        else:
            self._join(desk, offer)

    def _join(self, desk: "Desk", offer: "Match | Partner") -> None:
        """Puts the form to the case that waits for it."""
        half, case = self._writing.half, self._writing.read.case
        self.leaves.emit(half)
        if offer.kind == "promised":
            self._saving.join(desk, half, case, offer)
        else:
            self._saving.join_scans(desk, half, case, offer)

    def _put_together(self, desk: "Desk", partner: "Partner") -> None:
        """Puts the form together with an arrival that waits: what is of both comes into the form."""
        half = self._writing.half
        self.leaves.emit(half)
        work = partial(asked.put_together, desk, half, partner)
        self._saving.run(half, work, self._on_together)

    def _on_together(self, together: "Together") -> None:
        self._saving.came_back.emit(together.form)
        left = f"Not taken over: {listed(list(together.joined.left_out))}." if together.joined.left_out else ""
        said = " ".join(filter(None, (TOGETHER, replaced_words(together.replaced), left)))
        self._room.news.offer_undo(said, partial(self._part, together), "what was put together")

    def _part(self, together: "Together") -> None:
        """Undoes that. What was typed since goes with the form that comes back."""
        desk, shown, back = self._promised.desk, self._writing.half, together.before
        if desk is None:
            return
        is_shown = shown.arrival_id == together.form.arrival_id
        if is_shown:
            since = {place: text for place, text in shown.typed.items() if text != together.form.typed.get(place, "")}
            back = replace(back, typed={**back.typed, **since})
            self.leaves.emit(shown)
        work = partial(asked.part_again, desk, together)
        stays = partial(self._on_stays, shown if is_shown else None)
        self._room.jobs.run(work, lambda _: self._on_parted(back), stays)

    def _on_parted(self, back: HalfTyped) -> None:
        self._saving.came_back.emit(back)
        self._room.news.tell(PARTED)

    def _on_stays(self, shown: HalfTyped | None, problem: Exception) -> None:
        if shown is not None:
            self._saving.came_back.emit(shown)
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(f"Not taken back. {problem}")
