"""The scans of the arrival that is in the form: shown above it, put into it, and chosen by keys."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QWidget

from intake.errors import IntakeError
from intake.ui.arrivals.writing import Writing
from intake.ui.room import Room
from intake.ui.scans import asked
from intake.ui.scans.strip import ScanStrip
from intake.ui.scans.telling import scan_words

if TYPE_CHECKING:
    from collections.abc import Collection

    from intake.desk.desk import Desk
    from intake.desk.scan_panel import ScanPanel, ScanShown
    from intake.domain.scan_figures import JawKind
    from intake.ui.scans.looking import Looking

NO_SCAN = "No scan is shown: open an arrival that brought one."
NONE_CHOSEN = "No scan is chosen: take one of them first."
STILL_CHECKED = "This scan is still being checked; its unit can be chosen in a moment."
UNIT_KNOWN = "The unit of this scan is known."
JAWS: dict["JawKind", str] = {"upper": "the upper", "lower": "the lower", "bite": "a bite"}


class Scanning(QObject):
    """Keeps the strip of scans and the form in step.

    Args:
        room: What every place shares.
        writing: The form.
        strip: Shows the scans.
        parent: The owner, over which a scan is looked at.
    """

    chosen = Signal()
    """Something was chosen of a scan: what waits may be judged otherwise now."""
    to_measure = Signal(int)
    """How the arches of an arrival stand may not be known as they are now."""

    def __init__(self, room: Room, writing: Writing, strip: ScanStrip, parent: QWidget) -> None:
        super().__init__(parent)
        self._room, self._writing, self.strip, self._over = room, writing, strip, parent
        self._desk: Desk | None = None
        self._arrival_id: int | None = None
        self.looking: Looking | None = None
        action = room.keys.action
        for jaw in JAWS:
            action(f"scan-{jaw}").triggered.connect(partial(self._choose_jaw, jaw))
        action("scan-unit").triggered.connect(self._choose_unit)
        action("next-scan").triggered.connect(self._next_scan)
        action("look-at-scans").triggered.connect(self._look_closer)
        strip.opened.connect(self._look_closer)

    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self._desk = desk
        self._read()

    def show_arrival(self, arrival_id: int | None) -> None:
        """Shows the scans of an arrival; None shows none."""
        if arrival_id != self._arrival_id:
            self.strip.show_panel(None)
        self._arrival_id = arrival_id
        self._read()
        if arrival_id is not None:
            self.to_measure.emit(arrival_id)

    @Slot(object)
    def on_checked(self, arrival_ids: "Collection[int]") -> None:
        """Shows what was found, where it is about what is in the form."""
        if self._arrival_id in arrival_ids:
            self._read()

    def forget(self) -> None:
        """Lets the desk go: the window closes."""
        self._desk = None
        if self.looking is not None:
            self.looking.reject()

    def _read(self) -> None:
        if self._desk is not None and self._arrival_id is not None:
            self._room.jobs.run(partial(asked.panel, self._desk, self._arrival_id), self._on_panel, self._on_failed)

    def _on_panel(self, panel: "ScanPanel") -> None:
        if panel.arrival_id != self._arrival_id:
            return
        self.strip.show_panel(panel)
        if self.looking is not None:
            self.looking.show_panel(panel)
        if panel.shown:
            self._writing.put_scans(panel.scans.put_to)

    def _current(self) -> "ScanShown | None":
        """The scan that the keys are about; says so where there is none."""
        scan = self.looking.current if self.looking is not None else self.strip.current
        if scan is None:
            self._tell(NONE_CHOSEN if self.strip.current is not None else NO_SCAN)
        return scan

    def _choose_jaw(self, jaw: "JawKind") -> None:
        if (scan := self._current()) is not None:
            self._choose(scan, jaw, None, f"{scan.seen.file.name} is {JAWS[jaw]}.")

    @Slot()
    def _choose_unit(self) -> None:
        if (scan := self._current()) is None:
            return
        if not scan.unit_offered:
            self._tell(UNIT_KNOWN if scan.size else STILL_CHECKED if not scan.seen.checked else f"{scan.name}.")
            return
        self._choose(scan, None, scan.seen.unit.guess, f"{scan.seen.file.name} is in {scan.unit_offered}.")

    def _choose(self, scan: "ScanShown", jaw: "JawKind | None", unit: str | None, said: str) -> None:
        desk, file = self._desk, scan.seen.file
        if desk is not None:
            self.strip.choose(file.file_id)  # it stays the one that the keys are about, so that it can be corrected
            done = partial(self._on_chosen, said, file.arrival_id, file.file_id)
            self._room.jobs.run(partial(asked.choose, desk, file.file_id, jaw, unit), done, self._on_failed)

    def _on_chosen(self, said: str, arrival_id: int, file_id: int, before: asked.Chosen) -> None:
        self._room.news.offer_undo(said, partial(self._undo, arrival_id, file_id, before), "what was chosen")
        if self.looking is not None:
            self.looking.tell(f"{said} {self._room.keys.shown('undo')} takes it back.")
        self._again(arrival_id)

    def _undo(self, arrival_id: int, file_id: int, before: asked.Chosen) -> None:
        if self._desk is not None:
            done = partial(self._on_undone, arrival_id)
            self._room.jobs.run(partial(asked.unchoose, self._desk, file_id, before), done, self._on_failed)

    def _on_undone(self, arrival_id: int, _: None) -> None:
        self._tell("Taken back: the scan is what it was before.")
        self._again(arrival_id)

    def _again(self, arrival_id: int) -> None:
        self._read()
        self.chosen.emit()
        self.to_measure.emit(arrival_id)

    @Slot()
    def _next_scan(self) -> None:
        if self.looking is not None:
            self.looking.step(1)
            return
        self.strip.choose_next()
        scan, panel = self.strip.current, self.strip.panel
        self._tell(scan_words(panel, scan) if scan is not None and panel is not None else NO_SCAN)

    @Slot()
    def _look_closer(self) -> None:
        panel = self.strip.panel
        if panel is None or self._desk is None:
            self._tell(NO_SCAN)
            return
        from intake.ui.scans.looking import Looking  # most arrivals are looked at in the strip

        self.looking = Looking(self._room, self._desk, panel, self.strip.current, self._over.window())
        self.looking.finished.connect(self._on_looked)
        self.looking.open()

    @Slot()
    def _on_looked(self) -> None:
        """The scan that was looked at last is the one that the keys are about."""
        scan = self.looking.current if self.looking is not None else None
        self.looking = None
        if scan is not None:
            self.strip.choose(scan.seen.file.file_id)

    def _tell(self, said: str) -> None:
        self._room.news.tell(said)
        if self.looking is not None:
            self.looking.tell(said)

    def _on_failed(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._tell(str(problem))
