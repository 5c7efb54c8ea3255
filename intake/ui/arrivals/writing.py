"""The form that is being written: read and judged at each keystroke."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime

from PySide6.QtCore import QObject, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent

from intake.domain.bench_room import BenchRoom
from intake.domain.case import Case
from intake.domain.form import FormRead, read_form
from intake.domain.form_fields import Said
from intake.domain.form_finishing import finished
from intake.domain.form_lines import appliance_count, line_of, line_place, with_line_after
from intake.domain.form_steps import next_place, place_in_form
from intake.domain.half_typed import HalfTyped
from intake.domain.item_phrases import items_words
from intake.domain.judging import judge
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.verdict import Verdict
from intake.domain.wording import listed
from intake.ui.arrivals.choices import Choice, Choices, practice_choices
from intake.ui.arrivals.field import Field
from intake.ui.arrivals.field_words import field_names
from intake.ui.arrivals.form_view import FIRST, CaseForm
from intake.ui.arrivals.offering import Offering
from intake.ui.arrivals.summary import Summary
from intake.ui.arrivals.verdict_view import VerdictView

PutTo = Callable[[Case], Case]
"""Gives a case with what was seen of its scans."""
NO_APPLIANCE = "Enter at least one appliance; without one there is no box to put the case in."


class Writing(QObject):
    """Reads and judges the form, and leads through it.

    Args:
        form: The fields.
        verdict: Shows the verdict.
        choices: The list under a field.
        summary: Says what keeps the form from being saved.
        lab: The lab setup.
        now: The lab's wall clock.
        parent: The owner.
    """

    changed = Signal()
    """Something was typed, or put in when a field was left."""
    was_read = Signal()
    """The form was read and judged again."""
    at_end = Signal()
    """Enter was pressed where nothing more is asked."""

    def __init__(
        self,
        form: CaseForm,
        verdict: VerdictView,
        choices: Choices,
        summary: Summary,
        lab: Lab,
        now: Callable[[], datetime],
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._form, self._verdict_view, self._summary = form, verdict, summary
        self._offering = Offering(form, choices, self._choices_for, self)
        self._lab = lab
        self.now = now
        self._practices: Sequence[Practice] | None = None
        self._room: BenchRoom | None = None
        self._half = HalfTyped()
        self._as_loaded: dict[str, str] = {}
        self._tried = self._naming = False
        self._before: FormRead | None = None
        self._put_to: PutTo | None = None
        self._items = ""
        self.read: FormRead
        self.verdict: Verdict
        form.keys_first = self._on_key
        form.edited.connect(self._on_edited)
        form.left.connect(self._on_left)
        form.went_on.connect(self.go_on)
        verdict.place_wanted.connect(self.go_to)
        summary.chosen.connect(self.go_to)
        self._offering.taken.connect(self._on_taken)
        self.load(self._half)

    @property
    def half(self) -> HalfTyped:
        """The form as it stands."""
        return replace(self._half, typed=self._form.typed())

    @property
    def is_empty(self) -> bool:
        """Whether nothing is typed and nothing is open."""
        return self._form.is_empty() and self._half.arrival_id is None and self._half.case_id is None

    @property
    def is_changed(self) -> bool:
        """Whether anything was typed since the form was put in."""
        return _said(self._form.typed()) != _said(self._as_loaded)

    def set_practices(self, practices: Sequence[Practice]) -> None:
        """Takes the directory."""
        if practices != self._practices:
            self._practices = practices
            self.refresh()

    def set_lab(self, lab: Lab) -> None:
        """Takes another setup: what is typed is read and judged by it."""
        self._lab, self._before = lab, None
        self.refresh()

    def set_room(self, room: BenchRoom | None) -> None:
        """Takes the days on which the benches are full, for the earliest appointment; None where it ignores them."""
        if room != self._room:
            self._room = room
            self.refresh()

    def load(self, half: HalfTyped, changed: bool = False) -> None:
        """Puts a form in.

        Args:
            half: The form.
            changed: Whether it holds what is kept nowhere else.
        """
        self._half, self._as_loaded, self._tried = half, {} if changed else dict(half.typed), False
        self._naming, self._put_to, self._items = False, None, half.typed.get("items", "")
        self._offering.hide()
        self._summary.hide()
        self._form.begin(half.typed)
        self.refresh()

    def put_scans(self, put_to: PutTo) -> None:
        """Puts what was seen of the scans into the form; nothing where it stands there already.

        What somebody is just writing of the items is left alone until they leave the field, or save.
        """
        self._half, self._put_to = replace(self._half, kept=put_to(self._half.kept or Case())), put_to
        self.refresh()
        if self._form.place != "items" or self._form.field("items").text == self._items:
            self.settle()

    def settle(self) -> None:
        """Puts in what waited until the hands left its field."""
        put_to, typed = self._put_to, self._form.typed()
        if put_to is None or "items" in self.read.wrong:
            return
        self._put_to, self._items = None, items_words(put_to(self.read.case).items, self._lab)
        if typed.get("items", "").strip() == self._as_loaded.get("items", "").strip():
            self._as_loaded = self._as_loaded | {"items": self._items}  # only what somebody wrote is to be kept
        self._form.load(typed | {"items": self._items})
        self.refresh()

    def begin_anew(self) -> None:
        """Empties the form and takes the keys to its first field."""
        self.load(HalfTyped())
        self._form.take_keys(FIRST, at_end=True)

    @Slot()
    def refresh(self) -> None:
        """Reads and judges what is typed, and shows both."""
        typed, now = self._form.typed(), self.now()
        self.read = read_form(typed, self._lab, self._practices, now, self._half.kept, self._before)
        self._before = self.read
        known = self._practices is not None
        self.verdict = judge(self.read.case, self._lab, self.read.ordering, now, directory=known, room=self._room)
        self._form.show_read(self._as_shown(), self._asides(typed))
        places = [place_in_form(self.read, finding.place) for finding in self.verdict.findings]
        self._verdict_view.show_verdict(self.read.case, self.verdict, places, self.read.ordering, now)
        self.was_read.emit()

    def wrong(self) -> list[tuple[str, str, str]]:
        """What keeps the form from being saved: place, name and sentence of each field whose text cannot be read."""
        names = field_names(self._form.places)
        wrong = [(place, names[place], self.read.said[place].text) for place in self.read.wrong]
        if not wrong and not self.read.case.appliances:
            wrong = [(line_place(0), names[line_place(0)], NO_APPLIANCE)]
        return wrong

    def left_open(self, key: str) -> str:
        """What stays open when the form is saved now, in a sentence; `key` saves it."""
        if wrong := self.wrong():
            names = listed([f"“{name}”" for _, name, _ in wrong])
            return f"Not to be saved yet: {names} {'has' if len(wrong) == 1 else 'have'} to be put right first."
        asked = sum(finding.level != "warns" for finding in self.verdict.findings)
        words = {0: "Nothing is missing", 1: "1 question stays open and goes on the query list"}
        said = words.get(asked, f"{asked} questions stay open and go on the query list")
        return f"{said}. {key} saves and prints."

    def refuse(self, wrong: Sequence[tuple[str, str, str]]) -> None:
        """Says what is wrong, beside each field and in the summary, which takes the keys."""
        self._tried = True
        self._form.mark_left(place for place, _, _ in wrong)
        self.refresh()
        self._summary.show_wrong(wrong)

    @Slot(str)
    def go_to(self, place: str) -> None:
        """Takes the keys to a field, behind what is there."""
        self._form.take_keys(place_in_form(self.read, place), at_end=True)

    @Slot(str)
    def go_on(self, place: str) -> None:
        """Goes on from a field to the next that matters."""
        self._finish(place)
        asked = [finding.place for finding in self.verdict.findings if finding.level != "warns"]
        following = next_place(self.read, place, asked)
        if following is None:
            self.at_end.emit()
        else:
            self._form.take_keys(following)

    @Slot()
    def another_appliance(self) -> None:
        """Adds an appliance line behind the one that has the keys, or the last, and goes there."""
        place = self._form.place
        line = line_of(place) if place else None
        typed = self._form.typed()
        after = appliance_count(typed) - 1 if line is None else line
        self._form.load(with_line_after(typed, after))
        self.refresh()
        self._form.take_keys(line_place(after + 1))
        self.changed.emit()

    def _as_shown(self) -> FormRead:
        """The form to show, with what keeps it from being saved once that was tried.

        The fields of an unknown practice do not jump about while its name is being typed.
        """
        read, first = self.read, line_place(0)
        if self._tried and not read.case.appliances and first not in read.said:
            read = replace(read, said={**read.said, first: Said(NO_APPLIANCE, wrong=True)})
        details = {place for place in read.places if place.startswith("practice.")}
        if not self._naming or details <= set(self._form.places):
            return read
        return replace(read, places=tuple(place for place in read.places if place not in details))

    def _asides(self, typed: dict[str, str]) -> dict[str, str]:
        practice = self.read.practice
        if practice is None or typed.get("prescriber") or not practice.prescribers:
            return {}
        return {"prescriber": f"{len(practice.prescribers)} on file, ↓ lists them"}

    @Slot(str)
    def _on_edited(self, place: str) -> None:
        self._naming = place == FIRST
        self.refresh()
        self._offering.offer(self._form.field(place))
        self._summary.setVisible(self._summary.isVisible() and bool(self.wrong()))
        self.changed.emit()

    @Slot(str)
    def _on_taken(self, place: str) -> None:
        self._on_edited(place)
        self._offering.hide()

    @Slot(str)
    def _on_left(self, place: str) -> None:
        if self._form.place != place:
            self._offering.hide()
        self._finish(place)
        self.settle()

    def _finish(self, place: str) -> None:
        """Puts in what the form knows by itself once a field is done."""
        self._naming = False
        typed = self._form.typed()
        whole = finished(typed, place, self.read)
        focused = self._form.place
        self._form.load(whole)
        parted = {line_place(line) for line in range(appliance_count(whole))} if len(whole) > len(typed) else set()
        self._form.mark_left(at for at in {place, *parted} if whole.get(at, "").strip())
        self.refresh()
        if _said(whole) == _said(typed) and len(whole) == len(typed):
            return
        self.changed.emit()
        line, gone = line_of(focused or ""), appliance_count(whole) < appliance_count(typed)
        if focused and gone and line is not None and line > (line_of(place) or 0):
            self._form.take_keys(focused.replace(line_place(line), line_place(line - 1), 1))

    def _choices_for(self, place: str, typing: bool) -> Sequence[Choice]:
        typed = self._form.typed().get(place, "").strip()
        if place == FIRST and self._practices is not None:
            few = typing and len(typed) < 2
            return () if few else practice_choices(typed, self.read.fitting)
        if place == "prescriber" and self.read.practice is not None and not typing:
            return [Choice(name, name, "on file") for name in self.read.practice.prescribers]
        return ()

    def _on_key(self, field: Field, event: QKeyEvent) -> bool:
        """The keys that move through the list under a field."""
        if self._offering.on_key(field, event):
            return True
        if event.key() == Qt.Key.Key_Tab and self._naming and not event.modifiers():
            self._finish(field.place)  # a new practice's fields open: Tab goes to the first of them
        return False


def _said(typed: dict[str, str]) -> dict[str, str]:
    return {place: text.strip() for place, text in typed.items() if text.strip()}
