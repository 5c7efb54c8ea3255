"""The form of a case: exactly the fields that its appliances need, in the order of the paper."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import pairwise

from PySide6.QtCore import Qt, QTimer, Signal, Slot
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from intake.domain.form import FormRead
from intake.domain.form_lines import appliance_count, line_of, line_place
from intake.domain.lab import Lab
from intake.ui.arrivals.field import Field
from intake.ui.arrivals.field_words import access_letters, field_help, field_names, fields, kind_of_field, with_letter
from intake.ui.arrivals.form_rows import Rows, rows_of
from intake.ui.help_panel import set_help
from intake.ui.look import Look

NARROW = 24
"""Below this width, in heights of text, at most two fields stand side by side."""
FIRST = "practice"


class CaseForm(QScrollArea):
    """Shows the fields of a form, which come and go as the words are understood, and takes what is typed.

    Args:
        look: For fonts and lengths.
        lab: For the names in the help.
        another: The key that adds an appliance line.
        parent: The owner.
    """

    edited = Signal(str)
    entered = Signal(str)
    left = Signal(str)
    went_on = Signal(str)

    def __init__(self, look: Look, lab: Lab, another: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look, self._lab, self._another = look, lab, another
        self.keys_first: Callable[[Field, QKeyEvent], bool] | None = None
        self.followed_by: Sequence[QWidget] = ()
        self._fields: dict[str, Field] = {}
        self._shown: tuple[str, ...] = ()
        self._lines = 1
        self._left: set[str] = set()
        self._lettered = 0
        self._narrow = False
        self._rows = Rows(look, self)
        self.setWidget(self._rows)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.entered.connect(self._on_entered)
        self.left.connect(self._on_left)
        look.changed.connect(self._fold)

    @property
    def places(self) -> tuple[str, ...]:
        """The fields that are shown, in the order of the paper."""
        return self._shown

    @property
    def place(self) -> str | None:
        """The field that has the keys."""
        return next((place for place in self._shown if self._fields[place].edit.hasFocus()), None)

    def field(self, place: str) -> Field:
        """The field at a place."""
        return self._fields[place]

    def typed(self) -> dict[str, str]:
        """What is typed, by place; every appliance line is there, empty ones too."""
        lines = {line_place(line) for line in range(self._lines)}
        return {place: field.text for place, field in self._fields.items() if field.text or place in lines}

    def is_empty(self) -> bool:
        """Whether nothing is typed at all."""
        return not any(field.text.strip() for field in self._fields.values())

    def load(self, typed: Mapping[str, str]) -> None:
        """Puts a whole form in. A field whose text stays keeps its cursor."""
        self._lines = appliance_count(typed)
        for place, text in typed.items():
            self._field(place).set_text(text)
        for place, field in self._fields.items():
            if place not in typed:
                field.set_text("")

    def begin(self, typed: Mapping[str, str]) -> None:
        """Puts another form in: no field of it has been left yet."""
        self._left = {place for place, text in typed.items() if text.strip()}
        self.load(typed)

    def mark_left(self, places: Iterable[str]) -> None:
        """Takes these fields for left, so that what is wrong in them is said."""
        self._left.update(places)

    def show_read(self, form: FormRead, asides: Mapping[str, str]) -> None:
        """Shows the fields of a form, and by each what was understood, or what is wrong once it has been left.

        Args:
            form: The form as it was read.
            asides: What to say in small print where a form says nothing, by place.
        """
        places = self._with_focus(form.places)
        if places != self._shown:
            self._lay(places)
        for place in places:
            said = form.said.get(place)
            too_early = said is not None and said.wrong and place not in self._left
            self._fields[place].say(None if too_early else said, asides.get(place, ""))
        QTimer.singleShot(0, self._keep_in_sight)  # once the rows have their new heights

    def take_keys(self, place: str, at_end: bool = False) -> None:
        """Takes the keys to a field."""
        self._fields[place].take_keys(at_end)

    def _with_focus(self, places: tuple[str, ...]) -> tuple[str, ...]:
        """The places with the field that has the keys: it never goes away under the hands."""
        focused = self.place
        if focused is None or focused in places:
            return places
        before = set(self._shown[: self._shown.index(focused)])
        at = max((at + 1 for at, place in enumerate(places) if place in before), default=0)
        return (*places[:at], focused, *places[at:])

    def set_lab(self, lab: Lab) -> None:
        """Takes another setup; what is typed stays."""
        self._lab = lab
        for place, field in self._fields.items():
            set_help(field.edit, field_help(place, lab, self._another))

    def _field(self, place: str) -> Field:
        if place not in self._fields:
            kind = kind_of_field(place)
            field = Field(self._look, place, fields()[kind].hint, kind == "notes", self._rows)
            field.hide()
            field.keys_first = self.keys_first
            set_help(field.edit, field_help(place, self._lab, self._another))
            for told, signal in (
                (field.edited, self.edited),
                (field.entered, self.entered),
                (field.left, self.left),
                (field.went_on, self.went_on),
            ):
                told.connect(signal)
            self._fields[place] = field
        return self._fields[place]

    def _lay(self, places: tuple[str, ...]) -> None:
        """Lays the fields out in rows, gives them their names and letters, and the Tab key its way."""
        self._shown = places
        rows = rows_of(places, self._narrow)
        self._rows.show_rows([[(self._field(place), at, width) for place, at, width in row] for row in rows])
        self._name()
        chain = [*(self._fields[place].edit for place in places), *self.followed_by]
        for before, after in pairwise(chain):
            QWidget.setTabOrder(before, after)

    def _name(self) -> None:
        names = field_names(self._shown)
        letters = access_letters(self._shown, min(self._lettered, appliance_count(self._shown) - 1))
        for place, name in names.items():
            self._fields[place].name(name, with_letter(name, letters.get(place, "")))
            last_line = place == line_place(appliance_count(self._shown) - 1)
            self._fields[place].corner.setText(f"another: {self._another}" if last_line and self._another else "")

    @Slot(str)
    def _on_entered(self, place: str) -> None:
        line = line_of(place)
        if line is not None and line != self._lettered:
            self._lettered = line
            self._name()
        self._keep_in_sight()

    @Slot()
    def _keep_in_sight(self) -> None:
        place = self.place
        if place is not None:
            self.ensureWidgetVisible(self._fields[place], 0, self._look.px(1))

    @Slot(str)
    def _on_left(self, place: str) -> None:
        if self._fields[place].text.strip():
            self._left.add(place)

    @Slot()
    def _fold(self) -> None:
        narrow = self.viewport().width() < self._look.px(NARROW)
        if narrow != self._narrow:
            self._narrow = narrow
            if self._shown:
                self._lay(self._shown)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fold()
