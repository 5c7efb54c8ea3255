"""Saves a case, says so only when it is done, and takes it back."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from intake.domain.case import Case
from intake.domain.form import FormRead
from intake.domain.half_typed import HalfTyped
from intake.domain.job_number import read_number
from intake.domain.matching import left_out
from intake.domain.wording import listed
from intake.errors import IntakeError
from intake.ui.arrivals import asked
from intake.ui.jobs import Lane
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.book_in import Booked
    from intake.desk.desk import Desk
    from intake.desk.expected import Match
    from intake.desk.partners import Partner
    from intake.desk.rescanning import Between, Rescanned

Made = TypeVar("Made")
SIGNS = {"held": "HOLD", "clear": "CLEAR"}
TROUBLE = "not-saved"
SLOW_MS = 600
"""After this long the window says that a case is still being saved: another desk, or a slow disk, keeps it waiting."""
SAVING = "Still saving the case before this one …"


class Saving(QObject):
    """Saves forms, one after the other, in the background.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    booked = Signal(object)
    """A `Booked`, after it is on the disk."""
    joined = Signal(str, object)
    """What was put to the case that waited for it, or taken back, in words, and that case as a `Booked`."""
    failed = Signal(object, object)
    """The form that could not be saved, and why."""
    came_back = Signal(object)
    """The form of a case that was taken back."""

    def __init__(self, room: Room, parent: QObject) -> None:
        super().__init__(parent)
        self._room = room
        self.under_way = 0
        self._slow = QTimer(self)
        self._slow.setSingleShot(True)
        self._slow.setInterval(SLOW_MS)
        self._slow.timeout.connect(self._on_slow)

    def save(self, desk: "Desk", half: HalfTyped, form: FormRead) -> None:
        """Saves a form; `booked` or `failed` follows."""
        self.run(half, partial(asked.save, desk, half, form), partial(self._on_booked, desk, half))

    def join(self, desk: "Desk", half: HalfTyped, case: Case, match: "Match") -> None:
        """Puts a form to the case that waits for it; `joined` or `failed` follows."""
        said = left_out_words(match.case, case)
        self.run(half, partial(asked.join, desk, half, case, match), partial(self._on_joined, desk, half, match, said))

    def join_scans(self, desk: "Desk", half: HalfTyped, case: Case, partner: "Partner") -> None:
        """Adds the scans of a form's arrival to the case that waits for them; `joined` or `failed` follows."""
        measure = partial(asked.measure_together, desk, half, partner)
        self.run(half, measure, partial(self._on_measured, desk, half, case, partner), lane="beside")

    def _on_measured(
        self, desk: "Desk", half: HalfTyped, case: Case, partner: "Partner", measured: "Between | None"
    ) -> None:
        work = partial(asked.join_scans, desk, half, case, partner, measured)
        said = left_out_words(partner.case, case)
        self.run(half, work, partial(self._on_rescanned, desk, half, said))

    def run(
        self, half: HalfTyped, work: Callable[[], Made], done: Callable[[Made], None], lane: Lane = "store"
    ) -> None:
        """Saves a form by some work; `failed` follows where it cannot be saved, and the form is not lost."""
        self._room.news.settle(TROUBLE)
        self.under_way += 1
        self._slow.start()
        self._room.jobs.run(work, partial(self._on_saved, done), partial(self._on_not_saved, half), lane)

    def _on_saved(self, done: Callable[[Made], None], made: Made) -> None:
        self.under_way -= 1
        done(made)

    @Slot()
    def _on_slow(self) -> None:
        if self.under_way:
            self._room.news.tell(SAVING)

    def _on_not_saved(self, half: HalfTyped, problem: Exception) -> None:
        self.under_way -= 1
        self._room.news.no_longer(SAVING)
        self.failed.emit(half, problem)

    def _on_booked(self, desk: "Desk", half: HalfTyped, booked: "Booked") -> None:
        words = " ".join([*job_words(booked), *entered_words(booked)])
        if booked.again:
            numbers = listed([read_number(job.number).shown for job in booked.jobs])
            self._room.news.tell(f"Booked before, as {numbers}; nothing was saved now.")
            self.booked.emit(booked)
            return
        undone = undone_words(booked)
        if half.case_id is None or half.kept is None:
            undo = partial(self._take_back, desk, half, booked)
        else:
            undo, undone = partial(self._amend_back, desk, half, booked, half.kept), f"change of {undone}"
        self._room.news.offer_undo(f"Saved: {words}", undo, undone)
        self.booked.emit(booked)

    def _on_joined(self, desk: "Desk", half: HalfTyped, match: "Match", left_out: str, booked: "Booked") -> None:
        said = " ".join(filter(None, ("Put to the case that waited for it:", *job_words(booked), left_out)))
        self._room.news.offer_undo(said, partial(self._take_apart, desk, half, match, booked), "what was put to it")
        self.joined.emit(said, booked)

    def _on_rescanned(self, desk: "Desk", half: HalfTyped, left_out: str, rescanned: "Rescanned") -> None:
        parts = *job_words(rescanned.booked), replaced_words(rescanned.replaced), left_out
        said = " ".join(filter(None, ("Put to the case that waited for it:", *parts)))
        self._room.news.offer_undo(said, partial(self._part_scans, desk, half, rescanned), "what was put to it")
        self.joined.emit(said, rescanned.booked)

    def _part_scans(self, desk: "Desk", half: HalfTyped, rescanned: "Rescanned") -> None:
        work = partial(asked.part_scans, desk, rescanned)
        self._room.jobs.run(work, partial(self._on_apart, half, "its scans"), self._on_stays)

    def _take_apart(self, desk: "Desk", half: HalfTyped, match: "Match", booked: "Booked") -> None:
        work = partial(asked.take_apart, desk, match, booked)
        self._room.jobs.run(work, partial(self._on_apart, half, "what was promised"), self._on_stays)

    def _on_apart(self, half: HalfTyped, waits_for: str, booked: "Booked") -> None:
        self.came_back.emit(half)
        said = f"Taken back: the case waits again for {waits_for}, and the form is as it was."
        self._room.news.tell(said)
        self.joined.emit(said, booked)

    def _take_back(self, desk: "Desk", half: HalfTyped, booked: "Booked") -> None:
        work = partial(asked.take_back, desk, booked)
        self._room.jobs.run(work, partial(self._on_taken_back, half, booked), self._on_stays)

    def _on_taken_back(self, half: HalfTyped, booked: "Booked", version: int) -> None:
        self.came_back.emit(
            HalfTyped(half.token, half.typed, half.arrival_id, booked.case_id, version, half.kept),
        )
        stays = f" {booked.entered.practice.code} stays in the directory." if booked.entered.practice else ""
        self._room.news.tell(f"Taken back: the form is as it was, and saving it again keeps the numbers.{stays}")

    def _amend_back(self, desk: "Desk", half: HalfTyped, booked: "Booked", before: Case) -> None:
        work = partial(asked.amend_back, desk, booked, before)
        self._room.jobs.run(work, partial(self._on_amended_back, half), self._on_stays)

    def _on_amended_back(self, half: HalfTyped, booked: "Booked") -> None:
        self.booked.emit(booked)
        self.came_back.emit(
            HalfTyped(half.token, half.typed, half.arrival_id, half.case_id, booked.version, half.kept),
        )
        self._room.news.tell("The case is as it was before; the form has what you had changed.")

    def _on_stays(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(f"Not taken back. {problem}")


def job_words(booked: "Booked") -> list[str]:
    """Each job in a sentence: “26 004123 76, Splints, Blue box: HOLD.”."""
    return [
        f"{read_number(job.number).shown}, {job.category_name}, {job.box_colour} box: {SIGNS[job.state]}."
        for job in booked.jobs
        if job.state in SIGNS
    ]


def left_out_words(before: Case, arriving: Case) -> str:
    """What a form says and the case that it is put to does not get, in a sentence; empty when there is nothing."""
    left = left_out(before, arriving)
    return f"Not taken over from the form: {listed(list(left))}." if left else ""


def replaced_words(replaced: Sequence[str]) -> str:
    """Of which jaws a later scan counts now, in a sentence; empty where none was replaced."""
    return f"Of the {listed(list(dict.fromkeys(replaced)))} the later scan counts now." if replaced else ""


def undone_words(booked: "Booked") -> str:
    """What undoing would take back, in a few words: “26 004123 76”, or “26 004123 76 and 2 more”."""
    first, more = read_number(booked.jobs[0].number).shown, len(booked.jobs) - 1
    return f"{first} and {more} more" if more else first


def entered_words(booked: "Booked") -> list[str]:
    """What came into the directory with a case, in a sentence."""
    entered = booked.entered
    if entered.practice is not None:
        return [f"{entered.practice.name} is in the directory now as {entered.practice.code}."]
    return [f"{entered.prescriber} is on file there now."] if entered.prescriber else []
