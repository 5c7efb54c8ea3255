"""Who sent a parcel: a few letters, with what fits under the field, as in Arrivals."""

from collections.abc import Sequence

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtGui import QKeyEvent

from intake.domain.form_fields import Said
from intake.domain.form_practice import PracticeRead, read_practice
from intake.domain.practice import Practice
from intake.ui.arrivals.choices import Choice, Choices, practice_choices
from intake.ui.arrivals.field import Field
from intake.ui.arrivals.offering import Offering

PLACE = "practice"
LEAST = 2
"""So many letters are typed before anything is offered unasked."""
NEW = "Not in the directory; its address is asked for with the case."


class PracticeField(QObject):
    """Reads who sent a parcel while it is typed, and leads through what fits.

    Args:
        field: The field.
        choices: The list under it.
        parent: The owner.
    """

    changed = Signal()
    """Who is meant has changed."""
    edited = Signal()

    def __init__(self, field: Field, choices: Choices, parent: QObject) -> None:
        super().__init__(parent)
        self._field, self._choices = field, choices
        self._practices: Sequence[Practice] | None = None
        self.read = PracticeRead()
        # The list of what fits works the fields of a form by their place; here it is a form of one field.
        self._offering = Offering(self, choices, self._lines, self)
        self._offering.taken.connect(self._on_taken)
        field.keys_first = self._on_key
        field.edited.connect(self._on_edited)
        field.left.connect(self._on_left)

    @property
    def place(self) -> str | None:
        """The field's place, while it has the keys."""
        return PLACE if self._field.edit.hasFocus() else None

    def field(self, place: str) -> Field:
        """The one field."""
        return self._field

    @property
    def code(self) -> str:
        """The code of the practice that is meant; empty where none is, or where the directory does not have it."""
        return self.read.practice.code if self.read.practice is not None else ""

    @property
    def named(self) -> str:
        """How the parcel names it: by its code, else as it is typed."""
        return self.code or self._field.text.strip()

    @property
    def wrong(self) -> str:
        """Why it cannot be kept as it is typed; empty when it can."""
        said = self.read.said.get(PLACE)
        return said.text if said is not None and said.wrong else ""

    def set_practices(self, practices: Sequence[Practice]) -> None:
        """Takes the directory."""
        if practices != self._practices:
            self._practices = practices
            self._refresh(left=not self._field.edit.hasFocus())

    def load(self, text: str) -> None:
        """Puts a practice in."""
        self._field.set_text(text)
        self._choices.hide()
        self._finish()

    @Slot()
    def _on_edited(self) -> None:
        self._refresh(left=False)
        self._offering.offer(self._field)
        self.edited.emit()

    @Slot()
    def _on_taken(self) -> None:
        self._finish()
        self.edited.emit()

    @Slot()
    def _on_left(self) -> None:
        self._choices.hide()
        self._finish()

    def _finish(self) -> None:
        """A practice that is clear becomes its code."""
        self._refresh(left=True)
        if self.code:
            self._field.set_text(self.code)

    def _refresh(self, left: bool) -> None:
        before, text = self.code, self._field.text
        self.read = read_practice({PLACE: text}, self._practices)
        said = self.read.said.get(PLACE)
        if said is not None and self.read.practice is None and not said.wrong:
            said = Said(NEW)
        too_early = said is not None and said.wrong and not left
        self._field.say(None if too_early else said)
        if self.code != before:
            self.changed.emit()

    def _lines(self, _: str, typing: bool) -> Sequence[Choice]:
        text = self._field.text.strip()
        return () if typing and len(text) < LEAST else practice_choices(text, self.read.fitting)

    def _on_key(self, field: Field, event: QKeyEvent) -> bool:
        return self._offering.on_key(field, event)
