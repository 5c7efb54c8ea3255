"""Keeps what is typed into the entry of a practice: each field as it is left, with the way back."""

from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal, Slot

from intake.domain.form_fields import FormWrong
from intake.domain.practice import Practice
from intake.domain.practice_entry import read_entry, written
from intake.domain.practice_search import suggest_code
from intake.errors import IntakeError
from intake.ui.room import Room
from intake.ui.setup.directory import asked
from intake.ui.setup.directory.form import PracticeForm
from intake.ui.setup.directory.words import NAMES

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.store.rows import PracticeRow
    from intake.ui.setup.directory.page import DirectoryPage

NOT_OPEN = "The data are still being opened. Try again in a moment."


class Keeping(QObject):
    """Takes each field to the desk when it is left. What is refused stays typed, with the reason.

    Args:
        room: What every place shares.
        form: The fields.
        page: The page.
    """

    kept = Signal(object)
    """The practice as it is now."""
    refused = Signal(str)
    """The code of a practice whose entry says something else by now, maybe."""
    went = Signal()
    """A practice that was entered is out again."""
    new_left = Signal()
    new_came_back = Signal()

    def __init__(self, room: Room, form: PracticeForm, page: "DirectoryPage") -> None:
        super().__init__(page)
        self._room, self._form, self._page = room, form, page
        self.desk: Desk | None = None
        self.is_new = False
        self._refused: dict[str, dict[str, tuple[str, str]]] = {}
        form.left.connect(self.keep)

    def refused_of(self, practice: Practice | None) -> dict[str, tuple[str, str]]:
        """By field of a practice, what was typed into it and refused, and why."""
        return dict(self._refused.get(practice.code, {})) if practice else {}

    @Slot(str)
    def keep(self, place: str) -> None:
        """Keeps a field that was left, if something else stands in it than before."""
        if self.is_new:
            self._keep_new(place)
            return
        practice = self._page.list.rows.practice(self._form.code or "")
        if practice is None:
            return
        text = self._form.text(place)
        if not self._form.touched(place):
            if self._refused.get(practice.code, {}).pop(place, None):
                self._form.put_back(place)
            return
        try:
            value = read_entry(place, text)
        except FormWrong as wrong:
            self._refuse(practice.code, place, text, str(wrong))
            return
        before = {place: getattr(practice, place)}
        if value == before[place]:
            self._form.put_back(place)
        elif self.desk is None:
            self._room.news.tell(NOT_OPEN)
        else:
            work = partial(asked.change, self.desk, practice.code, before, {place: value})
            done = partial(self._on_changed, practice, place, text)
            self._room.jobs.run(work, done, partial(self._on_refused, practice.code, place, text))

    def keep_now(self) -> None:
        """Keeps the field that has the keys."""
        if self._form.place is not None:
            self.keep(self._form.place)

    def put_back(self, place: str) -> None:
        """Puts back what is known in a field."""
        if self._form.code:
            self._refused.get(self._form.code, {}).pop(place, None)
        self._form.put_back(place)

    def begin_new(self) -> None:
        """The form is for a new practice."""
        self.is_new = True

    @Slot()
    def leave_new(self) -> None:
        """No new practice; what was typed can come back."""
        typed = {place: self._form.text(place) for place in ("name", "code") if self._form.text(place)}
        self.is_new = False
        self._form.show_practice(None, {})
        self.new_left.emit()
        if typed:
            self._room.news.offer_undo("The new practice was not kept.", partial(self._bring_back, typed), "leaving it")

    def _bring_back(self, typed: dict[str, str]) -> None:
        self.is_new = True
        self.new_came_back.emit()
        self._form.show_practice(None, typed)

    def _keep_new(self, place: str) -> None:
        """A new practice is kept as soon as it has a name and a code."""
        name, code = self._form.text("name"), self._form.text("code")
        if place == "name" and name and not code:
            self._form.fields["code"].set_text(suggest_code(name, self._page.list.rows.practices))
            self._select_code()
            return
        if place != "code" or not code:
            return
        try:
            new = Practice(code=read_entry("code", code), name=read_entry("name", name))
        except FormWrong as wrong:
            self._form.refuse(place if name else "name", str(wrong))
            return
        if self.desk is None:
            self._room.news.tell(NOT_OPEN)
            return
        self._room.jobs.run(partial(asked.enter, self.desk, new), self._on_entered, self._on_not_entered)

    def _select_code(self) -> None:
        edit = self._form.fields["code"].edit
        if edit.hasFocus():
            edit.selectAll()  # type: ignore[union-attr]  # a code is one line

    def _on_entered(self, entered: "PracticeRow") -> None:
        self.is_new = False
        practice = entered.practice
        said = f"{practice.name} is in the directory as {practice.code}."
        self._room.news.offer_undo(said, partial(self._take_out, entered), f"entering {practice.code}")
        self.kept.emit(practice)
        self._form.take_keys("address")

    def _take_out(self, entered: "PracticeRow") -> None:
        if self.desk is not None:
            done = partial(self._on_taken_out, entered.practice.name)
            self._room.jobs.run(partial(asked.take_out, self.desk, entered), done, self._on_not_taken_back)

    def _on_taken_out(self, name: str, _: object) -> None:
        self._room.news.tell(f"{name} is out of the directory again.")
        self.went.emit()

    def _on_not_entered(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._form.refuse(getattr(problem, "place", "code"), str(problem))

    def _on_changed(self, before: Practice, place: str, text: str, now: Practice) -> None:
        self._refused.get(now.code, {}).pop(place, None)
        if self._form.code == now.code:
            self._form.is_kept(place, text)
        self.kept.emit(now)
        said = f"{now.name}: {NAMES[place].lower()} {_change(before, now, place)}"
        undo = partial(self._take_back, place, getattr(now, place), before)
        self._room.news.offer_undo(said, undo, f"{NAMES[place].lower()} of {now.code}")

    def _take_back(self, place: str, now: Any, before: Practice) -> None:
        if self.desk is None:
            return
        was = {place: getattr(before, place)}
        if place == "country":
            was["subdivision"] = before.subdivision
        work = partial(asked.change, self.desk, before.code, {place: now}, was)
        self._room.jobs.run(work, partial(self._on_taken_back, place), self._on_not_taken_back)

    def _on_taken_back(self, place: str, now: Practice) -> None:
        self._room.news.tell(f"{now.name}: {NAMES[place].lower()} is as it was.")
        self.kept.emit(now)

    def _on_not_taken_back(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    def _on_refused(self, code: str, place: str, text: str, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._refuse(code, getattr(problem, "place", place), text, str(problem))
        self.refused.emit(code)

    def _refuse(self, code: str, place: str, text: str, why: str) -> None:
        self._refused.setdefault(code, {})[place] = (text, why)
        if self._form.code == code:
            self._form.refuse(place, why)
        else:
            self._room.news.tell(f"{code}, {NAMES[place].lower()}: not kept. {why}")


def _change(before: Practice, now: Practice, place: str) -> str:
    """What became of a field, in a few words."""
    was, is_now = (", ".join(written(each)[place].splitlines()) for each in (before, now))
    return f"{was or 'nothing'} → {is_now or 'nothing'}."
