"""Where the laboratory is, when it works, and how it counts back from the appointment: a field each."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, time
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from intake.domain import calendar_entry
from intake.domain.calendar_entry import Reader
from intake.domain.form_fields import FormWrong, Said
from intake.domain.lab import Lab
from intake.domain.weekdays import written_weekdays
from intake.ui.arrivals.field import Field
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.plain import Words
from intake.ui.setup.calendar.words import GROUPS, HELP, HINTS, LABELS, NAMES, WHOLE_COUNTRY
from intake.ui.setup.directory.fields import Choice

if TYPE_CHECKING:
    from intake.domain.bank_holidays import Country


def _clock(at: time) -> str:
    return f"{at:%H:%M}"


@dataclass(frozen=True)
class Typed:
    """A field that is typed: where its value stands, and how it is read and written."""

    table: str
    read: Reader
    write: Callable[[Any], str] = str


TYPED = {
    "weekdays": Typed("calendar", calendar_entry.weekdays, written_weekdays),
    "cut_off": Typed("calendar", calendar_entry.clock, _clock),
    "days_before": Typed("deadlines", calendar_entry.count),
    "transit_days": Typed("deadlines", calendar_entry.count),
    "delivery_weekdays": Typed("deadlines", calendar_entry.weekdays, written_weekdays),
    "slack_days": Typed("deadlines", calendar_entry.count),
    "reply_hour": Typed("deadlines", calendar_entry.clock, _clock),
}
CHOSEN = ("country", "subdivision", "zone")
_ROWS = (
    ("country", "subdivision"),
    ("zone", ""),
    ("weekdays", "cut_off"),
    ("days_before", "slack_days"),
    ("transit_days", "delivery_weekdays"),
    ("reply_hour", ""),
)
"""What stands side by side."""


class RulesForm(QWidget):
    """Shows the rules of the calendar, and says what is changed.

    Args:
        look: For fonts and lengths.
        parent: The owner.
    """

    changed = Signal(str, str, object)
    """The table and the name of a value that is another now."""

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self._countries: Sequence[Country] = ()
        self._shown: dict[str, str] = {}
        self.today = date.min
        self.fields: dict[str, Field | Choice] = {}
        for place in (place for row in _ROWS for place in row if place):
            self.fields[place] = self._choice(place) if place in CHOSEN else self._field(place)
        self._lay_out()
        look.changed.connect(self._fit)
        self._fit()

    def offer(self, countries: "Sequence[Country]") -> None:
        """Offers the countries whose bank holidays are known."""
        self._countries = countries
        self._offer("country", [(country.name, country.code) for country in countries])

    def show_lab(self, lab: Lab) -> None:
        """Shows a setup; what is half typed stays."""
        for place, typed in TYPED.items():
            known = typed.write(getattr(getattr(lab, typed.table), place))
            field = self.fields[place]
            touched = field.text.strip() != self._shown.get(place, "")
            self._shown[place] = known
            if not (touched and field.edit.hasFocus()) and not (touched and field.edit.property("wrong")):
                field.set_text(known)
                field.say(None)
        self._offer_parts(lab.calendar.country)
        self._offer_zones(lab.calendar.country, lab.calendar.zone)
        for place in CHOSEN:
            known = getattr(lab.calendar, place) or ""
            choosing = self.fields[place].edit.hasFocus() and self.fields[place].text != self._shown.get(place, known)
            self._shown[place] = known
            if not choosing:
                self.fields[place].set_text(known)

    def commit(self) -> None:
        """Takes what is typed and not left yet."""
        for place in TYPED:
            self._on_left(place)

    def _offer_parts(self, code: str) -> None:
        country = next((each for each in self._countries if each.code == code), None)
        parts = country.parts if country else ()
        self._offer(
            "subdivision",
            [(part.name if part.name == part.code else f"{part.name} ({part.code})", part.code) for part in parts],
        )

    def _offer_zones(self, country: str, zone: str) -> None:
        from intake.setup.time_zones import zones_of

        self._offer("zone", [(each, each) for each in dict.fromkeys((*zones_of(country), zone))])

    def _offer(self, place: str, choices: Sequence[tuple[str, str]]) -> None:
        """Offers choices; only a part of the country can be none."""
        choice = self.fields[place]
        assert isinstance(choice, Choice)
        choice.offer(choices)
        if place != "subdivision" and choices:
            choice.edit.removeItem(choice.edit.findData(""))

    def _on_left(self, place: str) -> None:
        """A field counts when it is left; what is refused stays typed, with the reason."""
        field, typed = self.fields[place], TYPED[place]
        if field.text.strip() == self._shown.get(place, ""):
            field.say(None)
            return
        try:
            value = typed.read(field.text, self.today)
        except FormWrong as problem:
            field.say(Said(str(problem), wrong=True))
            return
        field.say(None)
        self._shown[place] = field.text.strip()
        self.changed.emit(typed.table, place, value)

    def _on_chosen(self, place: str) -> None:
        text = self.fields[place].text
        if text != self._shown.get(place, "") and (text or place == "subdivision"):
            self._shown[place] = text
            self.changed.emit("calendar", place, text or None)

    def _on_went_on(self, place: str) -> None:
        if place in TYPED:
            self._on_left(place)
            if self.fields[place].edit.property("wrong"):
                return
        else:
            self._on_chosen(place)
        places = list(self.fields)
        after = places[(places.index(place) + 1) % len(places)]
        self.fields[after].take_keys()

    def _put_back(self, field: Field, event: QKeyEvent) -> bool:
        """Esc puts back what is known."""
        known = self._shown.get(field.place, "")
        if event.key() != Qt.Key.Key_Escape or field.text.strip() == known:
            return False
        field.set_text(known)
        field.say(None)
        return True

    def _field(self, place: str) -> Field:
        field = Field(self._look, place, HINTS.get(place, ""), False, self)
        field.name(NAMES[place], LABELS[place])
        set_help(field.edit, HELP[place])
        field.left.connect(self._on_left)
        field.went_on.connect(self._on_went_on)
        field.keys_first = self._put_back
        return field

    def _choice(self, place: str) -> Choice:
        choice = Choice(self._look, place, WHOLE_COUNTRY if place == "subdivision" else "", self)
        choice.name(NAMES[place], LABELS[place])
        set_help(choice.edit, HELP[place])
        choice.left.connect(self._on_chosen)
        choice.went_on.connect(self._on_went_on)
        return choice

    def _lay_out(self) -> None:
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        for column in (0, 1):
            self._grid.setColumnStretch(column, 1)
        at = 0
        for row in _ROWS:
            if row[0] in GROUPS:
                self._grid.addWidget(Words(GROUPS[row[0]], bold=True), at, 0, 1, 2)
                at += 1
            for column, place in enumerate(row):
                if place:
                    self._grid.addWidget(self.fields[place], at, column)
            at += 1

    @Slot()
    def _fit(self) -> None:
        self._grid.setHorizontalSpacing(self._look.px(0.7))
        self._grid.setVerticalSpacing(self._look.px(0.15))
