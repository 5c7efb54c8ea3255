"""The place itself: what waits, the prescription and the verdict side by side."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from intake.domain.form_finishing import finished
from intake.domain.form_practice import CODE
from intake.domain.half_typed import HalfTyped
from intake.domain.lab import Lab
from intake.errors import IntakeError
from intake.ui.arrivals import asked
from intake.ui.arrivals.arriving import Arriving
from intake.ui.arrivals.bench_room import RoomOnBenches
from intake.ui.arrivals.choices import Choices
from intake.ui.arrivals.columns import Columns
from intake.ui.arrivals.form_view import FIRST, CaseForm
from intake.ui.arrivals.joining import Joining
from intake.ui.arrivals.keeping import Keeping
from intake.ui.arrivals.saving import TROUBLE, Saving
from intake.ui.arrivals.scanning import Scanning
from intake.ui.arrivals.summary import Summary
from intake.ui.arrivals.verdict_view import VerdictView
from intake.ui.arrivals.waiting_model import name_of
from intake.ui.arrivals.waiting_view import WaitingView
from intake.ui.arrivals.writing import Writing
from intake.ui.drops import Drops
from intake.ui.room import Room
from intake.ui.scans.strip import ScanStrip

if TYPE_CHECKING:
    from intake.desk.desk import Desk

NOTHING_WAITS = (
    "Nothing waits. Open a bag and type what the prescription says, or take files in with {key}, or drop them here. "
    "What is set down for later waits here too."
)


class Arrivals(QWidget):
    """Arrivals.

    Args:
        room: What every place shares.
        lab: The lab setup.
        parent: The owner.
    """

    booked = Signal(object)
    """A `Booked`, after it is saved: its tickets are to be printed."""
    joined = Signal(str, object)
    """What was put to a case that waited for it, in words, and that case as a `Booked`: its tickets are printed."""
    came_back = Signal()
    """A form that was saved or left is in the form again, because somebody asked for it."""
    look_up_wanted = Signal(str)
    """The number of a job that is to be looked at in Look up, its digits."""
    waiting_changed = Signal(int)
    """How many arrivals wait."""

    def __init__(self, room: Room, lab: Lab, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._room, self._lab = room, lab
        self._desk: Desk | None = None
        self._aside: list[HalfTyped] = []
        self._last_place = FIRST
        self._said_at_end = ""
        self.waiting = WaitingView(room.look, NOTHING_WAITS.format(key=room.keys.shown("take-in")), self)
        self.form = CaseForm(room.look, lab, room.keys.shown("another-appliance"), self)
        self.summary = Summary(room.look, self)
        self.verdict = VerdictView(room, lab, self)
        self.choices = Choices(room.look, self)
        self.strip = ScanStrip(room.look, room.keys, self)
        self.columns = Columns(room, self.waiting, self.summary, self.strip, self.form, self.verdict, self)
        self.form.followed_by = (*self.columns.buttons.values(), *self.verdict.stops, self.waiting.list)
        self.writing = Writing(self.form, self.verdict, self.choices, self.summary, lab, self._now, self)
        self.saving, self.arriving = Saving(room, self), Arriving(room, self)
        self.room_on_benches = RoomOnBenches(room, lab, self.writing, self)
        self.scanning = Scanning(room, self.writing, self.strip, self)
        self.joining = Joining(room, self.writing, self.verdict.promised, self.verdict.likely, self.saving, self)
        self.keeping = Keeping(room, self._to_keep, self._keeps_itself, self)
        self.setAcceptDrops(True)
        Drops(self, self).dropped.connect(self.take_in)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.columns)
        self.choices.raise_()
        self.setFocusProxy(self.form.field(FIRST).edit)
        self._title(self.writing.half)
        self._connect()

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open; what was half typed when the program ended comes back."""
        first, self._desk = self._desk is None, desk
        self.arriving.desk = self.keeping.desk = desk
        self.joining.set_desk(desk)
        self.scanning.set_desk(desk)
        self.room_on_benches.set_desk(desk)
        self._take_lab(desk.lab)
        if first:
            self.arriving.tell(desk.notices)
            self._room.jobs.run(partial(asked.kept, desk), self._on_kept, self._on_failed)
            self._room.jobs.run(partial(asked.directory, desk), self.writing.set_practices, self._on_failed)
        self.arriving.read()

    @Slot(int)
    def open_case(self, case_id: int) -> None:
        """Opens a booked case in the form, to change it."""
        self.arriving.open_case(case_id)

    @Slot(object)
    def take_in(self, paths: Sequence[Path]) -> None:
        """Takes files in among what waits."""
        self.arriving.take_in(paths)

    @Slot()
    def flush(self) -> None:
        """Keeps what is typed now: the window closes."""
        for half in self._aside:
            self.arriving.set_down(half)
        self._aside.clear()
        self.keeping.keep_now()
        self.arriving.desk = self.keeping.desk = None
        self.verdict.promised.forget()
        self.verdict.likely.forget()
        self.scanning.forget()
        self.room_on_benches.forget()

    @Slot()
    def save(self) -> None:
        """Saves what is in the form, and empties it for the next; what cannot be read is said instead."""
        self.writing.settle()
        wrong = self.writing.wrong()
        if wrong:
            self.writing.refuse(wrong)
            return
        if self._desk is None:
            self._room.news.tell("The data are still being opened; save again in a moment.")
            return
        form = self.writing.read
        half = replace(self.writing.half, typed=finished(self.writing.half.typed, CODE, form))
        self._leave(half)
        self.saving.save(self._desk, half, form)

    @Slot(object)
    def put_in(self, half: HalfTyped) -> None:
        """Puts a form in; what was typed before is set down first."""
        self._make_room()
        self._load(half)

    @Slot(object)
    def let_go(self, arrival_ids: Sequence[int]) -> None:
        """Lets go of arrivals that wait no longer; what somebody wrote into the form of one stays, as a new case."""
        half = self.writing.half
        if half.arrival_id in arrival_ids:
            if self.writing.is_changed:
                self._load(replace(half, arrival_id=None), changed=True)
            else:
                self._next_form()
        self.arriving.read()

    @Slot()
    def empty_form(self) -> None:
        """Empties the form; what was typed is set down, never lost."""
        self._make_room()
        self._next_form()

    @Slot()
    def switch(self) -> None:
        """Takes the keys from the form to what waits, and back."""
        if self.waiting.list.hasFocus():
            self._to_form()
            return
        self.columns.show_list()
        self.waiting.take_keys()

    def _take_lab(self, lab: Lab) -> None:
        """Reads and judges by the setup that is in force now; what is typed stays as it is."""
        if lab != self._lab:
            self._lab = lab
            self.form.set_lab(lab)
            self.verdict.set_lab(lab)
            self.writing.set_lab(lab)

    def _load(self, half: HalfTyped, changed: bool = False) -> None:
        self.writing.load(half, changed)
        self.waiting.show_open(half.arrival_id)
        self.scanning.show_arrival(half.arrival_id)
        self._title(half)
        self.columns.show_form()
        self.form.take_keys(FIRST, at_end=True)
        self.keeping.soon()

    @Slot(object)
    def _leave(self, half: HalfTyped) -> None:
        """Makes room for the next form while this one is saved."""
        if half.arrival_id is not None:
            self.waiting.without(half.arrival_id)
        self._next_form()

    def _next_form(self) -> None:
        """An empty form, or the one that had to stand aside."""
        if self._aside:
            self._load(self._aside.pop(), changed=True)
            return
        self.writing.begin_anew()
        self.waiting.show_open(None)
        self.scanning.show_arrival(None)
        self._title(self.writing.half)
        self._to_form()
        self.keeping.soon()

    def _make_room(self) -> None:
        """Sets down what was typed; a booked case that was being changed stands aside instead."""
        half = self.writing.half
        if not self.writing.is_changed:
            return
        if half.case_id is not None and half.kept is not None and half.arrival_id is None:
            back = partial(self._on_came_back, half)
            said = "The booked case stays as it was; what you changed can come back."
            self._room.news.offer_undo(said, back, "what you changed")
        else:
            self.arriving.set_down(half)

    def _title(self, half: HalfTyped) -> None:
        """Says what is in the form."""
        if half.case_id is not None and half.kept is not None and half.arrival_id is None:
            words = "A booked case, to be changed"
        elif half.case_id is not None:
            words = "Taken back; saving keeps its numbers"
        else:
            words = "A new case" if half.arrival_id is None else "What was chosen from the list"
        self.columns.title.setText(words)

    def _connect(self) -> None:
        action = self._room.keys.action
        for name, act in (
            ("save", self.save),
            ("another-appliance", self.writing.another_appliance),
            ("why-dates", self.verdict.toggle_why),
            ("set-down", self._set_down),
            ("new-form", self.empty_form),
            ("waiting", self.switch),
            ("open-waiting", self._open_chosen),
            ("dismiss", self._dismiss_chosen),
            ("take-in", self.arriving.choose_files),
        ):
            action(name).triggered.connect(act)
        self.form.entered.connect(self._on_entered)
        self.writing.changed.connect(self.keeping.soon)
        self.writing.changed.connect(self._on_changed)
        self.writing.at_end.connect(self._on_at_end)
        self.verdict.why_left.connect(self._to_form)
        self.waiting.opened.connect(self.arriving.open)
        self.waiting.dismissed.connect(self._dismiss)
        self.waiting.left.connect(self._to_form)
        self.arriving.known.connect(self._on_known)
        self.arriving.opened.connect(self.put_in)
        for saved, told in ((self.saving.booked, self.booked), (self.saving.joined, self.joined)):
            saved.connect(told)
            saved.connect(self.arriving.read)
        self.scanning.chosen.connect(self.arriving.read)
        self.verdict.likely.opened.connect(self.look_up_wanted)
        self.joining.leaves.connect(self._leave)
        self.saving.failed.connect(self._on_not_saved)
        self.saving.came_back.connect(self._on_came_back)

    def _to_form(self) -> None:
        self.columns.show_form()
        if self.form.place is None:
            self.form.take_keys(self._last_place if self._last_place in self.form.places else FIRST)

    def _to_keep(self) -> HalfTyped | None:
        return None if self.writing.is_empty else self.writing.half

    def _keeps_itself(self) -> bool:
        """Whether the form is empty because it is being saved: saving sees to what is kept."""
        return self.writing.is_empty and self.saving.under_way > 0

    def _now(self) -> datetime:
        if self._desk is not None:
            return self._desk.now()
        return datetime.now(ZoneInfo(self._lab.calendar.zone)).replace(tzinfo=None)

    def _on_kept(self, half: HalfTyped | None) -> None:
        if half is None:
            return
        if not self.writing.is_empty:
            self.arriving.set_down(half)
            return
        self._load(half, changed=True)
        self._room.news.tell("What was half typed when Intake ended is back in the form.")

    def _on_known(self, known: asked.Known) -> None:
        self.writing.set_practices(known.practices)
        self.waiting.show_rows(known.waiting, self.writing.half.arrival_id)
        self.columns.show_count(len(known.waiting))
        self.waiting_changed.emit(len(known.waiting))

    @Slot(object, object)
    def _on_not_saved(self, half: HalfTyped, problem: Exception) -> None:
        """Brings everything back; under hands that type on, when they are done."""
        half = replace(half, version=getattr(problem, "version", half.version))
        if self.writing.is_empty:
            self._load(half, changed=True)
            # Hands that type on already for the next case do not write into this one.
            self.columns.buttons["save"].setFocus(Qt.FocusReason.OtherFocusReason)
            said = f"Not saved. {problem}"
        else:
            self._aside.append(half)
            said = f"Not saved: the form before this one. It comes back when this one is saved or set down. {problem}"
        self._room.news.trouble(said if isinstance(problem, IntakeError) else "Not saved.", TROUBLE)
        self.arriving.read()
        if not isinstance(problem, IntakeError):
            raise problem

    @Slot(object)
    def _on_came_back(self, half: HalfTyped) -> None:
        self._make_room()
        self._load(half, changed=True)
        self.came_back.emit()
        self.arriving.read()

    def _on_failed(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    @Slot()
    def _set_down(self) -> None:
        if self.writing.is_empty:
            self._room.news.tell("There is nothing to set down: the form is empty.")
            return
        if self.writing.half.case_id is not None and self.writing.half.kept is not None:
            self._room.news.tell("A booked case is not set down: save it, or leave it as it was with an empty form.")
            return
        self.arriving.set_down(self.writing.half)
        self._next_form()

    @Slot()
    def _open_chosen(self) -> None:
        if self.waiting.chosen is None:
            self._room.news.tell("Nothing waits that could be opened.")
        else:
            self.arriving.open(self.waiting.chosen.arrival_id)

    @Slot()
    def _dismiss_chosen(self) -> None:
        if self.waiting.chosen is not None:
            self._dismiss(self.waiting.chosen.arrival_id)

    @Slot(int)
    def _dismiss(self, arrival_id: int) -> None:
        chosen = self.waiting.chosen
        words = ", ".join(filter(None, (name_of(chosen), chosen.patient))) if chosen else "an arrival"
        if arrival_id == self.writing.half.arrival_id:
            self.empty_form()
        self.waiting.without(arrival_id)
        self.arriving.dismiss(arrival_id, words)

    @Slot()
    def _on_at_end(self) -> None:
        self._said_at_end = self.writing.left_open(self._room.keys.shown("save"))
        self._room.news.tell(self._said_at_end)

    @Slot()
    def _on_changed(self) -> None:
        self._room.news.no_longer(self._said_at_end)

    @Slot(str)
    def _on_entered(self, place: str) -> None:
        self._last_place = place

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.joining.look_again()
