"""The place itself: what was scanned or typed, what becomes of it, and what is seen and heard of that."""

from collections.abc import Callable
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from intake.domain.handing_over import BackFor
from intake.domain.job_number import JobNumber
from intake.domain.lab import Lab
from intake.domain.scan_codes import ScanCode
from intake.errors import IntakeError
from intake.ui.handover.answer_view import Shown
from intake.ui.handover.board import Board
from intake.ui.handover.modes import MODES, REASONS, Mode, Wish
from intake.ui.handover.scans import Scans
from intake.ui.handover.sounds import Sounds
from intake.ui.handover.typed import read_typed
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk

SLOW_MS = 400
"""Scans that have no answer after this long are counted in view."""
CHOOSE = (
    "Hand over is where boxes go to the benches and come back. Scan a bench’s code, or type its number and Enter. Then "
    "scan tickets, one after the other: each is answered here at once, to be seen and heard. {back} brings boxes back."
)
READY = "Scan tickets, one after the other. One beep is a yes, two are a no."
READY_BACK = "Scan the boxes that come back. One beep is a yes, two are a no."
OPENING = "The data are still being opened; scan again in a moment."
TYPE_IT = "Type the question above as it is to be asked, then Enter. Esc leaves it."


class HandOver(QWidget):
    """Hand over.

    Args:
        room: What every place shares.
        lab: The lab setup.
        beep: One short beep.
    """

    issued = Signal(object)
    """The documents that were handed to the printer: a tuple of `Issued`."""
    left = Signal()
    """The desk goes back to where it was."""

    def __init__(self, room: Room, lab: Lab, beep: Callable[[], None] = QApplication.beep) -> None:
        super().__init__()
        self._room = room
        self._mode: Mode = "hand-over"
        self._pending: ScanCode | None = None
        """A box that comes back with a question which is still to be typed."""
        self._yes = self._no = self._waiting = 0
        self.board = Board(room, lab, self)
        self.scans = Scans(room, self)
        self._sounds = Sounds(beep, self)
        self._slow = QTimer(self)
        self._slow.setSingleShot(True)
        self._slow.setInterval(SLOW_MS)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.board)
        self.setFocusProxy(self.board.field)
        self._connect()
        self._begin()

    @property
    def wish(self) -> Wish:
        """What is to be done with the next box."""
        board = self.board
        return Wish(self._mode, board.benches.bench, board.back.back_for, board.back.words)

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self.scans.desk = desk
        self.board.benches.set_benches(tuple(desk.lab.bench_by_name))
        self.read_again()

    def read_again(self) -> None:
        """Counts the boxes of the benches again: other desks work too."""
        self.scans.begin_anew()
        if self.scans.desk is not None:
            self.scans.count()

    def take_code(self, code: ScanCode) -> bool:
        """Takes a code that was scanned while the place is in view; False where another place is meant."""
        if code.kind not in ("ticket", "bench", "box"):
            return False
        if code.kind == "bench":
            self._choose_bench(code.value)
        elif self.scans.desk is None:
            self._room.news.tell(OPENING)
        elif code.kind == "box":
            self.scans.box(int(code.value))
        else:
            self._take_ticket(code)
        return True

    def refuse_code(self, code: str, why: str) -> None:
        """Says no to what was scanned and is no code of the lab. The scanner has beeped once already."""
        self._answer(Shown("no", "NO", code, why, "Look at what was scanned, and scan it again."), beeped=True)

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self.scans.forget()

    def _take_ticket(self, code: ScanCode) -> None:
        wish, number = self.wish, JobNumber(code.value).shown
        if wish.needs_bench:
            way_on = f"Scan its code, or choose it:  {self._room.keys.shown('choose-bench')}"
            self._answer(Shown("no", "NO", number, "No bench is chosen.", way_on.rstrip()))
        elif wish.mode == "back" and wish.back_for == "question" and not wish.words:
            self._pending = code
            self._show(Shown("asks", "WAIT", number, "What is the practice to be asked?", TYPE_IT))
            self._sounds.no()
            self.board.back.edit.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self.scans.ticket(code, wish)

    @Slot()
    def _on_entered(self) -> None:
        field = self.board.field
        text = field.text().strip()
        if not text:
            return
        try:
            code = read_typed(text, self.board.benches.benches)
        except IntakeError as problem:
            self._answer(Shown("no", "NO", text, str(problem)))
            field.selectAll()
            return
        field.clear()
        self.take_code(code)

    @Slot()
    def _on_words(self) -> None:
        """The question is typed: the box that waited for it is brought back."""
        self._to_field()
        code, self._pending = self._pending, None
        if code is not None and self.board.back.words:
            self.take_code(code)

    @Slot()
    def _on_words_left(self) -> None:
        self._pending = None
        self._to_field()

    @Slot(object)
    def _answer(self, shown: Shown, beeped: bool = False) -> None:
        """Shows an answer, and lets it be heard."""
        yes = shown.answer in ("yes", "back")
        self._yes, self._no = self._yes + yes, self._no + (not yes)
        self._show(shown)
        if yes:
            self._sounds.yes()
        else:
            self._sounds.no(beeped)

    @Slot(object)
    def _show(self, shown: Shown) -> None:
        """Shows an answer, on top of the last ones."""
        desk = self.scans.desk
        self.board.show_answer(shown)
        self.board.last.add(shown, desk.now() if desk is not None else datetime.now())
        self._tell_tally()

    @Slot(str)
    def _choose_bench(self, bench: str) -> None:
        """Takes a bench. Whoever scans one while boxes come back hands over from then on."""
        self.board.benches.show_bench(bench)
        self.scans.begin_anew()
        if self._mode == "back":
            self._mode = "hand-over"
        self.board.fold(True)
        self._begin()

    def _choose_mode(self, mode: Mode) -> None:
        self._mode = mode
        self._begin()
        if mode == "back":
            self.board.back.begin()

    def _choose_reason(self, back_for: BackFor) -> None:
        self.board.back.choose(back_for)
        self._choose_mode("back")

    def _begin(self) -> None:
        """Shows what is done from now on."""
        wish, self._pending = self.wish, None
        self.board.show_wish(wish)
        self._to_field()
        choose = CHOOSE.format(back=self._room.keys.shown("bring-boxes-back"))
        ready = READY_BACK if wish.mode == "back" else READY
        shown = Shown("asks", "", "", "", way_on=choose if wish.needs_bench else ready)
        self.board.show_answer(shown, aloud=False)
        self._tell_tally()

    def _to_field(self) -> None:
        if self.isVisible():
            self.board.field.setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot(object)
    def _on_counted(self, counts: dict[str, int]) -> None:
        self.board.benches.show_counts(counts)
        self._tell_tally()

    @Slot(int)
    def _on_waiting(self, waiting: int) -> None:
        self._waiting = waiting
        if not waiting:
            self._slow.stop()
            self._tell_tally()
        elif not self._slow.isActive():
            self._slow.start()

    @Slot()
    def _tell_tally(self) -> None:
        """How many boxes the bench has, and what came of the scans so far."""
        bench, parts = self.board.benches.bench, []
        if bench:
            count = self.board.benches.count_of(bench)
            parts.append(f"{bench} has {count or 'no'} {'box' if count == 1 else 'boxes'}")
        if self._yes or self._no:
            parts.append(f"{self._yes} yes, {self._no} no")
        if self._waiting and not self._slow.isActive():
            parts.append(f"{self._waiting} still to be answered")
        self.board.tally.setText(" · ".join(parts))

    @Slot()
    def _to_benches(self) -> None:
        """Takes the keys to the list of benches; the first of them is offered where none is chosen."""
        benches = self.board.benches
        self.board.fold(False)
        if not benches.bench:
            benches.show_bench(benches.benches[0])
        benches.setFocus(Qt.FocusReason.ShortcutFocusReason)

    @Slot()
    def _from_benches(self) -> None:
        self._choose_bench(self.board.benches.bench)

    @Slot(int)
    def _on_arrows(self, rows: int) -> None:
        benches = self.board.benches
        at = benches.benches.index(benches.bench) + rows if benches.bench else 0
        if 0 <= at < len(benches.benches):
            self._choose_bench(benches.benches[at])

    def _connect(self) -> None:
        board, action = self.board, self._room.keys.action
        for mode, words in MODES.items():
            action(words.action).triggered.connect(partial(self._choose_mode, mode))
            board.modes[mode].clicked.connect(action(words.action).trigger)
        for back_for in REASONS:
            action(f"back-{back_for}").triggered.connect(partial(self._choose_reason, back_for))
        action("choose-bench").triggered.connect(self._to_benches)
        board.field.entered.connect(self._on_entered)
        board.field.moved.connect(self._on_arrows)
        board.field.paged.connect(board.area.page)
        board.back.entered.connect(self._on_words)
        board.back.left.connect(self._on_words_left)
        board.benches.left.connect(self._from_benches)
        board.benches.chosen.connect(self._tell_tally)
        self.scans.answered.connect(self._answer)
        self.scans.told.connect(self._show)
        self.scans.counted.connect(self._on_counted)
        self.scans.undone.connect(board.last.lines.mark_undone)
        self.scans.issued.connect(self.issued)
        self.scans.used.connect(board.back.forget)
        self.scans.waiting_changed.connect(self._on_waiting)
        self._slow.timeout.connect(self._tell_tally)

    def minimumSizeHint(self) -> QSize:
        # By the narrow layout, whichever is in use: a wide one would keep the window from becoming narrow.
        return QSize(self._room.look.px(22), self._room.look.px(14))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() != Qt.Key.Key_Escape or event.modifiers():
            super().keyPressEvent(event)
        elif self.board.field.text():
            self.board.field.clear()
        else:
            self.left.emit()
