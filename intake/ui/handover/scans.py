"""What becomes of each code, in the order of the scans. Scanning never waits: the store works behind it, one by one."""

from collections import deque
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from intake.domain.job_number import JobNumber
from intake.domain.scan_codes import ScanCode
from intake.errors import IntakeError
from intake.ui.handover import asked
from intake.ui.handover.answer_view import Shown
from intake.ui.handover.modes import MODES, Wish
from intake.ui.handover.pairing import Pairing
from intake.ui.handover.sign import Answer
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.boxes import InBox
    from intake.desk.desk import Desk
    from intake.desk.hand_over import HandedOver


MOST = 500
"""So many moves can be taken back, one after the other."""


class Scans(QObject):
    """Asks the desk about each code and tells what came of it.

    Args:
        room: What every place shares.
        parent: The owner.
        pairing: Which box label belongs to which ticket.
    """

    answered = Signal(object)
    """A `Shown`: the answer to one scan; it is to be heard as well."""
    told = Signal(object)
    """A `Shown` that is neither yes nor no."""
    counted = Signal(object)
    """How many boxes each bench has."""
    undone = Signal(object)
    """The `Shown` whose move was taken back."""
    issued = Signal(object)
    """The documents that were handed to the printer: a tuple of `Issued`."""
    used = Signal(str)
    """The words that were kept with a box that came back."""
    waiting_changed = Signal(int)
    """So many scans have no answer yet."""

    def __init__(self, room: Room, parent: QObject, pairing: Pairing | None = None) -> None:
        super().__init__(parent)
        self._room = room
        self.desk: Desk | None = None
        self._pairing = pairing or Pairing()
        self._waiting = 0
        self._moved: deque[tuple[HandedOver, Shown]] = deque(maxlen=MOST)
        """What can be taken back, the newest last."""
        self._closed = False

    def ticket(self, code: ScanCode, wish: Wish) -> None:
        """A ticket was scanned."""
        box = self._pairing.ticket(code)
        self._ask(partial(asked.moved, self._desk, wish, code), partial(self._on_moved, wish), code)
        if box is not None:
            self._tie(box, code)

    def box(self, number: int) -> None:
        """The label of a numbered box was scanned."""
        code = self._pairing.box(number)
        if code is not None:
            self._tie(number, code)
        else:
            said = "Scan the ticket of the job that lies in it."
            self.told.emit(Shown("asks", "BOX", str(number), said))

    def count(self) -> None:
        """Counts the boxes at each bench again."""
        self._room.jobs.run(partial(asked.counts, self._desk), self.counted.emit, self._trouble)

    def forget(self) -> None:
        """Wants no answer any more."""
        self._closed = True

    def begin_anew(self) -> None:
        """What is scanned next belongs to nothing before."""
        self._pairing.forget()

    @property
    def _desk(self) -> "Desk":
        assert self.desk is not None, "nothing is scanned before the store is open"
        return self.desk

    def _ask(self, work: Callable[[], object], done: Callable[..., None], code: ScanCode) -> None:
        self._count_waiting(1)
        self._room.jobs.run(work, partial(self._on_back, done), partial(self._on_failed, code))

    def _on_back(self, done: Callable[..., None], result: object) -> None:
        self._count_waiting(-1)
        if not self._closed:
            done(result)

    def _on_failed(self, code: ScanCode, problem: Exception) -> None:
        self._count_waiting(-1)
        if not isinstance(problem, IntakeError):
            raise problem
        number = JobNumber(code.value).shown if code.kind == "ticket" else code.value
        self.answered.emit(Shown("no", "NO", number, str(problem)))

    def _count_waiting(self, more: int) -> None:
        self._waiting += more
        self.waiting_changed.emit(self._waiting)

    def _on_moved(self, wish: Wish, answer: asked.Answered) -> None:
        handed = answer.handed
        shown = _shown(handed, wish, self._room)
        self.counted.emit(answer.counts)
        self.answered.emit(shown)
        if handed.yes and wish.mode == "back":
            self.used.emit(wish.words)
        if handed.move_id is not None:
            self._moved.append((handed, shown))
            self._offer(f"{handed.shown}: {handed.said}")
        if handed.tickets:
            self._print(handed.tickets)

    def _offer(self, said: str) -> None:
        """Offers to take the newest move back that still stands."""
        if not self._moved:
            self._room.news.withdraw_undo()
            self._room.news.tell(said)
            return
        handed, _ = self._moved[-1]
        self._room.news.offer_undo(said, self._take_back, f"{handed.shown}, {handed.bench or 'back'}")

    def _take_back(self) -> None:
        handed, shown = self._moved.pop()
        work = partial(asked.taken_back, self._desk, handed)
        self._room.jobs.run(work, partial(self._on_taken_back, handed, shown), self._not_taken_back)

    def _on_taken_back(
        self, handed: "HandedOver", shown: Shown, result: tuple[dict[str, int], tuple[int, ...]]
    ) -> None:
        counts, tickets = result
        self.counted.emit(counts)
        self.undone.emit(shown)
        self._offer(f"Taken back: {handed.shown} is where it was before.")
        if tickets:
            self._print(tickets)

    def _not_taken_back(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._offer(str(problem))

    def _tie(self, box: int, code: ScanCode) -> None:
        self._ask(partial(asked.boxed, self._desk, box, code), self._on_boxed, code)

    def _on_boxed(self, put: "InBox") -> None:
        self.answered.emit(Shown("yes", "BOX", f"{put.number}", put.said))

    def _print(self, tickets: tuple[int, ...]) -> None:
        self._room.jobs.run(partial(asked.printed, self._desk, tickets), self.issued.emit, self._trouble)

    def _trouble(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))


def _shown(handed: "HandedOver", wish: Wish, room: Room) -> Shown:
    """An answer as it is shown; the way on with its key."""
    key = room.keys.shown(handed.key) if handed.key else ""
    yes: Answer = "back" if wish.mode == "back" else "yes"
    no: Answer = "asks" if handed.why == "question-missing" else "no"
    return Shown(
        answer=yes if handed.yes else no,
        word=MODES[wish.mode].word if handed.yes else "NO",
        number=handed.shown,
        said=f"{handed.said} Scanned a moment ago; once is enough." if handed.again else handed.said,
        way_on=f"{handed.way_on}  {key}".rstrip() if handed.way_on else "",
        note=handed.note,
        whose=" · ".join(filter(None, (handed.practice, handed.patient, f"box {handed.box}" if handed.box else ""))),
        category=handed.category,
        colour=handed.colour,
        hex=handed.hex,
    )
