"""The practices that rules speak of: their names, and the directory to pick one from."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from intake.domain.practice_index import PracticeIndex
from intake.domain.rulebook import Requirement
from intake.errors import IntakeError
from intake.ui.latest import Latest
from intake.ui.room import Room
from intake.ui.setup.rules import asked

if TYPE_CHECKING:
    from intake.desk.desk import Desk


class Practices(QObject):
    """What is known of the practices in the rule book.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    named = Signal()
    """Other names are known now."""

    def __init__(self, room: Room, parent: QObject) -> None:
        super().__init__(parent)
        self._room, self._answers = room, Latest(room.jobs)
        self.desk: Desk | None = None
        self.names: dict[str, str] = {}
        """The names by the codes as rules write them; what the directory does not have is not in it."""
        self._asked: set[str] = set()

    def ask(self, rules: Sequence[Requirement], anew: bool = False) -> None:
        """Asks for the names of the practices that rules speak of, where they were not asked for yet."""
        codes = {code for rule in rules for code in (*rule.only_for, *(each.practice for each in rule.exceptions))}
        if self.desk is not None and (codes - self._asked or (anew and codes)):
            self._asked = codes
            self._answers.ask(partial(asked.names, self.desk, codes), self._on_names, self.trouble)

    def with_directory(self, take: Callable[[PracticeIndex], None]) -> None:
        """Hands the directory over, once it is read."""
        if self.desk is not None:
            self._room.jobs.run(partial(asked.directory, self.desk), take, self.trouble)

    def forget(self) -> None:
        """Wants no answer any more."""
        self._answers.forget()

    def trouble(self, problem: Exception) -> None:
        """Says what went wrong, where it is a sentence for the desk."""
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    def _on_names(self, names: dict[str, str]) -> None:
        if names != self.names:
            self.names = names
            self.named.emit()
