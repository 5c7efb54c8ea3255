"""The setup while it is being changed: one draft that every page shows and changes."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal

from intake.domain.lab import Lab
from intake.errors import IntakeError
from intake.setup.editing import Place, SetupText

if TYPE_CHECKING:
    from intake.desk.lab_setup import SetupFile
    from intake.setup.reading import Problem

Change = Callable[[SetupText], Any]


class Draft(QObject):
    """A changed setup that is not in force yet.

    A page reads `lab` and changes by `put`, `add`, `take_out`, `move`, or several at once by `change`; it shows itself
    anew on `changed`. What is wrong keeps nobody from going on: `lab` stays the last that could be read, `problem` says
    why, and `problems` one by one with their lines.

    Args:
        lab: The setup in force.
    """

    changed = Signal()

    def __init__(self, lab: Lab, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.in_force, self.lab = lab, lab
        self.edition: int | None = None
        """The edition in force that was changed."""
        self.problem = ""
        self.problems: tuple[Problem, ...] = ()
        self._text: SetupText | None = None
        self._written = self._begun_with = ""
        self._before: list[str] = []

    def begin(self, file: "SetupFile", lab: Lab, parsed: SetupText | None = None) -> None:
        """Begins with the setup that is in force; what was changed before is gone.

        Args:
            file: The setup in force.
            lab: The same as a value.
            parsed: The same parsed, where that was done elsewhere: it takes longer than a key press should.
        """
        self.in_force, self.lab, self.edition, self.problem, self.problems = lab, lab, file.edition, "", ()
        self._text, self._before = parsed or SetupText(file.text), []
        self._written = self._begun_with = str(self._text)
        self.changed.emit()

    def go_on_from(self, file: "SetupFile", lab: Lab, parsed: SetupText) -> tuple[Place, ...]:
        """Carries what is changed over to a setup that came in force meanwhile; the places that both changed."""
        from intake.setup.merging import carry_over

        theirs = str(parsed)
        both = carry_over(SetupText(self._begun_with), SetupText(self._written), parsed)
        self.in_force, self.edition, self._text, self._before = lab, file.edition, parsed, []
        self._begun_with, self._written = theirs, str(parsed)
        self._read()
        return both

    def is_in_force(self, edition: int) -> None:
        """What was changed is in force now, as this edition."""
        self.in_force, self.edition = self.lab, edition
        self._begun_with, self._before = self._written, []
        self.changed.emit()

    @property
    def ready(self) -> bool:
        """Whether there is a text to change."""
        return self._text is not None

    @property
    def text(self) -> str:
        """The whole file as it would be written."""
        return self._written

    @property
    def is_changed(self) -> bool:
        """Whether anything differs from what is in force."""
        return self._written != self._begun_with

    @property
    def can_undo(self) -> bool:
        """Whether a change can be taken back."""
        return bool(self._before)

    def get(self, place: Place) -> Any:
        """What stands in the file at a place, as plain values; None where the default holds."""
        return self._text.get(place) if self._text is not None else None

    def put(self, place: Place, value: Any) -> None:
        """Sets a value; None leaves it to the default."""
        if self.get(place) != value:
            self.change(lambda text: text.put(place, value))

    def add(self, place: Place, value: Any, at: int | None = None) -> None:
        """Puts an entry into a list."""
        self.change(lambda text: text.add(place, value, at))

    def take_out(self, place: Place) -> None:
        """Takes an entry, or a value, out."""
        self.change(lambda text: text.take_out(place))

    def move(self, place: Place, to: int) -> None:
        """Moves an entry of a list."""
        self.change(lambda text: text.move(place, to))

    def change(self, how: Change) -> None:
        """Makes one change, however many values it touches; `undo` takes all of it back.

        A change that fails half way leaves everything as it was.
        """
        if self._text is None:
            return
        before = self._written
        try:
            how(self._text)
        except Exception:
            self._text = SetupText(before)
            raise
        self._take(str(self._text))

    def replace(self, text: str) -> None:
        """Takes a whole other text, such as an older edition's; it has to be TOML."""
        self._text = SetupText(text)
        self._take(str(self._text))

    def undo(self) -> None:
        """Takes the last change back."""
        if self._before:
            self._written = self._before.pop()
            self._text = SetupText(self._written)
            self._read()

    def _take(self, text: str) -> None:
        if text != self._written:
            self._before.append(self._written)
            self._written = text
            self._read()

    def _read(self) -> None:
        from intake.setup.reading import setup_of

        try:
            self.lab = setup_of(self._written, Path("setup.toml"), self._text)
        except IntakeError as problem:
            self.problem, self.problems = str(problem), getattr(problem, "problems", ())
        else:
            self.problem, self.problems = "", ()
        self.changed.emit()
