"""Starts the window: painted first, then ready to type, then with its data."""

import gc
import sys
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from functools import partial
from importlib import import_module
from typing import TYPE_CHECKING, Any, cast

from PySide6.QtCore import QObject, QSettings, Qt, QTimer, Signal, Slot
from PySide6.QtWidgets import QApplication, QWidget

from intake.errors import IntakeError
from intake.ui.jobs import Jobs
from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.places import (
    ARRIVALS,
    DAY,
    FIRST_ASKED,
    HAND_OVER,
    LOOK_UP,
    MADE_BY,
    PARCELS,
    PURPOSES,
    RAIL,
    SETUP,
    WAITING,
)
from intake.ui.room import Room
from intake.ui.window import Place, Window, told

# Everything else is imported behind the painted window: the lab setup brings pydantic, the desk brings the database.
if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.domain.lab import Lab
    from intake.outbox.print_queue import QueueInfo
    from intake.setup.places import DataFolder
    from intake.ui.coming_back import ComingBack
    from intake.ui.lock import Lock
    from intake.ui.outside import Outside
    from intake.ui.scanned import Gun
    from intake.ui.scanner import Scanner
    from intake.ui.setup.watching import SetupWatch
    from intake.ui.ticket_printing import TicketPrinting

OpenDesk = Callable[["DataFolder"], "Desk"]
ReadLab = Callable[["DataFolder"], "Lab | None"]
"""The lab setup; None where there is none yet."""
Queues = Callable[[], "Sequence[QueueInfo]"]

AFTER_MS = 20
"""The form is painted before anything else is begun."""
SLOW_MS = 400
"""After this long the window says that it is opening the data."""


def run_window(folder: "DataFolder", open_desk: OpenDesk, read_lab: ReadLab, queues: Queues) -> int:
    """Shows the window and works until it is closed; gives the exit code.

    Args:
        folder: The lab's folder.
        open_desk: Opens the store and gives the desk; runs on the store's thread.
        read_lab: Reads the lab setup.
        queues: Lists the print queues of this computer, for the first run; runs beside the window.
    """
    app = cast("QApplication", QApplication.instance() or QApplication(sys.argv[:1]))
    app.setApplicationName("Intake")
    start = Start(app, folder, open_desk, read_lab, queues)
    start.window.show()
    try:
        return app.exec()
    finally:
        start.close()


class Start(QObject):
    """Brings the window up step by step, and down again.

    Args:
        app: The application.
        folder: The lab's folder.
        open_desk: Opens the store and gives the desk.
        read_lab: Reads the lab setup.
        queues: Lists the print queues of this computer.
    """

    ready = Signal()
    """The place in view can be typed into, and the verdict follows."""
    opened = Signal(object)
    """The desk: the data are open."""

    def __init__(
        self, app: QApplication, folder: "DataFolder", open_desk: OpenDesk, read_lab: ReadLab, queues: Queues
    ) -> None:
        super().__init__()
        gc.disable()  # a start makes hardly any garbage, and looking for it takes a twentieth of the time
        self._app, self._folder, self._open_desk, self._read_lab, self._queues = (
            app,
            folder,
            open_desk,
            read_lab,
            queues,
        )
        self._settings = QSettings(str(folder.settings), QSettings.Format.IniFormat)
        self._look, self._keys = Look(app, self._settings), Keys(self._settings)
        places = [
            Place(name, words, f"go-{name}", PURPOSES[name], partial(self._make, name)) for name, words in RAIL.items()
        ]
        self.window = Window(places, self._look, self._keys, self._settings)
        self.jobs = Jobs(self._on_failed, self)
        self.room = Room(self._look, self._keys, self.window.news, self.jobs, self.window.memory, self._settings)
        self._lab: Lab | None = None
        self._desk: Desk | None = None
        self._opened_already: Desk | None = None
        self.printing: TicketPrinting | None = None
        self.gun: Gun | None = None
        self.lock: Lock | None = None
        self.places: dict[str, Any] = {}
        self._coming_back: ComingBack | None = None
        self.watch: SetupWatch | None = None
        self.outside: Outside | None = None
        self._leaving = ExitStack()
        self._closed = False
        self._slow = QTimer(self)
        self._slow.setSingleShot(True)
        self._slow.setInterval(SLOW_MS)
        self._slow.timeout.connect(partial(self.window.news.tell, "Opening the data; you can type already …"))
        self.window.painted.connect(self._on_painted, Qt.ConnectionType.QueuedConnection)
        self.window.closing.connect(self.close)

    @Slot()
    def _on_painted(self) -> None:
        """The window is there: whatever else a day needs comes now, what is typed into first."""
        if self._closed:
            return
        from intake.ui.trouble import LastResort

        self._last_resort = LastResort(self._look, self.window)
        self._last_resort.install()
        self._keys.action("open-again").triggered.connect(self._read_setup)
        self._read_setup()

    @Slot()
    def _read_setup(self) -> None:
        self._keys.action("open-again").setEnabled(False)
        try:
            lab = self._lab or self._read_lab(self._folder)
        except IntakeError as problem:
            self._read_from_data(partial(self._not_open, problem))
            return
        self.window.news.settle("open")
        if lab is None:
            self._read_from_data(self._ask_first)
        elif self._lab is None:
            self._begin(lab)
        else:
            self._open()

    def _read_from_data(self, without: Callable[[], None]) -> None:
        """Takes the setup that the data keep, where its file is missing or cannot be used.

        Args:
            without: What is done where they keep none.
        """
        if self._folder.store.exists():
            took = partial(self._on_read_from_data, without)
            self.jobs.run(partial(self._open_desk, self._folder), took, lambda problem: self._not_open(problem))
        else:
            without()

    def _on_read_from_data(self, without: Callable[[], None], desk: "Desk") -> None:
        if self._closed or desk.edition is None:
            desk.store.close()
            if not self._closed:
                without()
            return
        self._opened_already = desk
        self._begin(desk.lab)

    def _ask_first(self) -> None:
        from intake.ui.first_practices import FirstPractices
        from intake.ui.first_run import FirstRun

        page = FirstRun(self.room, self._folder, self._queues)
        first_practices = FirstPractices(self.room, page, self.window)
        first_practices.changed.connect(self._on_directory_changed)
        self.opened.connect(first_practices.take_in)
        page.begun.connect(self._begin)
        self.window.set_place(ARRIVALS, page)
        for name, words in FIRST_ASKED.items():
            self.window.set_place(name, told(words))
        self.window.show_place(ARRIVALS)
        self.ready.emit()

    @Slot(object)
    def _begin(self, lab: "Lab") -> None:
        """Builds the place in view, says so, then everything else."""
        self._lab = lab
        self.window.fill_in_view()
        self.ready.emit()
        QTimer.singleShot(AFTER_MS, self._begin_behind)

    @Slot()
    def _begin_behind(self) -> None:
        gc.freeze()  # what a start leaves stays: to go through all of it takes as long as several look-ups
        gc.enable()
        if self._closed:
            return
        from intake.logs import writing
        from intake.ui.code_sheets import CodeSheets
        from intake.ui.lock import Lock
        from intake.ui.scanned import Gun
        from intake.ui.ticket_printing import TicketPrinting

        self.printing = TicketPrinting(self.room, self.window.desk_line, self.window)
        self.lock = Lock(self._app, self.room, self.window)
        self.lock.signed_in.connect(self._on_signed_in)
        self._open()
        self.window.fill_the_rest()
        self.code_sheets = CodeSheets(self.room, self.window)
        self._connect(self.printing)
        self._leaving.enter_context(writing(self._folder.logs))
        self.gun = Gun(self.room, self.window, self._known_lab, self.places)
        self.gun.start(self._app)

    def _connect(self, printing: "TicketPrinting") -> None:
        from intake.ui.coming_back import ComingBack
        from intake.ui.day.go_there import GoThere
        from intake.ui.outside import Outside
        from intake.ui.parcels.on_to_cases import OnToCases
        from intake.ui.setup.watching import SetupWatch

        arrivals, waiting, look_up = (self.places[name] for name in (ARRIVALS, WAITING, LOOK_UP))
        arrivals.booked.connect(printing.on_booked)
        look_up.issued.connect(printing.on_issued)
        look_up.change_wanted.connect(self._on_change_wanted)
        arrivals.look_up_wanted.connect(self._on_look_up_wanted)
        waiting.issued.connect(printing.on_issued)
        waiting.freed.connect(printing.on_freed)
        for name in (WAITING, LOOK_UP, PARCELS, HAND_OVER, DAY, SETUP):
            self.places[name].left.connect(partial(self.window.show_place, ARRIVALS))
        for name in (PARCELS, HAND_OVER, DAY, SETUP):
            self.places[name].issued.connect(printing.on_issued)
        self.places[SETUP].in_force.connect(self._on_setup_in_force)
        self.places[SETUP].directory_changed.connect(self._on_directory_changed)
        self.places[SETUP].people_changed.connect(self._on_people_changed)
        self.code_sheets.issued.connect(printing.on_issued)
        arrivals.came_back.connect(self._on_came_back)
        printing.desk_changed.connect(self._set_desk)
        self.window.desk_line.initials_changed.connect(self._on_initials)
        self._coming_back = ComingBack(self._app, self.window, arrivals, ARRIVALS)
        self.watch = SetupWatch(self.room, self)
        self.watch.in_force.connect(self._on_setup_in_force)
        self.outside = Outside(self.room, self.window, self._folder, arrivals, waiting, printing)
        self.going = GoThere(self.room, self.window, self.places)
        self.cases = OnToCases(self.room, self.window, self.places[PARCELS], arrivals)
        self.window.place_shown.connect(self._on_place_shown)

    def _make(self, name: str) -> QWidget:
        module, kind = MADE_BY[name]
        self.places[name] = getattr(import_module(module), kind)(self.room, self._known_lab)
        return self.places[name]

    @property
    def scanner(self) -> "Scanner | None":
        """What tells the scanner gun from a typist, once the window is filled."""
        return self.gun.scanner if self.gun is not None else None

    @property
    def _known_lab(self) -> "Lab":
        """The setup, once it is read."""
        assert self._lab is not None, "no place is built before the setup is read"
        return self._lab

    def _open(self) -> None:
        self._slow.start()
        desk, self._opened_already = self._opened_already, None
        opening = partial(self._open_desk, self._folder) if desk is None else lambda: desk
        self.jobs.run(opening, self._on_open, self._not_open)

    def _on_open(self, desk: "Desk") -> None:
        from dataclasses import replace

        self._slow.stop()
        if self._closed:  # the window was closed before the data were open
            self._desk = desk
            return
        initials = self.window.desk_line.initials
        kept = desk.store.kept
        said = f"The data were brought up to date; a copy of them as they were is kept as {kept.name}." if kept else ""
        self.window.news.tell(said)
        self.window.desk_line.show_person(desk.person)
        assert self.lock is not None, "the lock is there before the data are opened"
        if self.lock.needs(desk):
            self._desk = desk  # nothing of a patient is shown before somebody has signed in
        else:
            self._set_desk(replace(desk, person=initials) if initials else desk)
        self.opened.emit(desk)

    @Slot(object)
    def _on_signed_in(self, desk: "Desk") -> None:
        self.window.desk_line.show_signed_in(desk.person)
        self._set_desk(desk)

    @Slot(object)
    def _set_desk(self, desk: "Desk") -> None:
        self._desk, self._lab = desk, desk.lab
        others = self.printing, self.outside, self.gun, self.code_sheets, self.lock, self.watch
        for part in (*self.places.values(), *others):
            part.set_desk(desk)

    def _not_open(self, problem: Exception) -> None:
        """The window stays, with what is wrong and the key that tries again."""
        self._slow.stop()
        if not isinstance(problem, IntakeError):
            raise problem
        action = self._keys.action("open-again")
        action.setEnabled(True)
        self.window.news.tell("")
        self.window.news.trouble(str(problem), "open", action)

    @Slot(str)
    def _on_initials(self, initials: str) -> None:
        from dataclasses import replace

        if self._desk is not None and initials and not self._desk.signed_in:
            self._set_desk(replace(self._desk, person=initials))

    @Slot(object)
    def _on_setup_in_force(self, desk: "Desk") -> None:
        """Another setup is in force: every place reads and shows by it; what is half typed stays."""
        from dataclasses import replace

        if self._desk is not None and not self._closed:
            here = self._desk  # somebody else may be at the desk by now
            self._set_desk(replace(desk, person=here.person, signed_in=here.signed_in, people=here.people))

    @Slot(object)
    def _on_people_changed(self, desk: "Desk") -> None:
        """Others work at the desks: whoever is here may have to sign in now."""
        if self.lock is not None and not self.lock.needs(desk):
            self._set_desk(desk)

    @Slot()
    def _on_directory_changed(self) -> None:
        """Practices came, went or changed: whoever shows them reads them again."""
        if self._desk is not None and not self._closed:
            self._set_desk(self._desk)

    @Slot()
    def _on_came_back(self) -> None:
        """A form that was asked back, from anywhere, is to be seen."""
        if self.window.place != ARRIVALS:
            self.window.show_place(ARRIVALS)

    @Slot(int)
    def _on_change_wanted(self, case_id: int) -> None:
        if self._coming_back is not None:
            self._coming_back.forget()
        self.window.show_place(ARRIVALS)
        self.places[ARRIVALS].open_case(case_id)

    @Slot(str)
    def _on_look_up_wanted(self, digits: str) -> None:
        self.window.show_place(LOOK_UP)
        self.places[LOOK_UP].show_job(digits)

    @Slot(str)
    def _on_place_shown(self, name: str) -> None:
        """In Look up typing begins anew; whom to ring may have changed meanwhile."""
        if name == LOOK_UP:
            self.places[LOOK_UP].begin_anew()
        elif name != ARRIVALS:
            self.places[name].read_again()

    def _on_failed(self, error: Exception) -> None:
        if isinstance(error, IntakeError):
            self.window.news.tell(str(error))
        else:
            self._last_resort.tell(error)

    @Slot()
    def close(self) -> None:
        """Keeps what is half typed, waits for what was asked for, then lets the store go; once."""
        gc.unfreeze()
        gc.enable()
        if self._closed:
            return
        self._closed = True
        for part in (self.printing, self.outside, self.lock, self.watch):
            if part is not None:
                part.stop()
        if self.gun is not None:
            self.gun.stop(self._app)
        for name in self.places:
            if name != ARRIVALS:
                self.places[name].forget()
        if ARRIVALS in self.places:
            self.places[ARRIVALS].flush()
        self.jobs.close()
        if self.outside is not None:
            self.outside.close()
        if self._desk is not None:
            self._desk.store.close()
        self._leaving.close()
