"""What is known of one practice, field by field; a field counts when it is left."""

from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QLineEdit, QScrollArea, QVBoxLayout, QWidget

from intake.domain.form_fields import Said
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.practice_entry import PLACES, written
from intake.ui.arrivals.field import Field
from intake.ui.help_panel import set_help
from intake.ui.plain import Words
from intake.ui.room import Room
from intake.ui.setup.directory.fields import Choice, Lines
from intake.ui.setup.directory.standing_view import StandingView
from intake.ui.setup.directory.words import HELP, HINTS, LABELS, NAMES, NOTATIONS, USUAL

if TYPE_CHECKING:
    from intake.ui.setup.directory.asked import Offered

ROOMY = 36
"""From this width on, in heights of text, fields stand side by side."""
_LINES = {"address": 4, "prescribers": 4, "hours": 3, "notes": 3}
_ROWS = (
    ("name", "code"),
    ("address", "postcode"),
    ("address", "telephone"),
    ("email", "language"),
    ("prescribers", "open_weekdays"),
    ("prescribers", "notation"),
    ("hours", "service"),
    ("hours", "transit_days"),
    ("country", "subdivision"),
    ("zone", ""),
    ("notes", "notes"),
)
"""What stands side by side where there is the room; a field that is named in two rows is so high, or so wide."""


class PracticeForm(QScrollArea):
    """Shows a practice, and says which of its fields was left.

    Args:
        room: What every place shares.
        lab: The lab setup.
        parent: The owner.
    """

    left = Signal(str)
    """The place of a field that was left, or that Enter was pressed in."""

    def __init__(self, room: Room, lab: Lab, parent: QWidget) -> None:
        super().__init__(parent)
        self._room = room
        self._offered: Offered | None = None
        self._whole = QWidget(self)
        self._shown: dict[str, str] = dict.fromkeys(PLACES, "")
        self._code: str | None = None
        self.fields: dict[str, Field | Choice] = {place: self._field(place) for place in PLACES}
        self.standing = StandingView(self._whole)
        self.standing_head = Words("Standing instructions", size="small", ink="quiet")
        self._lay_out()
        self._connect()
        self.offer(None, lab)
        self._fit()

    @property
    def code(self) -> str | None:
        """The code of the practice that is shown; None for one that is new."""
        return self._code

    @property
    def place(self) -> str | None:
        """The field that has the keys."""
        return next((place for place, field in self.fields.items() if field.edit.hasFocus()), None)

    def text(self, place: str) -> str:
        """What is typed in a field."""
        return self.fields[place].text.strip()

    def touched(self, place: str) -> bool:
        """Whether something else stands in a field than what is known."""
        return self.text(place) != self._shown[place]

    def show_practice(self, practice: Practice | None, typed: Mapping[str, str] | None = None) -> None:
        """Shows what is known of a practice; None for a new one.

        Args:
            practice: The practice. While it is the same as before, what is half typed in a field stays.
            typed: What was typed into some fields and refused.
        """
        code = practice.code if practice else None
        same = code == self._code and (practice is not None or typed is None)
        entry = written(practice) if practice else dict.fromkeys(PLACES, "") | {"open_weekdays": "Mon-Fri"}
        for place, field in self.fields.items():
            keep = same and self.touched(place)
            self._shown[place] = entry[place].strip()
            if place == "subdivision" and not keep:
                self._offer_parts(entry["country"])
            if not keep:
                field.set_text((typed or {}).get(place, entry[place]))
                field.say(None, self._aside(place, practice))
        if not same:
            self.verticalScrollBar().setValue(0)
        self._code = code
        self._enable(practice)
        self.standing.show_standing(practice, self._lab)
        for part in (self.standing, self.standing_head):
            part.setVisible(bool(self.standing.count()))

    def is_kept(self, place: str, text: str) -> None:
        """What was typed in a field counts now; it is shown as it is kept, unless more is typed meanwhile."""
        if self.text(place) == text:
            self._shown[place] = text

    def put_back(self, place: str) -> None:
        """Puts back what is known in the place of what is typed."""
        self.fields[place].set_text(self._shown[place])
        self.fields[place].say(None)

    def refuse(self, place: str, why: str) -> None:
        """Says why a field cannot be taken; what is typed stays."""
        self.fields[place].say(Said(why, wrong=True))

    def say(self, place: str, words: str) -> None:
        """Says something of a field that is not wrong."""
        self.fields[place].say(None, words)

    def take_keys(self, place: str = PLACES[0]) -> None:
        """Takes the keys to a field."""
        self.fields[place].take_keys()

    def offer(self, offered: "Offered | None", lab: Lab) -> None:
        """Takes what can be chosen: countries, and what the setup names."""
        self._offered, self._lab = offered, lab
        services = [(f"{each.name}: {_days(each.transit_days)}", each.name) for each in lab.deadlines.services]
        self._choice("service").offer(services)
        self._choice("notation").offer(NOTATIONS)
        self._choice("language").offer([(each.name, code) for code, each in lab.languages.items()])
        self._choice("country").offer([(each.name, each.code) for each in offered.countries] if offered else ())
        self._offer_parts(self._choice("country").text)

    def _choice(self, place: str) -> Choice:
        field = self.fields[place]
        assert isinstance(field, Choice)
        return field

    @Slot(str)
    def _on_chosen(self, place: str) -> None:
        if place == "country":
            self._choice("subdivision").set_text("")
            self._offer_parts(self._choice("country").text)

    def _offer_parts(self, country: str) -> None:
        """The parts and the time zones of a country; the laboratory's own where none is chosen."""
        offered, own = self._offered, self._lab.calendar.country
        parts = next((each.parts for each in offered.countries if each.code == (country or own)), ()) if offered else ()
        self._choice("subdivision").offer([(part.name, part.code) for part in parts])
        zones = offered.zones(country or own) if offered else ()
        self._choice("zone").offer([(zone.replace("_", " "), zone) for zone in zones])

    def _aside(self, place: str, practice: Practice | None) -> str:
        if place == "code" and practice is not None and practice.former:
            return f"also {', '.join(practice.former)}"
        return ""

    def _enable(self, practice: Practice | None) -> None:
        """A code stands on stickers and prescriptions, so it is given once; a new practice gets it before the rest."""
        code = self.fields["code"].edit
        assert isinstance(code, QLineEdit)
        code.setReadOnly(practice is not None)
        code.setFocusPolicy(Qt.FocusPolicy.StrongFocus if practice is None else Qt.FocusPolicy.ClickFocus)
        for place, field in self.fields.items():
            if place not in ("name", "code"):
                field.setVisible(practice is not None)

    def _field(self, place: str) -> Field | Choice:
        made: Field | Choice
        if place in USUAL:
            made = Choice(self._room.look, place, USUAL[place], self._whole)
        elif place in _LINES:
            made = Lines(self._room.look, place, HINTS.get(place, ""), _LINES[place], self._whole)
        else:
            made = Field(self._room.look, place, HINTS.get(place, ""), False, self._whole)
        made.name(NAMES[place], LABELS[place])
        set_help(made.edit, HELP[place])
        return made

    def _connect(self) -> None:
        for field in self.fields.values():
            field.left.connect(self.left)
            field.went_on.connect(self._on_went_on)
            field.entered.connect(self._on_entered)
            if isinstance(field, Choice):
                field.chosen.connect(self._on_chosen)
        self._room.look.changed.connect(self._fit)

    @Slot(str)
    def _on_went_on(self, place: str) -> None:
        """On to the next field that can be typed into; leaving this one makes it count."""
        following = PLACES[PLACES.index(place) + 1 :]
        onward = next((each for each in following if self._can_have_keys(each)), None)
        if onward is None:
            self.left.emit(place)
        else:
            self.fields[onward].take_keys()

    def _can_have_keys(self, place: str) -> bool:
        edit = self.fields[place].edit
        return not self.fields[place].isHidden() and bool(edit.focusPolicy() & Qt.FocusPolicy.TabFocus)

    @Slot(str)
    def _on_entered(self, place: str) -> None:
        # Not before it is laid out: it may have come into view just now.
        QTimer.singleShot(0, partial(self._show_whole, place))

    def _show_whole(self, place: str) -> None:
        if self.isVisible():
            self.ensureWidgetVisible(self.fields[place], 0, self._room.look.px(1))

    def _lay_out(self) -> None:
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.standing.installEventFilter(self)
        self._grid = QGridLayout()
        self._column = QVBoxLayout(self._whole)
        self._column.addLayout(self._grid)
        self._column.addWidget(self.standing_head)
        self._column.addWidget(self.standing)
        self._column.addStretch(1)
        for before, after in zip(PLACES, (*PLACES[1:], None), strict=True):
            QWidget.setTabOrder(self.fields[before].edit, self.fields[after].edit if after else self.standing)
        self.setWidget(self._whole)

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._column.setContentsMargins(px(1), px(0.4), px(1), px(1))
        self._column.setSpacing(px(0.2))
        self._grid.setHorizontalSpacing(px(1))
        self._grid.setVerticalSpacing(px(0.15))
        roomy = self.width() >= px(ROOMY)
        for place, (row, column, rows, columns) in _places_in_grid(roomy).items():
            self._grid.addWidget(self.fields[place], row, column, rows, columns)
        for column in range(2):
            self._grid.setColumnStretch(column, 1 if roomy or not column else 0)
        self.standing.fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self.standing and event.type() == QEvent.Type.FocusIn:
            self.ensureWidgetVisible(self.standing)
        return super().eventFilter(watched, event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc is the page's."""
        event.ignore() if event.key() == Qt.Key.Key_Escape else super().keyPressEvent(event)


def _places_in_grid(roomy: bool) -> dict[str, tuple[int, int, int, int]]:
    """Row, column, and how many of each, by field."""
    if not roomy:
        return {place: (row, 0, 1, 1) for row, place in enumerate(PLACES)}
    found: dict[str, tuple[int, int, int, int]] = {}
    for row, pair in enumerate(_ROWS):
        for column, place in enumerate(pair):
            if place and place not in found:
                high = sum(place in other for other in _ROWS)
                found[place] = (row, column, high, pair.count(place))
    return found


def _days(count: int) -> str:
    return f"{count} delivery day{'' if count == 1 else 's'}"
