"""Bench load: the picture of the coming days, and under it the jobs of the bench and the day that are chosen."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from intake.errors import IntakeError
from intake.ui.day import load_asked as asked
from intake.ui.day.load_picture import LoadPicture
from intake.ui.day.things_list import ThingsList
from intake.ui.help_panel import set_help
from intake.ui.latest import Latest
from intake.ui.plain import Words
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.evening import Go

LOW = 30
"""Below this height, in heights of text, the jobs are shown instead of the picture, once they are gone to."""
EMPTY = (
    "What the routes of the open jobs ask of each bench in the coming three weeks stands here, as soon as a case with "
    "an appointment is booked. F2 goes to Arrivals."
)
LEGEND = "Bar: asked. Line: what the bench finishes in a day. Hatched: too many. Open: held. Narrow column: closed."
HELP = (
    "The jobs that the chosen bench is asked for on the chosen day, and those that it cannot be done with in time when "
    "all are worked in order of due date. ↑ and ↓ choose, Enter shows the job in Look up, Esc goes back to the picture."
)


class LoadView(QWidget):
    """The load of the benches.

    Args:
        room: What every place shares.
    """

    job_wanted = Signal(str)
    """The number of a job that is to be shown in Look up."""
    issued = Signal(object)
    """Nothing is handed to the printer here; every page of the place has it."""

    def __init__(self, room: Room) -> None:
        super().__init__()
        self._room = room
        self._desk: Desk | None = None
        self._loads, self._jobs = Latest(room.jobs), Latest(room.jobs)
        self.said = Words("", bold=True, wraps=True)
        self.late = Words("", wraps=True)
        self.counted = Words("", size="small", ink="quiet")
        self.legend = Words(LEGEND, size="small", ink="quiet", wraps=True)
        self.empty = Words(EMPTY, ink="quiet", wraps=True)
        self.picture = LoadPicture(room.look, self)
        self.list = ThingsList(room.look, self)
        self.list.setAccessibleName("Jobs of the bench and the day")
        set_help(self.list, HELP)
        self._has_load = self._reading = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Bench load")
        self._lay_out()
        self.picture.chosen.connect(self._on_chosen)
        self.picture.entered.connect(self._to_list)
        self.list.go.connect(self._on_go)
        room.look.changed.connect(self._fit)
        self._fold()

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self._desk = desk
        if self.isVisible():
            self.read_again()

    @Slot()
    def read_again(self) -> None:
        """Counts the load anew: it may have changed meanwhile."""
        if self._desk is not None:
            self._loads.ask(partial(asked.load, self._desk), self._on_load, self._failed)

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._loads.forget()
        self._jobs.forget()

    def _on_load(self, shown: asked.LoadShown) -> None:
        self.counted.setText(shown.counted)
        self._has_load = any(cell.asked or cell.held for line in shown.load.benches for cell in line.cells)
        self._fold()
        self.picture.show_load(shown.load)

    def _fold(self) -> None:
        """Where there is no room for both, picture and jobs take turns."""
        low, had_keys = self.height() < self._room.look.px(LOW), self.hasFocus()
        self.empty.setVisible(not self._has_load)
        for part in (self.said, self.late, self.counted):
            part.setVisible(self._has_load)
        self.legend.setVisible(self._has_load and not low)
        self.picture.setVisible(self._has_load and not (low and self._reading))
        self.list.setVisible(self._has_load and (self._reading or not low))
        seen = self.picture if self.picture.isVisibleTo(self) else self.list
        self.setFocusProxy(seen if self._has_load else None)  # type: ignore[arg-type]  # not in the stubs
        if had_keys:
            self.setFocus()

    @Slot()
    def _to_list(self) -> None:
        self._reading = True
        self._fold()
        self.list.setFocus()

    def _to_picture(self) -> None:
        self._reading = False
        self._fold()
        self.picture.setFocus()

    @Slot()
    def _on_chosen(self) -> None:
        current = self.picture.current
        if current is None or self._desk is None:
            return
        self.said.setText(asked.cell_words(*current))
        self.late.setText(asked.late_words(current[0]))
        self.late.set_ink("held" if current[0].late else "quiet")
        self.picture.setAccessibleDescription(f"{self.said.text()} {self.late.text()}")
        self._jobs.ask(partial(asked.jobs, self._desk, *current), self.list.show_sections, self._failed)

    @Slot(object)
    def _on_go(self, go: "Go") -> None:
        self.job_wanted.emit(go.about)

    def _failed(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    def _lay_out(self) -> None:
        self._head = QHBoxLayout()
        self._head.addWidget(self.said, 1)
        self._head.addWidget(self.counted, 0, Qt.AlignmentFlag.AlignTop)
        self._column = QVBoxLayout(self)
        self._column.addWidget(self.empty, 1, Qt.AlignmentFlag.AlignTop)
        self._column.addLayout(self._head)
        self._column.addWidget(self.late)
        self._column.addWidget(self.picture, 5)
        self._column.addWidget(self.legend)
        self._column.addWidget(self.list, 2)
        self._fit()

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._column.setContentsMargins(px(1), px(0.6), px(1), px(0.6))
        self._column.setSpacing(px(0.3))
        self._head.setSpacing(px(1))
        self.list.setMinimumHeight(px(5))
        self._fold()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fold()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.list.hasFocus():
            self._to_picture()
            return
        super().keyPressEvent(event)
