"""The actions of Parcels: the same key does what it says to the parcel in the form, or to the one on the card."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Slot

from intake.domain.parcels import ContentKind
from intake.ui.parcels import asked
from intake.ui.parcels.draft import Draft, Thing
from intake.ui.parcels.things_view import ADDED
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.parcels import ContentLine, ParcelCard
    from intake.ui.parcels.place import Parcels

FIRST_WRITE = "Write down what happened first: until then nothing else is done to this parcel."
NO_CARD = "Choose a parcel in the list first, or keep the one in the form."
NO_CASE = "Nothing of this parcel waits to be booked in."
NOT_GOING = "This parcel is {state}: that cannot be done with it."
STATES = {"refused": "refused", "stopped": "stopped"}


class Acts(QObject):
    """Connects the actions.

    Args:
        room: What every place shares.
        place: The place.
    """

    def __init__(self, room: Room, place: "Parcels") -> None:
        super().__init__(place)
        self._room, self._place = room, place
        for name, act in (
            ("keep-parcel", self._keep),
            ("parcel-later", self._later),
            ("parcel-new", self._new),
            ("parcel-out", self._out),
            ("parcel-by-hand", self._by_hand),
            ("parcel-declared", self._declared),
            ("parcel-disinfect", self._disinfect),
            ("parcel-accept", self._accept),
            ("parcel-refuse", self._refuse),
            ("parcel-change", self._change),
            ("parcel-next", self._next),
            ("parcel-why", self._why),
            ("parcel-go-on", self._go_on),
            ("parcel-list", place.switch),
        ):
            room.keys.action(name).triggered.connect(act)
        for kind in ADDED:
            room.keys.action(f"parcel-{kind}").triggered.connect(partial(self._add, kind))
        place.list.opened.connect(self._open)
        place.card.opened.connect(self._next)
        place.stop.entered.connect(self._write_down)

    @Slot()
    def _keep(self) -> None:
        if self._place.page == "stop":
            self._write_down()
        elif self._place.page == "card":
            self._next()
        else:
            self._place.opening.keep("case")

    @Slot()
    def _later(self) -> None:
        if self._on_form:
            self._place.opening.keep("later")

    @Slot()
    def _new(self) -> None:
        if self._place.page == "form":
            self._place.opening.new()
        self._place.begin()

    @Slot()
    def _write_down(self) -> None:
        stop, card = self._place.stop, self._place.stop.card
        if card is None or stop.refuse():
            return
        incident = stop.incident
        work = partial(
            asked.enter_incident,
            parcel_id=card.parcel_id,
            said=stop.said,
            incident_id=incident.incident_id if incident is not None else None,
        )
        self._place.deeds.run(work, partial(self._on_written, card, bool(stop.said.done and stop.said.told)))

    def _on_written(self, card: "ParcelCard", closed: bool, _: None) -> None:
        still = "It stays open until it is said what was done and who was told."
        self._room.news.tell(f"The incident is written down. {'' if closed else still}".rstrip())
        self._place.deeds.changed.emit(card.parcel_id)

    def _add(self, kind: ContentKind, _: bool = False) -> None:
        if self._on_form and self._place.form.draft.parcel_id is None:
            if kind == "danger":
                self._place.opening.stop()
            else:
                self._place.opening.add(kind)
        elif (card := self._standing()) is not None:
            self._place.deeds.add(card, Thing(kind))

    @Slot()
    def _out(self) -> None:
        if self._on_form:
            self._room.news.tell(f"Taken out: {self._place.form.things.take_out().lower()}.")
        elif (card := self._standing()) is not None:
            self._place.deeds.take_out(card, self._place.card.chosen)

    @Slot()
    def _by_hand(self) -> None:
        if self._on_form:
            self._place.form.by_hand.click()

    @Slot()
    def _declared(self) -> None:
        if self._on_form:
            self._place.form.hygiene.toggle_declared()
        else:
            self._room.news.tell("What is declared of a parcel that is kept is corrected by changing it.")

    @Slot()
    def _disinfect(self) -> None:
        if self._on_form:
            self._room.news.tell("Keep the parcel first; then enter the disinfection on its card.")
        elif (card := self._standing()) is not None:
            self._place.deeds.disinfect(card)

    @Slot()
    def _accept(self) -> None:
        desk = self._place.deeds.desk
        by = desk.person if desk is not None else ""
        if self._on_form:
            if not self._place.form.accept(by):
                self._room.news.tell("Nothing was seen that somebody would have to accept.")
        elif (card := self._standing()) is not None:
            self._place.deeds.accept(card, by)

    @Slot()
    def _refuse(self) -> None:
        if self._on_form and self._place.form.draft.parcel_id is None:
            if self._place.form.draft.is_empty:
                self._room.news.tell("There is nothing to refuse yet: scan its label or the practice’s sticker first.")
            else:
                keep = partial(self._place.opening.keep, "refuse")
                self._place.deeds.ask_refusal("This parcel", keep)
        elif (card := self._standing()) is not None:
            shown = card.label or "This parcel"
            self._place.deeds.ask_refusal(shown, partial(self._place.deeds.refuse_now, card.parcel_id))

    @Slot()
    def _change(self) -> None:
        card = self._standing()
        if card is not None:
            self._place.to_form()
            self._place.opening.put_in(_draft_of(card))
            self._place.begin()

    @Slot()
    def _next(self) -> None:
        """The case that is chosen on the card, or the next one of it; from the form, of the parcel in the list."""
        if self._place.page == "stop":
            self._room.news.tell(FIRST_WRITE)
            return
        line, card = self._place.list.current, self._place.shown_card
        chosen = self._place.card.chosen if card is not None else None
        if chosen is not None and _waits(chosen) and chosen.arrival_id is not None:
            self._place.case_wanted.emit(chosen.arrival_id)
            return
        waits = [each.arrival_id for each in card.contents if _waits(each)] if card is not None else []
        if card is None and line is not None:
            waits = list(line.arrivals)
        if waits and waits[0] is not None:
            self._place.case_wanted.emit(waits[0])
        else:
            self._room.news.tell(NO_CASE)

    @Slot(int)
    def _open(self, parcel_id: int) -> None:
        """Enter in the list: its card."""
        self._place.show_parcel(parcel_id)
        self._place.to_card()

    @Slot()
    def _why(self) -> None:
        if (card := self._standing()) is not None:
            self._place.deeds.say_why(card, self._place.card.chosen)

    @Slot()
    def _go_on(self) -> None:
        card = self._place.shown_card
        if self._place.page == "stop":
            self._room.news.tell(FIRST_WRITE)
        elif card is None:
            self._room.news.tell(NO_CARD)
        else:
            self._place.deeds.go_on(card)

    @property
    def _on_form(self) -> bool:
        return self._place.page == "form"

    def _standing(self) -> "ParcelCard | None":
        """The parcel on the card, if something can be done with it; says why not otherwise."""
        card = self._place.shown_card
        if self._place.page == "stop":
            self._room.news.tell(FIRST_WRITE)
        elif card is None:
            self._room.news.tell(NO_CARD)
        elif card.state in STATES:
            self._room.news.tell(NOT_GOING.format(state=STATES[card.state]))
        else:
            return card
        return None


def _waits(line: "ContentLine") -> bool:
    return not line.settled and line.arrival_id is not None


def _draft_of(card: "ParcelCard") -> Draft:
    """What is said of a parcel, as the form has it."""
    return Draft(
        label=card.label,
        by_hand=card.way == "by-hand",
        practice=card.practice_code or card.practice,
        hygiene=card.hygiene,
        seen=card.seen,
        note=card.note,
        accepted_by=card.accepted_by,
        parcel_id=card.parcel_id,
        version=card.version,
    )
