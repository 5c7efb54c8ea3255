"""The place itself: what is not finished at the left, the parcel that is being opened or its card at the right."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QSize, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from intake.domain.lab import Lab
from intake.domain.parcels import HARMLESS
from intake.ui.arrivals.choices import Choices
from intake.ui.drops import Drops
from intake.ui.latest import Latest
from intake.ui.parcels import asked
from intake.ui.parcels.acts import Acts
from intake.ui.parcels.card import ParcelCardView
from intake.ui.parcels.deeds import Deeds
from intake.ui.parcels.form import ParcelForm
from intake.ui.parcels.list_view import ParcelList
from intake.ui.parcels.opening import Opening
from intake.ui.parcels.pages import Pages
from intake.ui.parcels.photographing import Photographing
from intake.ui.parcels.single_keys import SingleKeys
from intake.ui.parcels.stop_page import StopPage, to_write_down
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.parcels import ParcelCard
    from intake.domain.scan_codes import ScanCode

EMPTY = (
    "Every parcel is finished. Scan a parcel’s label, then the practice’s own sticker; {keep} keeps the parcel and "
    "opens its case. What has neither a case nor a reason stands here until it has one."
)
OPENING = "The data are still being opened; you can scan already."


class Parcels(QWidget):
    """Parcels.

    Args:
        room: What every place shares.
        lab: The lab setup.
    """

    issued = Signal(object)
    """The documents that were handed to the printer: a tuple of `Issued`."""
    left = Signal()
    """The desk goes back to where it was."""
    case_wanted = Signal(int)
    """The arrival that is to be booked in, in Arrivals."""
    came_back = Signal(object)
    """The keeping of a parcel was taken back: the arrivals that wait no longer."""
    changed = Signal()
    """What waits to be booked in may have changed."""

    def __init__(self, room: Room, lab: Lab) -> None:
        super().__init__()
        self._room, self._lab = room, lab
        self._known, self._cards = Latest(room.jobs), Latest(room.jobs)
        self._parcel_id: int | None = None
        self.list = ParcelList(room.look, OPENING, self)
        self.choices = Choices(room.look, self)
        self.form = ParcelForm(room, lab, self.choices, self)
        self.card, self.stop = ParcelCardView(room, self), StopPage(room, self)
        self.deeds = Deeds(room, lab, self)
        self.opening = Opening(room, self.form, self.deeds, self)
        self._pages = Pages(room, self.list, {"form": self.form, "card": self.card, "stop": self.stop}, self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._pages)
        self.choices.raise_()
        self.photographing = Photographing(room, self)
        self.single_keys = SingleKeys(room, self.form, self)
        self._acts = Acts(room, self)
        self.setAcceptDrops(True)
        Drops(self, self).dropped.connect(self.take_files)
        self._connect()
        self.setFocusProxy(self.form.label.edit)
        self._show_bars()

    @property
    def page(self) -> str:
        """What is shown at the right: `form`, `card` or `stop`."""
        return self._pages.page

    @property
    def shown_card(self) -> "ParcelCard | None":
        """The card that is shown, or whose incident is being written down."""
        return {"card": self.card.card, "stop": self.stop.card}.get(self.page)

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        first, self.deeds.desk = self.deeds.desk is None, desk
        anew = desk.lab.parcels != self._lab.parcels
        self._lab = desk.lab
        self.deeds.set_lab(desk.lab)
        self.form.hygiene.set_caution(desk.lab.parcels.not_disinfected)
        self.list.list.say_when_empty(EMPTY.format(keep=self._room.keys.shown("keep-parcel")))
        if first:
            self.photographing.look_for_a_camera()
        if first or anew:
            self.deeds.run(asked.steps, self.stop.show_steps)
            self.opening.ask_again()
        self.read_again()

    @Slot()
    def read_again(self) -> None:
        """Comes into view: what is shown may have changed meanwhile."""
        if self.deeds.desk is None:
            return
        self._known.ask(partial(asked.known, self.deeds.desk), self._on_known, self.deeds.trouble)
        if self._parcel_id is not None:
            self.show_parcel(self._parcel_id)

    def take_code(self, code: "ScanCode") -> bool:
        """Takes a code that was scanned while the place is in view; False where another place is meant."""
        if code.kind not in ("parcel", "practice"):
            return False
        if self.page == "stop":
            self._room.news.tell("Another parcel: write the incident down first, or leave it with Esc and scan again.")
            return True
        self.to_form()
        if code.kind == "parcel":
            self.opening.take_label(code.value)
        else:
            self.form.scan_practice(code.value)
        return True

    @Slot(object)
    def take_files(self, paths: Sequence[Path]) -> bool:
        """Takes photographs that were dropped; False where there is none among the files."""
        return self.photographing.take(paths)

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self.opening.forget()
        self._known.forget()
        self._cards.forget()

    def begin(self) -> None:
        """Shows the form, for the next parcel."""
        self.to_form()
        self.form.begin()

    @Slot()
    def to_form(self) -> None:
        """Back to the parcel that is being opened, as it was left."""
        self._parcel_id = None
        self._cards.forget()
        self._turn("form")
        self._pages.read(True)
        at = QApplication.focusWidget()
        if at is None or not self.form.isAncestorOf(at):
            self.form.begin()

    @Slot(int)
    def show_parcel(self, parcel_id: int) -> None:
        """Shows the card of a parcel; of one whose incident is not written down, the page for that."""
        self._parcel_id = parcel_id
        if self.deeds.desk is not None:
            work = partial(asked.card, self.deeds.desk, parcel_id)
            self._cards.ask(work, self._on_card, self._on_no_card)

    @Slot()
    def switch(self) -> None:
        """Takes the keys to the list, and back to what is shown of a parcel."""
        if self.list.list.hasFocus():
            self._pages.to_page()
        else:
            self._pages.to_list()

    def to_card(self) -> None:
        """Takes the keys to the card that is shown."""
        self._pages.to_page()

    def _turn(self, page: str) -> None:
        self.choices.hide()
        self._pages.turn(page)
        self._show_bars()

    def _on_known(self, known: asked.Known) -> None:
        self.form.practice.set_practices(known.practices)
        self.list.show_lines(known.parcels)

    def _on_card(self, card: "ParcelCard") -> None:
        if card.parcel_id != self._parcel_id:
            return
        if to_write_down(card):
            self.stop.show_parcel(card)
            self._turn("stop")
        else:
            self.card.show_card(card)
            self._turn("card")

    def _on_no_card(self, problem: Exception) -> None:
        self.to_form()
        self.deeds.trouble(problem)

    @Slot(int)
    def _on_changed(self, parcel_id: int) -> None:
        self.changed.emit()
        if self._parcel_id is None or self._parcel_id == parcel_id:
            self._parcel_id = parcel_id
        self.read_again()

    @Slot(object, str, str)
    def _on_kept(self, kept: asked.Kept, then: str, why: str) -> None:
        opened = kept.opened
        self.changed.emit()
        if then == "refuse":
            self.deeds.refuse_now(opened.parcel_id, why)
        elif then == "case" and opened.arrivals:
            self.case_wanted.emit(opened.arrivals[0])
        elif then == "stop" or (then == "case" and any(thing.kind == "other" for thing in kept.draft.things)):
            self._parcel_id = opened.parcel_id
        self.read_again()

    @Slot(object)
    def _on_came_back(self, arrivals: tuple[int, ...]) -> None:
        self.to_form()
        self.came_back.emit(arrivals)
        self.read_again()

    def _connect(self) -> None:
        self.list.chosen.connect(self.show_parcel)
        self.list.left.connect(self.to_form)
        self.form.changed.connect(self._show_bars)
        self.deeds.changed.connect(self._on_changed)
        self.deeds.issued.connect(self.issued)
        self.opening.kept.connect(self._on_kept)
        self.opening.changed.connect(self._on_changed)
        self.opening.came_back.connect(self._on_came_back)
        self.opening.seen_again.connect(self.list.choose)
        self._room.keys.changed.connect(self._name_keys)
        cast("QApplication", QApplication.instance()).focusChanged.connect(self._on_focus)
        self._name_keys()

    @Slot()
    def _name_keys(self) -> None:
        self.list.name_key(self._room.keys.shown("parcel-list"))

    @Slot("QWidget*", "QWidget*")
    def _on_focus(self, before: QWidget | None, now: QWidget | None) -> None:
        """Wherever the keys go can be seen, also where there is little room."""
        for page in (self.form, self.card, self.stop):
            if now is not None and page.isAncestorOf(now):
                page.ensureWidgetVisible(now)

    @Slot()
    def _show_bars(self) -> None:
        draft, card = self.form.draft, self.card.card
        self._pages.bars["form"].offer(
            {
                "parcel-accept": draft.needs_acceptance,
                "parcel-later": draft.parcel_id is None,
                "parcel-refuse": draft.parcel_id is None,
            }
        )
        if card is not None:
            going = card.state in ("open", "done")
            flawed = any(each not in HARMLESS for each in card.seen)
            self._pages.bars["card"].offer(
                {
                    "parcel-next": going and any(not line.settled and line.arrival_id for line in card.contents),
                    "parcel-why": going and any(not line.settled for line in card.contents),
                    "parcel-disinfect": going,
                    "parcel-accept": going and flawed and not card.accepted_by,
                    "parcel-refuse": going and all(line.case_id is None for line in card.contents),
                    "parcel-change": going,
                    "parcel-go-on": card.state == "stopped",
                }
            )

    def minimumSizeHint(self) -> QSize:
        # By the narrow layout, whichever is in use: a wide one would keep the window from becoming narrow.
        return QSize(self._room.look.px(22), self._room.look.px(14))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and not event.modifiers():
            if self.page != "form":
                self.to_form()
            else:
                self.left.emit()
        elif not (self.page == "form" and self.single_keys.press(event)):
            super().keyPressEvent(event)
