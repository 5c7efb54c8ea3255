"""The page Calendar of Lab setup: a year as it is worked, and the rules, closures and services behind it."""

from datetime import date, datetime
from functools import partial
from typing import TYPE_CHECKING, Any, cast

from PySide6.QtCore import QPoint, Qt, Signal, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QApplication, QFrame, QHBoxLayout, QPushButton, QScrollArea, QVBoxLayout, QWidget

from intake.domain.calendar_year import entered
from intake.ui.latest import Latest
from intake.ui.plain import Words, button_words
from intake.ui.room import Room
from intake.ui.setup.calendar import asked, recounted
from intake.ui.setup.calendar.changes import make, move_to
from intake.ui.setup.calendar.entries import Entries
from intake.ui.setup.calendar.rules_form import RulesForm
from intake.ui.setup.calendar.words import DUE
from intake.ui.setup.calendar.year_geometry import YearGeometry
from intake.ui.setup.calendar.year_view import YearView
from intake.ui.setup.draft import Draft

if TYPE_CHECKING:
    from intake.desk.desk import Desk

_FORM = 25
"""The width of the form beside the picture, in heights of text."""
_MONTHS = 3
"""So many months need room side by side for the form to stand beside them."""


class CalendarPage(QWidget):
    """The page.

    Args:
        room: What every place shares.
        draft: The setup while it is being changed.
    """

    issued = Signal(object)
    """The tickets that were handed to the printer: a tuple of `Issued`."""

    def __init__(self, room: Room, draft: Draft) -> None:
        super().__init__()
        self._room, self._draft = room, draft
        self._desk: Desk | None = None
        self._asked = Latest(room.jobs)
        self._countries_asked = False
        self._beside: bool | None = None
        self.year = YearView(room.look, datetime.now().date(), self)
        self.rules, self.entries = RulesForm(room.look, self), Entries(room.look, draft, self)
        self.due, self.due_button = Words(DUE, ink="held", wraps=True), QPushButton(self)
        self.would_button = QPushButton(self)
        self._lay_out()
        self._connect()
        self._label()
        self._fit()
        self.setFocusProxy(self.year)

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self._desk = desk
        today = desk.now().date()
        self.year.set_today(today)
        self.rules.today = today
        self.entries.set_today(today)
        if self.isVisible():
            self.read_again()

    @Slot()
    def show_setup(self) -> None:
        """Shows the draft as it is now."""
        self.rules.show_lab(self._draft.lab)
        self.entries.show_lab(self._draft.lab)
        self.year.show_rules(self._draft.lab.calendar)

    @Slot()
    def read_again(self) -> None:
        """Comes into view: the open jobs and the directory may have changed meanwhile."""
        if not self._countries_asked:
            self._countries_asked = True
            self._room.jobs.run(asked.countries, self._on_countries, lane="beside")
        if self._desk is not None:
            self._asked.ask(partial(asked.standing, self._desk), self._on_standing, self._trouble)

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._asked.forget()

    def commit(self) -> None:
        """Takes what is typed and not left yet."""
        self.rules.commit()
        self.entries.commit()

    def row_new(self) -> None:
        """A new entry of the list that has the keys, a closure where none has."""
        self.entries.new(*self.year.stretch)

    def row_out(self) -> None:
        """Takes the entry out that is chosen in the list that has the keys."""
        if not self.entries.take_out():
            self._room.news.tell("Go to a closure, a day worked or a service first: what is chosen there is taken out.")

    @Slot()
    def show_what_would_change(self) -> None:
        """Shows what the setup as it is here would do to the dates of the open jobs."""
        if self._desk is None or not self.isVisible():
            return
        self.commit()
        if self._draft.problem:
            self._room.news.tell(self._draft.problem)
        else:
            recounted.show_what_would_change(self._room, self._desk, self._draft.lab, self.window())

    @Slot()
    def recount(self) -> None:
        """Counts the dates of the open jobs anew by the setup in force."""
        if self._desk is not None and self.isVisible():
            dialog = recounted.count(self._room, self._desk, self.window())
            dialog.issued.connect(self.issued)
            dialog.finished.connect(self.read_again)

    @Slot()
    def _on_entered(self) -> None:
        before = len(self._draft.lab.calendar.closures)
        self._draft.change(partial(make, entered(self._draft.lab.calendar, *self.year.stretch)))
        if len(self._draft.lab.calendar.closures) > before:
            self.entries.name_newest_closure()

    @Slot(object, object)
    def _on_chosen(self, first: date, last: date) -> None:
        self.year.picture.choose(last, first)

    @Slot(str, str, object)
    def _on_rule(self, table: str, name: str, value: Any) -> None:
        if name == "country":
            self._draft.change(partial(move_to, str(value), self._draft.lab.calendar.zone))
        else:
            self._draft.put((table, name), value)

    def _on_countries(self, countries: Any) -> None:
        self.rules.offer(countries)
        self.rules.show_lab(self._draft.lab)

    def _on_standing(self, standing: asked.Standing) -> None:
        for part in (self.due, self.due_button):
            part.setVisible(standing.due)
        self.entries.show_used(standing.services)

    def _trouble(self, problem: Exception) -> None:
        raise problem

    def _lay_out(self) -> None:
        self._left, self._right = QWidget(), QWidget()
        self._left_column, self._right_column = QVBoxLayout(self._left), QVBoxLayout(self._right)
        self._left_column.addWidget(self.year)
        for part in (self.rules, self.entries):
            self._right_column.addWidget(part)
        self._right_column.addStretch(1)
        self._scroll, self._form = QScrollArea(), QScrollArea()
        for area, inner in ((self._scroll, self._left), (self._form, self._right)):
            area.setWidgetResizable(True)
            area.setFrameShape(QFrame.Shape.NoFrame)
            area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
            area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            area.setWidget(inner)
        self._whole = QHBoxLayout()
        self._whole.addWidget(self._scroll, 1)
        self._whole.addWidget(self._form)
        due = QHBoxLayout()
        due.addWidget(self.due, 1)
        due.addWidget(self.due_button)
        self._head = QHBoxLayout()
        self._head.addWidget(self.year.head, 1)
        self._page = QVBoxLayout(self)
        self._page.addLayout(due)
        self._page.addLayout(self._head)
        self._page.addLayout(self._whole, 1)
        self.due.hide()
        self.due_button.hide()

    def _connect(self) -> None:
        keys = self._room.keys
        self.year.entered.connect(self._on_entered)
        self.year.picture.chosen.connect(self._follow)
        self.rules.changed.connect(self._on_rule)
        self.entries.chosen.connect(self._on_chosen)
        keys.action("dates-would-change").triggered.connect(self.show_what_would_change)
        keys.action("dates-recount").triggered.connect(self.recount)
        self.would_button.clicked.connect(self.show_what_would_change)
        self.due_button.clicked.connect(self.recount)
        keys.changed.connect(self._label)
        cast("QApplication", QApplication.instance()).focusChanged.connect(self._on_focus)
        self._room.look.changed.connect(self._fit)

    @Slot("QWidget*", "QWidget*")
    def _on_focus(self, before: QWidget | None, now: QWidget | None) -> None:
        """Brings a field into view that its letter went to."""
        if now is not None and self._right.isAncestorOf(now):
            (self._form if self._beside else self._scroll).ensureWidgetVisible(now, 0, self._room.look.px(2))

    @Slot()
    def _follow(self) -> None:
        """Keeps the day that is chosen in view, and its month as far as there is room."""
        picture, inner = self.year.picture, self._left
        month = picture.places().month_of(picture.day.month).toRect()
        day = picture.places().cell_of(picture.day).toRect()
        for y in (month.bottom(), month.top(), day.bottom() + 1, day.top()):
            self._scroll.ensureVisible(0, picture.mapTo(inner, QPoint(0, y)).y(), 0, 0)

    @Slot()
    def _label(self) -> None:
        for button, name, words in (
            (self.would_button, "dates-would-change", "What would change"),
            (self.due_button, "dates-recount", "Count them"),
        ):
            button.setText(button_words(f"{words}  {self._room.keys.shown(name)}".rstrip()))
        self.entries.name_key(self._room.keys.shown("row-new"))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._turn()

    def _turn(self) -> None:
        """Side by side where the months and the form have room, else the form below the picture."""
        px = self._room.look.px
        beside = self.width() >= YearGeometry.usual_width(self._room.look, _MONTHS) + px(_FORM) + px(4)
        if beside != self._beside:
            self._beside = beside
            if beside:
                self._form.setWidget(self._right)
                self._head.addWidget(self.would_button, 0, Qt.AlignmentFlag.AlignTop)
            else:
                self._form.takeWidget()
                self._left_column.addWidget(self._right)
                self._left_column.addWidget(self.would_button, 0, Qt.AlignmentFlag.AlignLeft)
            self._right.show()
            self._form.setVisible(beside)
        self._form.setFixedWidth(px(_FORM) + self._form.verticalScrollBar().sizeHint().width())
        self._left_column.setContentsMargins(0, 0, 0 if beside else px(0.8), 0)
        self._right_column.setContentsMargins(0, 0, px(0.8) if beside else 0, 0)

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._page.setContentsMargins(px(1), px(0.7), px(1), px(0.7))
        self._page.setSpacing(px(0.5))
        self._whole.setSpacing(px(1.4))
        self._left_column.setSpacing(px(1))
        self._right_column.setSpacing(px(0.9))
        self._turn()
