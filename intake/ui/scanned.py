"""The scanner gun at work in the window: what a code is, and which place takes it."""

from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Slot
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication

from intake.domain.job_number import JobNumber
from intake.domain.lab import Lab
from intake.domain.scan_codes import CodeRefused, ScanCode, read_code
from intake.errors import IntakeError
from intake.ui.gun_dialog import GunDialog
from intake.ui.places import HAND_OVER, LOOK_UP, PARCELS, WAITING
from intake.ui.room import Room
from intake.ui.scanner import Scanner
from intake.ui.set_aside import SetAside
from intake.ui.window import Window

if TYPE_CHECKING:
    from intake.desk.desk import Desk

PREFIX = "scanner/prefix"
"""Where the settings keep what the gun sends before each code."""


class Gun(QObject):
    """Takes what the gun sends to where it belongs.

    The place in view is asked first. What it does not want goes to the place that is meant: a ticket and a box to Look
    up, a reply form to Waiting, a bench to Hand over, a practice and a parcel to Parcels. While a dialog is open a code
    is set aside; it is taken when the dialog closes, unless the dialog itself takes codes.

    Args:
        room: What every place shares.
        window: The window.
        lab: The lab setup.
        places: The places by name. One that has `take_code` is asked first while it is in view.
    """

    def __init__(self, room: Room, window: Window, lab: Lab, places: Mapping[str, Any]) -> None:
        super().__init__(window)
        self._room, self._window, self._lab, self._places = room, window, lab, places
        self._desk: Desk | None = None
        self._refused = ""
        prefix = str(room.settings.value(PREFIX, ""))
        self.scanner = Scanner(self._refusal, prefix, parent=self, sound=self._is_sound)
        room.keys.action("scanner-gun").triggered.connect(self._on_set_up)
        self.scanner.scanned.connect(self._on_scanned)
        self.scanner.bad_scan.connect(self._on_bad_scan)
        self._aside = SetAside(self._take, self)

    def start(self, app: QGuiApplication) -> None:
        """Begins to watch the keys."""
        self.scanner.start(app)

    def stop(self, app: QGuiApplication) -> None:
        """Watches no keys any more: the window closes."""
        self.scanner.stop(app)

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self._desk, self._lab = desk, desk.lab

    @Slot()
    def _on_set_up(self) -> None:
        dialog = GunDialog(self.scanner.prefix, self._is_sound, self._room.look, self._window)
        dialog.chosen.connect(self._on_prefix)
        dialog.open()

    @Slot(str)
    def _on_prefix(self, prefix: str) -> None:
        self.scanner.prefix = prefix
        self._room.settings.setValue(PREFIX, prefix)
        sends = f"“{prefix}”" if prefix else "nothing"
        self._room.news.tell(f"The scanner gun is taken to send {sends} before each code from now on.")

    def _read(self, text: str) -> ScanCode:
        """Reads a code; while parcels are opened, what is nothing else is a parcel's label."""
        return read_code(text, self._lab, any_label=self._window.place == PARCELS)

    def _refusal(self, text: str) -> str:
        try:
            self._read(text)
        except CodeRefused as refused:
            return str(refused)
        return ""

    def _is_sound(self, text: str) -> bool:
        try:
            read_code(text, self._lab)
        except CodeRefused:
            return False
        return True

    @Slot(str)
    def _on_scanned(self, text: str) -> None:
        code = self._read(text)
        self._room.news.no_longer(self._refused)
        while (popup := QApplication.activePopupWidget()) is not None and popup.close():
            pass
        dialog = QApplication.activeModalWidget()
        if dialog is None:
            self._take(code)
        elif not _takes(dialog, code):
            said = self._aside.put(dialog, code)
            self._room.news.tell(said)

    @Slot(str, str)
    def _on_bad_scan(self, text: str, why: str) -> None:
        self._refused = f"The scan was not taken. {why}"
        self._room.news.tell(self._refused)
        dialog = QApplication.activeModalWidget()
        if isinstance(dialog, GunDialog):
            dialog.take_refused(text, self._refused)
        elif dialog is not None:
            self._aside.say(dialog, self._refused)
        elif (refuse := getattr(self._places.get(self._window.place), "refuse_code", None)) is not None:
            refuse(text, why)

    def _take(self, code: ScanCode) -> None:
        """Hands a code to the place in view, or to the place that is meant."""
        if QApplication.activeWindow() is not self._window:
            self._window.activateWindow()
        if _takes(self._places.get(self._window.place), code):
            return
        match code.kind:
            case "ticket":
                self._look_up(code.value, code.copy)
            case "reply":
                self._window.show_place(WAITING)
                self._places[WAITING].show_letter(int(code.value))
            case "bench":
                self._take_to(HAND_OVER, code)
            case "practice" | "parcel":
                self._take_to(PARCELS, code)
            case "box":
                self._look_into_box(int(code.value))

    def _take_to(self, place: str, code: ScanCode) -> None:
        self._window.show_place(place)
        if not _takes(self._places[place], code):
            self._room.news.tell(f"{code.words} was scanned, and nothing was done with it.")

    def _look_up(self, digits: str, copy: int | None) -> None:
        number = JobNumber(digits)
        self._window.show_place(LOOK_UP)
        self._places[LOOK_UP].show_scanned(number.shown if copy is None else number.barcode(copy))

    def _look_into_box(self, box: int) -> None:
        if self._desk is None:
            self._room.news.tell("The data are still being opened; scan again in a moment.")
            return
        self._room.jobs.run(partial(_job_in_box, self._desk, box), partial(self._on_box, box), self._not_found)

    def _on_box(self, box: int, number: str | None) -> None:
        if number is None:
            self._room.news.tell(f"Box {box} is free: no job lies in it.")
        else:
            self._room.news.tell(f"Box {box} holds {JobNumber(number).shown}.")
            self._look_up(number, None)

    def _not_found(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))


def _takes(taker: Any, code: ScanCode) -> bool:
    """Whether a place or a dialog takes codes, and took this one."""
    take = getattr(taker, "take_code", None)
    return take is not None and bool(take(code))


def _job_in_box(desk: "Desk", box: int) -> str | None:
    from intake.desk.boxes import job_in_box  # it brings the database with it

    job = job_in_box(desk, box)
    return None if job is None else job.number
