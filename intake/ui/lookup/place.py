"""The place itself: a field, what was found, and the card of the job that is chosen."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QGridLayout,
    QHBoxLayout,
    QMenu,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from intake.domain.job_number import JobNumber, read_barcode
from intake.domain.lab import Lab
from intake.errors import IntakeError
from intake.ui.help_panel import set_help
from intake.ui.latest import Latest
from intake.ui.lookup import asked
from intake.ui.lookup.card import CardView
from intake.ui.lookup.deeds import Deeds
from intake.ui.lookup.results import Results
from intake.ui.lookup.search_field import SearchField
from intake.ui.plain import Words, button_words
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.look_up import Card, Found, Looked
    from intake.domain.scan_codes import ScanCode

NARROW = 58
"""Below this width, in heights of text, list and card take turns."""
EMPTY = (
    "Have we got it, and when does it go back? Type a number or the last three digits of one, a practice, a patient, "
    "a reference, a parcel’s label; what is made, “late”, “held”, “last week”, “at casting”: as it comes, and a few "
    "letters of each are enough. Or scan a ticket, from anywhere in the window."
)
NO_CARD = "The job that is chosen on the left is shown here, with the answer for the telephone."
HELP = (
    "Anything as it comes: a job number or its last digits, a practice, a prescriber, a patient’s label, the name on "
    "the bag, a reference, a parcel’s label; whitening, splint; held, clear, late, open, finished; today, last week, "
    "12 nov, leaves tomorrow; at casting; post, scan. A few letters of each are enough, and a slip does no harm. "
    "Up and Down choose, Page Up and Page Down turn the card, Esc goes back to the form."
)
BUTTONS = {"reprint": "Print again", "change-case": "Change", "letter-now": "Letter now", "withdraw": "Withdraw"}
FURTHER = ("send-back", "split-off", "merge", "remake")
"""What seldom becomes of a case, in the menu of one button."""
OF_SCANS = {"look-at-case-scans": "Look at the scans", "ticket-with-pictures": "Ticket with pictures"}
"""On the card of a case that has scans."""


class LookUp(QWidget):
    """Look up.

    Args:
        room: What every place shares.
        lab: The lab setup.
    """

    change_wanted = Signal(int)
    """The case that is to be changed in Arrivals."""
    issued = Signal(object)
    """The tickets and letters that were handed to the printer: a tuple of `Issued`."""
    left = Signal()
    """The desk goes back to where it was."""

    def __init__(self, room: Room, lab: Lab) -> None:
        super().__init__()
        self._room, self._lab = room, lab
        self._desk: Desk | None = None
        self._searches, self._cards = Latest(room.jobs), Latest(room.jobs)
        self._copy: int | None = None
        self._reading = False
        self._was_scanned = False
        self._scanned_copy: int | None = None
        self._deeds = Deeds(room, self)
        self.field = SearchField(self)
        self.results = Results(room.look, EMPTY, self)
        self.understood = Words(ink="quiet", size="small", wraps=True, parent=self)
        """How what was typed was understood."""
        self.card = CardView(room.look, NO_CARD, self)
        self._lay_out()
        self._connect()

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open; what was typed before is looked up now."""
        self._desk = self._deeds.desk = desk
        self._look(self.field.text())

    def show_scanned(self, code: str) -> None:
        """Shows the job of a scanned ticket; a sound code that no job here has is said with a beep."""
        scanned = read_barcode(code)
        self._was_scanned, self._scanned_copy = True, scanned.copy
        self._searches.forget()
        self.field.setText(scanned.number.shown)
        self.field.selectAll()
        self._looked_again(scanned.number.digits, scanned.copy, self._not_here)

    def show_job(self, digits: str) -> None:
        """Shows a job that was asked for by its number elsewhere in the window."""
        self._was_scanned, self._scanned_copy = True, None
        self._searches.forget()
        self.field.setText(JobNumber(digits).shown)
        self.field.selectAll()
        self._looked_again(digits, None, self._not_here)

    def take_code(self, code: "ScanCode") -> bool:
        """Shows what a scanned code belongs to; False for a code that nothing is looked up by."""
        match code.kind:
            case "ticket":
                self.show_job(code.value)
                self._scanned_copy = code.copy
                self._looked_again(code.value, code.copy, self._not_here)
            case "box":
                self._find_box(int(code.value))
            case "parcel" | "practice" | "bench":
                self.field.setText(f"at {code.value}" if code.kind == "bench" else code.value)
                self.field.selectAll()
                self._on_typed(self.field.text())
            case _:
                return False
        return True

    def _find_box(self, number: int) -> None:
        if self._desk is None:
            self._room.news.tell("The data are still being opened; scan again in a moment.")
            return
        work = partial(asked.in_box, self._desk, number)
        self._searches.ask(work, partial(self._on_in_box, number), self._deeds.trouble)

    def _on_in_box(self, number: int, job: str | None) -> None:
        if job is None:
            self._room.news.tell(f"Nothing lies in box {number}.")
        else:
            self.show_job(job)

    def begin_anew(self) -> None:
        """Marks what was looked up before, so that typing takes its place, and reads it again: it may have changed."""
        self.field.selectAll()
        if self._desk is None or self._deeds.card is None:
            return
        number = self._deeds.card.job.number
        if self._was_scanned:
            self._looked_again(number, self._scanned_copy, self._deeds.trouble)
        else:
            again = partial(self._on_looked, chosen=number)
            self._searches.ask(partial(asked.look, self._desk, self.field.text()), again, self._deeds.trouble)

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._searches.forget()
        self._cards.forget()
        self._deeds.forget()

    @Slot(str)
    def _on_typed(self, words: str) -> None:
        self._was_scanned = False
        self._read(False)
        self._look(words)

    @Slot()
    def _on_entered(self) -> None:
        """Enter turns to the card; the keys stay in the field, from which the card is scrolled."""
        if self._deeds.card is not None:
            self._read(True)

    def _look(self, words: str) -> None:
        if self._desk is None:
            self.results.show_found((), "The data are still being opened; what you type is looked up then.")
            return
        if not words.strip():
            self._searches.forget()
            self._say("")
            self._show_none(EMPTY)
            return
        self._searches.ask(partial(asked.look, self._desk, words), self._on_looked, self._deeds.trouble)

    def _on_looked(self, looked: "Looked", chosen: str = "") -> None:
        self._copy = looked.copy
        self._say(looked.understood or (looked.said if looked.near else ""))
        if not looked.found:
            # What is near a mistyped number is another job: nobody reads it aloud without having chosen it.
            self._show_none(looked.said)
        found = (*looked.found, *looked.near)
        if found:
            self.results.show_found(found, looked.said, chosen, choose=not looked.said)

    def _say(self, line: str) -> None:
        self.understood.setText(line)
        self.understood.setVisible(bool(line))
        self.results.setAccessibleDescription(line)

    def _show_none(self, said: str) -> None:
        self.results.show_found((), said)
        self._cards.forget()
        self._deeds.card = None
        self.card.clear()

    @Slot(object)
    def _on_chosen(self, found: "Found") -> None:
        copy, self._copy = self._copy, None
        if self._desk is not None:
            self._cards.ask(partial(asked.card, self._desk, found.number, copy), self._on_card, self._deeds.trouble)

    def _on_card(self, card: "Card") -> None:
        self._deeds.card = card
        for name in OF_SCANS:
            self._buttons[name].setVisible(card.has_scans)
        self.card.show_card(card)

    def _looked_again(self, digits: str, copy: int | None, failed: Callable[[Exception], None]) -> None:
        """Shows one job, and it alone in the list."""
        if self._desk is None:
            self._room.news.tell("The data are still being opened; scan again in a moment.")
            return
        self._searches.ask(partial(asked.one, self._desk, digits, copy), self._on_one, failed)

    def _on_one(self, one: "tuple[tuple[Found, ...], Card]") -> None:
        found, card = one
        self._say("")
        self.results.blockSignals(True)
        self.results.show_found(found)
        self.results.blockSignals(False)
        self._read(True)
        self._cards.forget()
        self._on_card(card)

    def _not_here(self, problem: Exception) -> None:
        QApplication.beep()
        self._deeds.trouble(problem)
        if isinstance(problem, IntakeError):
            self._show_none(str(problem))

    @Slot()
    def _refresh(self) -> None:
        if self._deeds.card is not None:
            self._looked_again(self._deeds.card.job.number, None, self._deeds.trouble)

    def _connect(self) -> None:
        self.field.textEdited.connect(self._on_typed)
        self.field.moved.connect(self.results.move)
        self.field.paged.connect(self.card.scroll_page)
        self.field.entered.connect(self._on_entered)
        self.results.chosen.connect(self._on_chosen)
        self.results.activated.connect(self._on_entered)
        keys = self._room.keys
        for name, button in self._buttons.items():
            button.clicked.connect(keys.action(name).trigger)
        self._deeds.change_wanted.connect(self.change_wanted)
        self._deeds.issued.connect(self.issued)
        self._deeds.done.connect(self._refresh)
        keys.changed.connect(self._label_buttons)
        self._room.look.changed.connect(self._fit)

    def _lay_out(self) -> None:
        self.setFocusProxy(self.field)
        self._label = Words("&Number, practice, patient or reference", ink="quiet")
        self._label.setBuddy(self.field)
        self.field.setAccessibleName("Number, practice, patient or reference")
        set_help(self.field, HELP)
        self._buttons = {name: QPushButton(self) for name in BUTTONS | OF_SCANS}
        self._further = QPushButton("&Further", self)
        menu = QMenu(self._further)
        for name in FURTHER:
            menu.addAction(self._room.keys.action(name))
        self._further.setMenu(menu)
        self._hint = Words(size="small", ink="quiet")
        asked = QVBoxLayout()
        asked.setSpacing(4)
        asked.addWidget(self._label)
        asked.addWidget(self.field)
        self._above, self._between, self._below = QGridLayout(), QGridLayout(), QGridLayout()
        self._top = QHBoxLayout()
        self._top.addLayout(asked)
        self._top.addWidget(self._hint, 0, Qt.AlignmentFlag.AlignBottom)
        self._top.addStretch(1)
        self._top.addLayout(self._above)
        self._split = QSplitter(self)
        self._split.setChildrenCollapsible(False)
        self._split.addWidget(self.results)
        self._split.addWidget(self.card)
        self._split.setStretchFactor(1, 1)
        for name in OF_SCANS:
            self.card.answered.addWidget(self._buttons[name], 0, Qt.AlignmentFlag.AlignLeft)
        self.card.answered.addStretch(1)
        self.card.foot.addLayout(self._below)
        self._column = QVBoxLayout(self)
        self._column.addLayout(self._top)
        self._column.addLayout(self._between)
        self._between.setColumnStretch(len(BUTTONS) + 1, 1)
        self.understood.setAccessibleName("Understood as")
        self.understood.hide()
        self._column.addWidget(self.understood)
        self._column.addWidget(self._split, 1)
        self._label_buttons()
        self._fit()
        self._split.setSizes([self._room.look.px(25), self._room.look.px(50)])
        self._room.memory.keep(self._split, "look-up")

    @Slot()
    def _label_buttons(self) -> None:
        for name, button in self._buttons.items():
            words = (BUTTONS | OF_SCANS)[name]
            button.setText(button_words(f"{words}  {self._room.keys.shown(name)}".rstrip()))

    @property
    def _narrow(self) -> bool:
        """Whether list and card take turns."""
        return self.width() < self._room.look.px(NARROW)

    @Slot()
    def _fit(self) -> None:
        """Where there is room, list and card side by side; else the list folds away while a card is read."""
        px, narrow = self._room.look.px, self._narrow
        self.field.setFixedWidth(px(25)) if not narrow else self.field.setMaximumWidth(16_777_215)
        self.results.setVisible(not narrow or not self._reading)
        self.card.setVisible(not narrow or self._reading)
        buttons = (*(self._buttons[name] for name in BUTTONS), self._further)
        needed = sum(button.sizeHint().width() + px(0.5) for button in buttons) + px(29)
        for at, button in enumerate(buttons):
            if narrow:
                self._below.addWidget(button, at // 2, at % 2)
            elif needed <= self.width():
                self._above.addWidget(button, 0, at, Qt.AlignmentFlag.AlignBottom)
            else:
                self._between.addWidget(button, 0, at, Qt.AlignmentFlag.AlignLeft)
        self._hint.setVisible(narrow)
        self._hint.setText("Esc turns to the list" if self._reading else "Enter turns to the card")
        self._column.setContentsMargins(px(1), px(0.8), px(1), px(0.8))
        self._column.setSpacing(px(0.6))
        self._top.setSpacing(px(1))
        self._column.activate()  # a page of the card is as high now as it is when the next key turns it

    def _read(self, reading: bool) -> None:
        """Turns to the card, or back to the list, where only one of them has room."""
        self._reading = reading
        self._fit()

    def minimumSizeHint(self) -> QSize:
        # By the narrow layout, whichever is in use: a wide one would keep the window from becoming narrow.
        return QSize(self._room.look.px(22), self._room.look.px(14))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and not event.modifiers():
            if self._narrow and self._reading and not self._was_scanned:
                self._read(False)
            else:
                self.left.emit()
            return
        super().keyPressEvent(event)
