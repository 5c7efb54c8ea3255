"""The picture of a year with what is said of it: how many days are worked, what is not known, and the day's reason."""

from datetime import date

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from intake.domain.bank_holidays import known_until
from intake.domain.calendar_year import CLOSURES, Year, entered, year_of
from intake.domain.lab import CalendarRules
from intake.domain.wording import counted
from intake.domain.written_dates import shown_day
from intake.ui.look import Look
from intake.ui.plain import Words
from intake.ui.setup.calendar.words import ESTIMATED
from intake.ui.setup.calendar.year_key import YearKey
from intake.ui.setup.calendar.year_picture import YearPicture

AHEAD = 2
"""So many years ahead the bank holidays should be known; fewer are said."""
_WHAT = {
    "open": "worked",
    "worked": "worked although closed",
    "closure": "closed by the laboratory",
    "holiday": "bank holiday",
    "weekday": "not worked",
    "unknown": "not known whether it is a bank holiday",
}
_DOES = {"open": "closes it", "unknown": "closes it", "worked": "takes that back"}


class YearView(QWidget):
    """Shows the year of the day that is chosen.

    Args:
        look: For colours, fonts and lengths.
        today: The desk's day.
        parent: The owner.
    """

    entered = Signal()
    """Enter was pressed on the days that are chosen."""

    def __init__(self, look: Look, today: date, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._today = look, today
        self._rules: CalendarRules | None = None
        self._year: Year | None = None
        self.picture, self.key = YearPicture(look, today, self), YearKey(look, self)
        self.head = QWidget(parent)
        """What is said of the year and of the day, for the owner to keep in view."""
        self.number, self.counts = Words("", bold=True), Words("", ink="quiet", wraps=True)
        self.day, self.unknown = Words("", wraps=True), Words("", ink="held", wraps=True)
        self.estimated = Words(ESTIMATED, size="small", ink="quiet", wraps=True)
        self._lay_out()
        self.picture.chosen.connect(self._show)
        self.picture.entered.connect(self.entered)
        look.changed.connect(self._fit)
        self._fit()
        self.setFocusProxy(self.picture)

    @property
    def stretch(self) -> tuple[date, date]:
        """The first and the last day that are chosen."""
        return self.picture.stretch

    def set_today(self, today: date) -> None:
        """Takes the desk's day."""
        self._today = today
        self.picture.set_today(today)
        self._show()

    def show_rules(self, rules: CalendarRules) -> None:
        """Shows the year by these rules."""
        if rules != self._rules:
            self._rules, self._year = rules, None
        self._show()

    @Slot()
    def _show(self) -> None:
        if self._rules is None:
            return
        rules, number = self._rules, self.picture.day.year
        if self._year is None or self._year.number != number:
            self._year = year_of(rules, number)
            self._show_whole(self._year, rules)
        self.day.setText(_said(self._year, rules, *self.stretch))
        self.picture.show_year(self._year, self.day.text())

    def _show_whole(self, year: Year, rules: CalendarRules) -> None:
        self.number.setText(str(year.number))
        self.counts.setText(_counts(year))
        self.unknown.setText(year.unknown or _not_for_long(rules, self._today.year))
        self.unknown.set_ink("held" if year.unknown else "caution")
        self.unknown.setVisible(bool(self.unknown.text()))
        self.estimated.setVisible(any("(estimated)" in day.why for day in year.days.values()))
        self.key.show_kinds({day.kind for day in year.days.values()})

    def _lay_out(self) -> None:
        self._line = QHBoxLayout()
        self._line.addWidget(self.number)
        self._line.addWidget(self.counts, 1)
        self._said = QVBoxLayout(self.head)
        self._said.setContentsMargins(0, 0, 0, 0)
        self._said.addLayout(self._line)
        self._said.addWidget(self.unknown)
        self._said.addWidget(self.day)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        for part in (self.picture, self.key, self.estimated):
            self._column.addWidget(part)
        self._column.addStretch(1)
        self.unknown.hide()
        self.estimated.hide()

    @Slot()
    def _fit(self) -> None:
        self._column.setSpacing(self._look.px(0.45))
        self._said.setSpacing(self._look.px(0.2))
        self._line.setSpacing(self._look.px(0.8))


def span_words(first: date, last: date) -> str:
    """A day, or the first and the last of a stretch."""
    return shown_day(first) if first == last else f"{shown_day(first)} to {shown_day(last)}"


def _said(year: Year, rules: CalendarRules, first: date, last: date) -> str:
    """What there is to say of the days that are chosen, and what Enter does."""
    edits = entered(rules, first, last)
    if first != last:
        does = "closes" if any(edit.place == CLOSURES for edit in edits) else "changes"
        return f"{span_words(first, last)}, {(last - first).days + 1} days. Enter {does} them."
    day = year.days[first]
    why = f": {day.why}" if day.why and day.kind != "weekday" else ""
    opens = any(edit.place[:-1] == CLOSURES for edit in edits)
    does = "opens it again" if opens else _DOES.get(day.kind, "works it")
    return f"{shown_day(first)}: {_WHAT[day.kind]}{why}. Enter {does}."


def _counts(year: Year) -> str:
    if year.unknown:
        return "The working days cannot be counted."
    return f"{counted(year.worked, 'working day')}, {counted(year.holidays, 'bank holiday')} off"


def _not_for_long(rules: CalendarRules, year: int) -> str:
    """What is said where the bank holidays of the next years are not known."""
    last = known_until(rules.country, rules.subdivision, year, AHEAD + 1)
    if last is None or last >= year + AHEAD:
        return ""
    return f"Bank holidays are known up to {last}: until a newer Intake knows more, no date can be counted after it."
