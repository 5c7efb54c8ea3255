"""The place itself: three pages by keys, the day, the load of the benches and what is to be poured."""

from datetime import date, timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFileDialog, QPushButton, QStackedWidget, QVBoxLayout, QWidget

from intake.domain.lab import Lab
from intake.errors import IntakeError
from intake.ui.day import asked
from intake.ui.day.closing_up import ClosingUp
from intake.ui.day.closing_view import ClosingView
from intake.ui.day.load_view import LoadView
from intake.ui.day.pour_view import PourView
from intake.ui.day.today_view import TodayView
from intake.ui.latest import Latest
from intake.ui.plain import button_words, restyle, set_edge
from intake.ui.room import Room
from intake.ui.waiting.flow import Flow

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.issue import Issued
    from intake.domain.scan_codes import ScanCode

EVERY_MS = 30_000
"""So often the day is counted again while it is in view: other desks work too."""
PAGES = {"day-today": "Today", "day-load": "Bench load", "day-pour": "To pour"}
OPENING = "The data are still being opened. Try again in a moment."


class Day(QWidget):
    """The day.

    Args:
        room: What every place shares.
        lab: The lab setup.
    """

    issued = Signal(object)
    """The documents that were handed to the printer: a tuple of `Issued`."""
    left = Signal()
    """The desk goes back to where it was."""
    go = Signal(object)
    """Another place is to show something: a `Go` of the desk's evening."""

    def __init__(self, room: Room, lab: Lab) -> None:
        super().__init__()
        self._room, self._lab = room, lab
        self._desk: Desk | None = None
        self._day: date | None = None
        self._sheets = Latest(room.jobs)
        self.today, self.closing = TodayView(room, self), ClosingView(room, self)
        self._up = ClosingUp(room, self.closing)
        self.load, self.pour = LoadView(room), PourView(room)
        self._timer = QTimer(self)
        self._timer.setInterval(EVERY_MS)
        self._lay_out()
        self._connect()
        self._show_page(self.today)

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self._desk = desk
        for view in (self.load, self.pour):
            view.set_desk(desk)
        if self.isVisible():
            self.read_again()

    @Slot()
    def read_again(self) -> None:
        """Comes into view: what is shown may have changed meanwhile."""
        page = self.pages.currentWidget()
        if page in (self.load, self.pour):
            page.read_again()
        elif self._desk is not None:
            self._sheets.ask(partial(asked.sheet, self._desk, self._day), self.today.show_sheet, self._trouble)
            if page is self.closing:
                self._up.read_again()

    def take_code(self, code: "ScanCode") -> bool:
        """Takes a code that was scanned while the place is in view; False: another place is meant."""
        return False

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._timer.stop()
        self._sheets.forget()
        self._up.forget()
        self.load.forget()
        self.pour.forget()

    @Slot()
    def close_day(self) -> None:
        """Begins to close the day that is shown; at the end of the way through what is left over, closes it."""
        if self.pages.currentWidget() is self.closing:
            self._up.go_on()
        elif self._ready:
            self._up.begin(self._at_work, self._shown_day, self.today.shown.title if self.today.shown else "")

    @property
    def _shown_day(self) -> date:
        assert self.today.shown is not None, "a day is shown before anything is done with it"
        return self.today.shown.day

    @Slot()
    def _leave_closing(self) -> None:
        self._show_page(self.today)
        self.read_again()

    @Slot()
    def print_sheet(self) -> None:
        """Prints the sheet of the day that is shown."""
        if self._ready:
            work = partial(asked.print_sheet, self._at_work, self._shown_day)
            self._room.jobs.run(work, self._on_printed, self._trouble, lane="beside")

    def _on_printed(self, issued: "tuple[Issued, ...]") -> None:
        self.issued.emit(issued)

    @Slot()
    def keep_sheet(self) -> None:
        """Keeps the sheet of the day that is shown as a PDF, where a person says."""
        if not self._ready:
            return
        dialog = QFileDialog(self, "Keep the day sheet", str(Path.home()), "PDF (*.pdf)")
        dialog.setOption(QFileDialog.Option.DontUseNativeDialog)
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setDefaultSuffix("pdf")
        dialog.selectFile(f"Day sheet {self._shown_day.isoformat()}.pdf")
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.fileSelected.connect(self._keep_sheet_as)
        dialog.open()

    @Slot(str)
    def _keep_sheet_as(self, file: str) -> None:
        work = partial(asked.keep_sheet, self._at_work, self._shown_day, Path(file))
        self._room.jobs.run(work, self._room.news.tell, self._trouble)

    @Slot(object)
    def show_day(self, day: date | None) -> None:
        """Shows another day; today without one."""
        self._day = day
        self._show_page(self.today)
        self.read_again()

    def _move_day(self, days: int) -> None:
        if self.today.shown is not None:
            self.show_day(self.today.shown.day + timedelta(days=days))

    @Slot()
    def _ask_day(self) -> None:
        self._show_page(self.today)
        self.today.ask_day()

    @property
    def _ready(self) -> bool:
        if self._desk is None or self.today.shown is None:
            self._room.news.tell(OPENING)
            return False
        return True

    @property
    def _at_work(self) -> "Desk":
        assert self._desk is not None, "nothing is done with a day before there is a desk"
        return self._desk

    def _trouble(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    @Slot(str)
    def _on_job_wanted(self, number: str) -> None:
        from intake.desk.evening import Go  # it brings the database with it, which is open by now

        self.go.emit(Go("look-up", number))

    @Slot()
    def _go_there(self) -> None:
        if self.pages.currentWidget() is self.closing:
            self.closing.go_there()
        elif self.pages.currentWidget() is self.today:
            line = self.today.things.chosen
            if line is not None and line.go is not None:
                self.go.emit(line.go)

    @Slot()
    def _same_reason(self) -> None:
        if self.pages.currentWidget() is self.closing:
            self.closing.same_for_all()

    def _show_page(self, page: QWidget) -> None:
        self.pages.setCurrentWidget(page)
        shown = self.today if page is self.closing else page
        for name, button in self.tabs.items():
            button.setProperty("picked", self._views[name] is shown)
            restyle(button)
        self.setFocusProxy(page)
        if self.isVisible():
            page.setFocus(Qt.FocusReason.OtherFocusReason)

    def _turn_to(self, name: str) -> None:
        self._show_page(self._views[name])
        self.read_again()

    def _lay_out(self) -> None:
        self.pages = QStackedWidget(self)
        self._views = {"day-today": self.today, "day-load": self.load, "day-pour": self.pour}
        for view in (*self._views.values(), self.closing):
            self.pages.addWidget(view)
        self.tabs = {name: QPushButton(self) for name in PAGES}
        head = QWidget(self)
        set_edge(head, "bottom")
        self._row = Flow()
        for button in self.tabs.values():
            self._row.addWidget(button)
        self._head = QVBoxLayout(head)
        self._head.addLayout(self._row)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(head)
        column.addWidget(self.pages, 1)
        self._label()
        self._fit()

    def _connect(self) -> None:
        action, keys = self._room.keys.action, self._room.keys
        for name, button in self.tabs.items():
            button.clicked.connect(action(name).trigger)
            action(name).triggered.connect(partial(self._turn_to, name))
        action("day-print").triggered.connect(self.print_sheet)
        action("day-pdf").triggered.connect(self.keep_sheet)
        action("day-other").triggered.connect(self._ask_day)
        action("day-before").triggered.connect(partial(self._move_day, -1))
        action("day-after").triggered.connect(partial(self._move_day, 1))
        action("close-day").triggered.connect(self.close_day)
        action("day-go").triggered.connect(self._go_there)
        action("day-same-reason").triggered.connect(self._same_reason)
        self.today.go.connect(self.go)
        self.today.day_wanted.connect(self.show_day)
        self.closing.go.connect(self.go)
        self._up.begun.connect(partial(self._show_page, self.closing))
        self._up.closed.connect(self.read_again)
        self._up.ended.connect(self._leave_closing)
        self.load.job_wanted.connect(self._on_job_wanted)
        self.load.issued.connect(self.issued)
        self.pour.issued.connect(self.issued)
        self._timer.timeout.connect(self._on_time)
        self._timer.start()
        keys.changed.connect(self._label)
        self._room.look.changed.connect(self._fit)

    @Slot()
    def _on_time(self) -> None:
        """While the day is in view it is counted again; a walk through what is left over is left in peace."""
        if self.isVisible() and self.pages.currentWidget() is not self.closing:
            self.read_again()

    @Slot()
    def _label(self) -> None:
        for name, button in self.tabs.items():
            button.setText(button_words(f"{PAGES[name]}  {self._room.keys.shown(name)}".rstrip()))

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._head.setContentsMargins(px(1), px(0.4), px(1), px(0.4))
        self._row.setSpacing(px(0.4))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._room.look.px(22), self._room.look.px(16))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and not event.modifiers():
            self.left.emit()
            return
        super().keyPressEvent(event)
