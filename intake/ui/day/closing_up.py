"""What closing the day asks of the desk: what is left over, the reasons that are kept, and the closing itself."""

from collections.abc import Callable
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot

from intake.errors import IntakeError
from intake.ui.day import asked
from intake.ui.day.closing_view import ClosingView
from intake.ui.latest import Latest
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.closing import Closed
    from intake.desk.desk import Desk


class ClosingUp(QObject):
    """Works the page that walks through what is left over.

    Args:
        room: What every place shares.
        view: The page.
    """

    begun = Signal()
    """What is left over is there: the page is to be shown."""
    closed = Signal()
    ended = Signal()
    """The page is left."""

    def __init__(self, room: Room, view: ClosingView) -> None:
        super().__init__(view)
        self._room, self._view = room, view
        self._evenings, self._kept = Latest(room.jobs), Latest(room.jobs)
        self._desk: Desk | None = None
        self._day: date | None = None
        self._title = ""
        view.said.connect(self._keep)
        view.left.connect(self._leave)

    def begin(self, desk: "Desk", day: date, title: str) -> None:
        """Reads what is left over of a day; what was said of the same day before is gone on with."""
        if day != self._day:
            self._view.walk.forget()
        self._desk, self._day, self._title = desk, day, title
        self._ask(partial(asked.begin_closing, desk, day), self._on_evening)

    def read_again(self) -> None:
        """Reads what is left over again: something was done about it, or came up, meanwhile."""
        if self._desk is not None and self._day is not None and not self._view.is_closed:
            self.begin(self._desk, self._day, self._title)

    def go_on(self) -> None:
        """Closes the day where everything has a reason; else shows what has none."""
        if self._view.is_closed:
            self._room.news.tell("The day is closed. Esc goes back to it; it can be closed once more from there.")
        elif self._view.walk.silent:
            self._view.walk.to_silent(0)
            self.read_again()
        elif self._desk is not None and self._day is not None:
            work = partial(asked.close_day, self._desk, self._day, dict(self._view.walk.reasons))
            self._room.jobs.run(work, self._on_closed, self._not_closed)

    def forget(self) -> None:
        """Wants no answer any more."""
        self._evenings.forget()
        self._kept.forget()

    def _ask(self, work: Callable[[], object], done: Callable[[asked.Begun], None]) -> None:
        self._evenings.ask(work, done, self._trouble)

    def _on_evening(self, begun: asked.Begun) -> None:
        self._view.begin(self._title, begun)
        self.begun.emit()

    def _on_closed(self, closed: "Closed") -> None:
        self._view.show_closed(closed.says)
        self._room.news.tell(closed.says)
        self.closed.emit()

    def _not_closed(self, problem: Exception) -> None:
        """Something came up meanwhile: it is shown, to be given its reason."""
        self._trouble(problem)
        self.read_again()

    @Slot()
    def _keep(self) -> None:
        if self._desk is not None and self._day is not None:
            work = partial(asked.keep_reasons, self._desk, self._day, dict(self._view.walk.reasons))
            self._kept.ask(work, lambda _: None, self._trouble)

    @Slot()
    def _leave(self) -> None:
        if self._view.is_closed:
            self._view.walk.forget()
        elif self._view.walk.reasons:
            key = self._room.keys.shown("close-day")
            self._room.news.tell(f"What was said so far is kept. {key} goes on with it.")
        self.ended.emit()

    def _trouble(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))
