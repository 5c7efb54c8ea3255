"""What waits: read again when it changes, taken in, set down, taken off the list."""

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Qt, Signal, Slot
from PySide6.QtWidgets import QFileDialog, QWidget

from intake.domain.half_typed import HalfTyped
from intake.errors import IntakeError
from intake.ui.arrivals import asked
from intake.ui.received import received_words
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk, Notice
    from intake.desk.receive import Received

FILES = (
    "Scans, prescriptions, returned forms and mails "
    "(*.stl *.ply *.obj *.3mf *.dcm *.zip *.json *.pdf *.eml *.png *.jpg *.jpeg)"
)


class Arriving(QObject):
    """Does what changes the list of what waits, in the background.

    Args:
        room: What every place shares.
        parent: The owner, over which files are chosen.
    """

    known = Signal(object)
    """What waits and the directory, as `asked.Known`."""
    opened = Signal(object)
    """A form to put in, as HalfTyped."""
    received = Signal(object)
    """What became of files that were taken in: a tuple of `Received`."""

    def __init__(self, room: Room, parent: QWidget) -> None:
        super().__init__(parent)
        self._room, self._over = room, parent
        self.desk: Desk | None = None
        self._reading = self._again = False

    @Slot()
    def read(self) -> None:
        """Reads what waits again; when asked meanwhile, once more afterwards."""
        if self.desk is None or self._reading:
            self._again = self._reading
            return
        self._reading = True
        # Beside the store's own thread: judging a thousand arrivals must not keep a save waiting.
        self._room.jobs.run(partial(asked.known, self.desk), self._on_read, self._on_unread, lane="beside")

    def open(self, arrival_id: int) -> None:
        """Opens an arrival; `opened` follows."""
        self._run(partial(asked.arrival_form, arrival_id=arrival_id), self.opened.emit)

    def open_case(self, case_id: int) -> None:
        """Opens a booked case; `opened` follows."""
        self._run(partial(asked.case_form, case_id=case_id), self.opened.emit)

    def set_down(self, half: HalfTyped) -> None:
        """Lets a form wait for later."""
        self._run(partial(asked.set_down, half=half), self._on_set_down)

    def take_in(self, paths: Sequence[Path]) -> None:
        """Takes files in, each once and each by what it is; `received` follows."""
        self._run(partial(asked.receive, paths=tuple(paths)), self._on_received)

    @Slot()
    def choose_files(self) -> None:
        """Lets files be chosen, to take them in."""
        dialog = QFileDialog(self._over, "Take files in", str(Path.home()))
        dialog.setNameFilters([FILES, "All files (*)"])
        dialog.setOption(QFileDialog.Option.DontUseNativeDialog)
        dialog.setFileMode(QFileDialog.FileMode.ExistingFiles)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.filesSelected.connect(self._on_files)
        dialog.open()

    @Slot(list)
    def _on_files(self, files: Sequence[str]) -> None:
        self.take_in([Path(file) for file in files])

    def dismiss(self, arrival_id: int, words: str) -> None:
        """Takes an arrival off the list, and offers to bring it back."""
        self._run(partial(asked.dismiss, arrival_id=arrival_id), partial(self._on_dismissed, arrival_id, words))

    def tell(self, notices: "Sequence[Notice]") -> None:
        """Tells what there is to be told of the opening of the data."""
        for notice in notices:
            if notice.trouble:
                self._room.news.trouble(notice.text, "opening")
            else:
                self._room.news.tell(notice.text)

    def _run(self, ask: Callable[["Desk"], Any], done: Callable[[Any], None]) -> None:
        if self.desk is None:
            self._room.news.tell("The data are still being opened; do it again in a moment.")
            return
        self._room.jobs.run(partial(ask, self.desk), done, self._on_failed)

    def _on_read(self, known: asked.Known) -> None:
        self._reading = False
        self.known.emit(known)
        if self._again:
            self._again = False
            self.read()

    def _on_unread(self, problem: Exception) -> None:
        self._reading = False
        self._on_failed(problem)

    def _on_set_down(self, _: int) -> None:
        self._room.news.tell("Set down for later: it is among what waits.")
        self.read()

    def _on_received(self, received: "Sequence[Received]") -> None:
        self._room.news.tell(received_words(received, self._room.keys.shown("go-waiting")))
        if self.desk is not None:
            self.received.emit(received)
            self.read()

    def _on_dismissed(self, arrival_id: int, words: str, _: None) -> None:
        said = f"Off the list: {words.removesuffix('.')}."
        self._room.news.offer_undo(said, partial(self._bring_back, arrival_id), "off the list")
        self.read()

    def _bring_back(self, arrival_id: int) -> None:
        self._run(partial(asked.bring_back, arrival_id=arrival_id), self._on_back)

    def _on_back(self, _: None) -> None:
        self._room.news.tell("It is on the list again.")
        self.read()

    def _on_failed(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))
        self.read()
