"""Closures, days worked although closed, and carriers' services: three lists, and what is changed in them."""

from collections.abc import Mapping
from datetime import date
from functools import partial
from typing import Any

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from intake.domain import calendar_entry
from intake.domain.calendar_year import CLOSURES, NEW_CLOSURE, WORKED, Place, next_closed
from intake.domain.delivery_services import Service
from intake.domain.lab import Lab
from intake.domain.weekdays import written_weekdays
from intake.domain.wording import counted, listed
from intake.domain.written_dates import shown_day
from intake.ui.look import Look
from intake.ui.setup.calendar import words
from intake.ui.setup.calendar.changes import set_values
from intake.ui.setup.calendar.entry_list import EntryList, Part
from intake.ui.setup.calendar.year_view import span_words
from intake.ui.setup.draft import Draft

SERVICES: Place = ("deadlines", "services")
_FEW = 4
"""So many practices are named one by one."""


class Entries(QWidget):
    """Shows the three lists of a draft, and changes it.

    Args:
        look: For fonts and lengths.
        draft: The setup while it is being changed.
        parent: The owner.
    """

    chosen = Signal(object, object)
    """The first and the last day of an entry that is chosen."""

    def __init__(self, look: Look, draft: Draft, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._draft = look, draft
        self._used: Mapping[str, tuple[str, ...]] = {}
        self._key = ""
        self.closures = EntryList(look, words.CLOSURES, words.CLOSURES_HELP, _CLOSURE, self)
        self.worked = EntryList(look, words.WORKED, words.WORKED_HELP, _DAY_WORKED, self)
        self.services = EntryList(look, words.SERVICES, words.SERVICES_HELP, _SERVICE, self)
        self._lists = {self.closures: CLOSURES, self.worked: WORKED, self.services: SERVICES}
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        for each in self._lists:
            self._column.addWidget(each)
        self.closures.changed.connect(self._on_closure)
        self.worked.changed.connect(self._on_worked)
        self.services.changed.connect(self._on_service)
        self.closures.chosen.connect(self._on_closure_chosen)
        self.worked.chosen.connect(self._on_worked_chosen)
        look.changed.connect(self._fit)
        self._fit()

    def set_today(self, today: date) -> None:
        """Takes the desk's day, from which dates without a year count."""
        for each in self._lists:
            each.today = today

    def show_lab(self, lab: Lab) -> None:
        """Shows a setup."""
        closures = sorted(enumerate(lab.calendar.closures), key=lambda each: (each[1].first, each[1].last))
        self.closures.show_entries(
            [{"at": at, "first": each.first, "last": each.last, "name": each.name} for at, each in closures],
            [f"{span_words(each.first, each.last)}  {each.name}" for _, each in closures],
            words.NO_CLOSURES.format(key=self._key),
        )
        worked = sorted(enumerate(lab.calendar.worked), key=lambda each: each[1])
        said = [{"at": at, "day": day} for at, day in worked]
        self.worked.show_entries(said, [shown_day(day) for _, day in worked], words.NO_WORKED)
        services = lab.deadlines.services
        self.services.show_entries(
            [
                {"at": at, "name": each.name, "transit_days": each.transit_days, "weekdays": each.weekdays}
                for at, each in enumerate(services)
            ],
            [self._service_words(each) for each in services],
            words.NO_SERVICES.format(key=self._key),
        )
        strangers = _strangers(self._used, lab)
        self.services.aside.setText(strangers)
        self.services.aside.setVisible(bool(strangers))

    def show_used(self, used: Mapping[str, tuple[str, ...]]) -> None:
        """Shows which practices have each service."""
        self._used = used
        self.show_lab(self._draft.lab)

    def name_key(self, key: str) -> None:
        """Says which key makes a new entry."""
        self._key = key or "the menu"
        self.show_lab(self._draft.lab)

    def commit(self) -> None:
        """Takes what is typed and not left yet."""
        for each in self._lists:
            each.commit()

    def new(self, first: date, last: date) -> None:
        """A new service, day worked or closure, by where the keys are; days begin as they are chosen elsewhere."""
        if self.services.has_keys:
            service = {"name": self._new_service(), "transit_days": 1, "weekdays": [0, 1, 2, 3, 4]}
            self._draft.add(SERVICES, service)
            self.services.choose(len(self._draft.lab.deadlines.services) - 1, "name")
        elif self.worked.has_keys:
            if (day := next_closed(self._draft.lab.calendar, first)) is not None:
                self._draft.add(WORKED, day)
                self.worked.choose(len(self._draft.lab.calendar.worked) - 1, "day")
        else:
            self._draft.add(CLOSURES, {"first": first, "last": last, "name": NEW_CLOSURE})
            self.name_newest_closure()

    def name_newest_closure(self) -> None:
        """Goes to the name of the closure that was added last."""
        self.closures.choose(len(self._draft.lab.calendar.closures) - 1, "name")

    def take_out(self) -> bool:
        """Takes out what is chosen in the list that has the keys; whether one has them."""
        for each, place in self._lists.items():
            if each.has_keys and each.at >= 0:
                each.list.setFocus(Qt.FocusReason.OtherFocusReason)
                self._draft.take_out((*place, each.at))
                return True
        return False

    @Slot(int, str, object)
    def _on_closure(self, at: int, key: str, value: Any) -> None:
        closure = self._draft.lab.calendar.closures[at]
        if key == "last" and value < closure.first:
            self.closures.refuse("last", f"That is before the first day, {shown_day(closure.first)}.")
        elif key == "first" and value > closure.last:
            self._draft.change(partial(set_values, (*CLOSURES, at), {"first": value, "last": value}))
        else:
            self._draft.put((*CLOSURES, at, key), value)

    @Slot(int, str, object)
    def _on_worked(self, at: int, key: str, value: Any) -> None:
        self._draft.put((*WORKED, at), value)

    @Slot(int, str, object)
    def _on_service(self, at: int, key: str, value: Any) -> None:
        others = {each.name.casefold() for n, each in enumerate(self._draft.lab.deadlines.services) if n != at}
        if key == "name" and value.casefold() in others:
            self.services.refuse("name", "Another service has this name.")
        else:
            self._draft.put((*SERVICES, at, key), value)

    @Slot()
    def _on_closure_chosen(self) -> None:
        closure = self._draft.lab.calendar.closures[self.closures.at]
        self.chosen.emit(closure.first, closure.last)

    @Slot()
    def _on_worked_chosen(self) -> None:
        day = self._draft.lab.calendar.worked[self.worked.at]
        self.chosen.emit(day, day)

    def _new_service(self) -> str:
        names = {service.name.casefold() for service in self._draft.lab.deadlines.services}
        return next(name for n in range(1, 1000) if (name := f"Service {n}").casefold() not in names)

    def _service_words(self, service: Service) -> str:
        from intake.desk.services import having

        have = counted(having(self._used, service.name), "practice")
        days = counted(service.transit_days, "day") if service.transit_days else "the same day"
        return f"{service.name}: {days}, {written_weekdays(service.weekdays)}; {have}"

    @Slot()
    def _fit(self) -> None:
        self._column.setSpacing(self._look.px(0.9))


_CLOSURE = (
    Part("first", "First day closed", "&First day", calendar_entry.day, shown_day),
    Part("last", "Last day closed", "&Last day", calendar_entry.day, shown_day),
    Part("name", "Reason of the closure", "Reason, as it stands beside t&he dates", calendar_entry.words, wide=True),
)
_DAY_WORKED = (Part("day", "Day worked", "Day wor&ked", calendar_entry.day, shown_day, wide=True),)
_SERVICE = (
    Part("name", "Name of the service", "Na&me, as practices’ entries say it", calendar_entry.words, wide=True),
    Part("transit_days", "Its days on the way", "Days on the way", calendar_entry.count),
    Part("weekdays", "It delivers on", "Delivers on", calendar_entry.weekdays, written_weekdays),
)


def _strangers(used: Mapping[str, tuple[str, ...]], lab: Lab) -> str:
    """The services that practices have and the setup does not."""
    from intake.desk.services import unknown

    told = [
        f"“{name}” of {listed(codes) if len(codes) < _FEW else counted(len(codes), 'practice')}"
        for name, codes in unknown(used, lab).items()
    ]
    return f"Not here, so that the usual way is counted: {listed(told)}." if told else ""
