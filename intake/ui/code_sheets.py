"""Prints the lab's own codes: a practice's stickers, the codes of the benches, the labels of the boxes."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QWidget

from intake.domain.practice import Practice
from intake.errors import IntakeError
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.issue import Issued


class CodeSheets(QObject):
    """Does what the menu offers about codes.

    Args:
        room: What every place shares.
        window: The window over which its dialogs open.
    """

    issued = Signal(object)
    """What was handed to the printer: a tuple of one `Issued`."""

    def __init__(self, room: Room, window: QWidget) -> None:
        super().__init__(window)
        self._room, self._window = room, window
        self._desk: Desk | None = None
        room.keys.action("stickers").triggered.connect(self._on_stickers)
        room.keys.action("bench-codes").triggered.connect(self._on_bench_codes)
        room.keys.action("box-labels").triggered.connect(self._on_box_labels)

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self._desk = desk

    @Slot()
    def _on_stickers(self) -> None:
        self._run(_practices, self._ask_practice)

    def _ask_practice(self, offered: tuple[tuple[Practice, ...], int]) -> None:
        from intake.ui.sticker_dialog import StickerDialog  # opened seldom

        dialog = StickerDialog(*offered, self._room.look, self._window)
        dialog.wanted.connect(self._on_practice)
        dialog.open()

    @Slot(str, int)
    def _on_practice(self, code: str, sheets: int) -> None:
        self._run(partial(_stickers, code=code, sheets=sheets), self.issued.emit)

    @Slot()
    def _on_bench_codes(self) -> None:
        self._run(_bench_codes, self.issued.emit)

    @Slot()
    def _on_box_labels(self) -> None:
        from intake.ui.box_label_dialog import BoxLabelDialog  # opened seldom

        if self._desk is not None and self._desk.lab.boxes is None:
            self._room.news.tell("The boxes of this lab have no numbers. The setup can lay them down, under [boxes].")
        elif self._desk is not None and self._desk.lab.boxes is not None:
            dialog = BoxLabelDialog(self._desk.lab.boxes, self._room.look, self._window)
            dialog.wanted.connect(self._on_boxes)
            dialog.open()

    @Slot(int, int)
    def _on_boxes(self, first: int, last: int) -> None:
        self._run(partial(_box_labels, first=first, last=last), self.issued.emit)

    def _run(self, work: Callable[..., Any], done: Callable[[Any], None]) -> None:
        if self._desk is None:
            self._room.news.tell("The data are still being opened. Try again in a moment.")
            return
        self._room.jobs.run(partial(work, self._desk), done, self._on_trouble, lane="beside")

    def _on_trouble(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))


# What the desk is asked, on the threads of the job runner: it brings the database and the drawing of paper with it.


def _practices(desk: "Desk") -> tuple[tuple[Practice, ...], int]:
    """The directory, and how many sheets of stickers may be asked for at once."""
    from intake.desk.code_sheets import MOST_SHEETS

    return tuple(desk.practices()), MOST_SHEETS


def _stickers(desk: "Desk", code: str, sheets: int) -> "tuple[Issued, ...]":
    from intake.desk.code_sheets import print_stickers

    return (print_stickers(desk, code, sheets),)


def _bench_codes(desk: "Desk") -> "tuple[Issued, ...]":
    from intake.desk.code_sheets import print_bench_codes

    return (print_bench_codes(desk),)


def _box_labels(desk: "Desk", first: int, last: int) -> "tuple[Issued, ...]":
    from intake.desk.code_sheets import print_box_labels

    return (print_box_labels(desk, first, last),)
