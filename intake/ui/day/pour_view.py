"""To pour: the live list of impressions, what keeps least first."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Signal, Slot
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from intake.errors import IntakeError
from intake.ui.day import pour_asked as asked
from intake.ui.day.pour_rows import PourRows
from intake.ui.latest import Latest
from intake.ui.plain import Words, button_words
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.pour_list import Poured

EMPTY = (
    "Nothing is to be poured. Booked cases with an impression in the bag stand here until somebody says that they are "
    "poured, or until their box comes out of the bench that pours. F2 goes to Arrivals."
)
EVERY_MS = 60_000
"""So often the list is read again while it is in view: what keeps an hour keeps a minute less."""
BUTTONS = {"poured": "It is poured", "print-pour-list": "Print the list"}


class PourView(QWidget):
    """What is to be poured.

    Args:
        room: What every place shares.
    """

    issued = Signal(object)
    """The lists that were handed to the printer: a tuple of `Issued`."""

    def __init__(self, room: Room) -> None:
        super().__init__()
        self._room = room
        self._desk: Desk | None = None
        self._lists = Latest(room.jobs)
        self.counted = Words("", bold=True, wraps=True)
        self.unopened = Words("", ink="caution", wraps=True)
        self.caution = Words("", size="small", ink="quiet", wraps=True)
        self.empty = Words(EMPTY, ink="quiet", wraps=True)
        self.list = PourRows(room.look, self)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("To pour")
        self._buttons = {name: QPushButton(self) for name in BUTTONS}
        self._lay_out()
        self._timer = QTimer(self)
        self._timer.setInterval(EVERY_MS)
        self._timer.timeout.connect(self._on_time)
        self._timer.start()
        for name, act in (("poured", self._on_poured), ("print-pour-list", self._on_print)):
            room.keys.action(name).triggered.connect(act)
            self._buttons[name].clicked.connect(act)
        room.keys.changed.connect(self._label)
        room.look.changed.connect(self._fit)
        self._show(0)

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self._desk = desk
        if self.isVisible():
            self.read_again()

    @Slot()
    def read_again(self) -> None:
        """Reads the list anew."""
        if self._desk is not None:
            self._lists.ask(partial(asked.pour_list, self._desk), self._on_list, self._failed)

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._timer.stop()
        self._lists.forget()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.read_again()

    @Slot()
    def _on_time(self) -> None:
        if self.isVisible():
            self.read_again()

    def _on_list(self, shown: asked.PourShown) -> None:
        self.counted.setText(shown.counted)
        self.unopened.setText(shown.unopened)
        self.unopened.setVisible(bool(shown.unopened))
        self.caution.setText(shown.caution)
        self.list.show_lines(shown.lines)
        self._show(len(shown.lines))

    def _show(self, count: int) -> None:
        """The list, or what the page is for; the keys stay in the page."""
        has_keys = self.hasFocus() or self.list.hasFocus()
        self.empty.setVisible(not count)
        for part in (self.counted, self.list, self.caution):
            part.setVisible(bool(count))
        self._buttons["poured"].setEnabled(bool(count))
        self.setFocusProxy(self.list if count else None)  # type: ignore[arg-type]  # not in the stubs
        if has_keys:
            self.setFocus()

    @Slot()
    def _on_poured(self) -> None:
        line = self.list.current
        if not self.isVisible() or self._desk is None:
            return
        if line is None:
            self._room.news.tell("Nothing is chosen that could be poured.")
            return
        self._room.jobs.run(partial(asked.mark_poured, self._desk, line.case_id), self._poured, self._failed)

    def _poured(self, poured: "Poured") -> None:
        self._room.news.offer_undo(poured.said, partial(self._undo, poured), "poured")
        self.read_again()

    def _undo(self, poured: "Poured") -> None:
        assert self._desk is not None
        self._room.jobs.run(partial(asked.take_back, self._desk, poured), self._on_taken_back, self._failed)

    def _on_taken_back(self, nothing: None) -> None:
        self._room.news.tell("It is to be poured again.")
        self.read_again()

    @Slot()
    def _on_print(self) -> None:
        if self.isVisible() and self._desk is not None:
            self._room.jobs.run(partial(asked.print_list, self._desk), self.issued.emit, self._failed, "beside")

    def _failed(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))
        self.read_again()

    def _lay_out(self) -> None:
        self._row = QHBoxLayout()
        self._row.addWidget(self.counted, 1)
        for button in self._buttons.values():
            self._row.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        self._column = QVBoxLayout(self)
        self._column.addLayout(self._row)
        self._column.addWidget(self.unopened)
        self._column.addWidget(self.empty, 1, Qt.AlignmentFlag.AlignTop)
        self._column.addWidget(self.list, 1)
        self._column.addWidget(self.caution)
        self._label()
        self._fit()

    @Slot()
    def _label(self) -> None:
        for name, button in self._buttons.items():
            button.setText(button_words(f"{BUTTONS[name]}  {self._room.keys.shown(name)}".rstrip()))

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._column.setContentsMargins(px(1), px(0.6), px(1), px(0.6))
        self._column.setSpacing(px(0.4))
        self._row.setSpacing(px(0.6))
        self.list.setMinimumHeight(px(6))
