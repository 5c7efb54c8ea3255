"""A day on the screen: its numbers, its hours, its streams and categories, and what is not finished."""

from datetime import datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QPushButton, QScrollArea, QVBoxLayout, QWidget

from intake.domain.written_dates import DateUnclear, read_moment
from intake.ui.day.figures import Figures, ShareTable
from intake.ui.day.hour_bars import HourBars
from intake.ui.day.things_list import ThingsList
from intake.ui.help_panel import set_help
from intake.ui.plain import Words, button_words
from intake.ui.room import Room
from intake.ui.waiting.flow import Flow

if TYPE_CHECKING:
    from datetime import date

    from intake.ui.day.asked import Shown

ROOMY = 66
"""From this width on, in heights of text, the numbers and the list stand side by side."""
LEAST_LIST = 14
"""The height of the list at the least, in heights of text."""
EMPTY = (
    "The day is counted here: what arrived, what was booked, held and handed over, and what must leave. Nothing has "
    "happened on this day, and nothing is open. {arrivals} goes to Arrivals, where cases are booked in."
)
DAY_HELP = "Another day to look at: 24/11, mon, yesterday. Enter shows it, nothing shows today, Esc leaves it."
NUMBERS_HELP = (
    "The day in numbers. Where they have no room, ↑ and ↓ turn them; Tab goes to the list of what is not finished."
)
BUTTONS = {
    "day-print": "Print",
    "day-pdf": "PDF",
    "day-other": "Another day",
    "close-day": "Close the day",
}


class TodayView(QWidget):
    """Shows a day.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    go = Signal(object)
    """Where something can be done about a line: a `Go`."""
    day_wanted = Signal(object)
    """The day to show; None for today."""

    def __init__(self, room: Room, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._room = room
        self.shown: Shown | None = None
        self._today: date | None = None
        self._lay_out()
        self._connect()

    def show_sheet(self, shown: "Shown") -> None:
        """Shows a day."""
        self.shown = shown
        if shown.is_today:
            self._today = shown.day
        self.title.setText(shown.title if not shown.is_today else f"Today, {shown.title}")
        self.counted.setText(shown.counted + ("" if shown.closed or shown.is_empty else " · not closed yet"))
        self.closed.setText(shown.closed)
        self.closed.setVisible(bool(shown.closed))
        self.figures.show_figures(shown.figures)
        self.open.setText(shown.open)
        self.hours.show_hours(shown.hours)
        self.table.show_rows(shown.rows)
        self.things.show_sections(shown.sections)
        self.empty.setText(EMPTY.format(arrivals=self._room.keys.shown("go-arrivals")))
        self.empty.setVisible(shown.is_empty)
        for part in (self.figures, self.open, self.table, self.things):
            part.setVisible(not shown.is_empty)
        self._fit()

    @Slot()
    def ask_day(self) -> None:
        """Asks for another day."""
        self.day.setVisible(True)
        self.day_said.setText("")
        self.day.clear()
        self.day.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def leave_day(self) -> bool:
        """Asks for no other day; whether it was asked."""
        asked = self.day.isVisible()
        self.day.setVisible(False)
        self.day_said.setVisible(False)
        if asked:
            self.things.setFocus(Qt.FocusReason.OtherFocusReason)
        return asked

    @Slot()
    def _see(self) -> None:
        """Where the list lies under the numbers, what is chosen comes into view; above the first of it, the numbers."""
        at = self.things.visualRect(self.things.currentIndex())
        if self.things.parentWidget() is self:
            return
        place = self.things.viewport().mapTo(self._numbers, at.center())
        if self.things.is_at_top:
            self._scroll.verticalScrollBar().setValue(0)
        else:
            self._scroll.ensureVisible(place.x(), place.y(), 0, at.height())

    @Slot()
    def _on_day(self) -> None:
        typed, today = self.day.text().strip(), self._today
        if not typed or today is None:
            self.leave_day()
            self.day_wanted.emit(None)
            return
        try:
            moment = read_moment(typed, today, past=True)
        except DateUnclear as unclear:
            self.day_said.setText(str(unclear))
            self.day_said.setVisible(True)
            self.day.selectAll()
            return
        self.leave_day()
        self.day_wanted.emit(moment.date() if isinstance(moment, datetime) else moment)

    def _connect(self) -> None:
        keys = self._room.keys
        self.things.go.connect(self.go)
        self.things.moved.connect(self._see)
        self.day.returnPressed.connect(self._on_day)
        for name, button in self.buttons.items():
            button.clicked.connect(keys.action(name).trigger)
        keys.changed.connect(self._label)
        self._room.look.changed.connect(self._fit)
        self._label()

    def _lay_out(self) -> None:
        self.title, self.counted = Words("", size="arm", bold=True), Words("", size="small", ink="quiet")
        self.closed = Words("", ink="ok", bold=True, wraps=True)
        self.open = Words("", ink="quiet", wraps=True)
        self.empty = Words("", ink="quiet", wraps=True)
        self.empty.hide()
        self.day, self.day_said = QLineEdit(self), Words("", ink="held", wraps=True)
        self.day.setAccessibleName("Another day")
        self.day.setPlaceholderText("another day: 24/11, mon, yesterday; Enter alone is today")
        set_help(self.day, DAY_HELP)
        self.day.hide()
        self.day_said.hide()
        self.figures, self.hours = Figures(self._room.look, self), HourBars(self._room.look, self)
        self.table, self.things = ShareTable(self._room.look, self), ThingsList(self._room.look, self)
        self.buttons = {name: QPushButton(self) for name in BUTTONS}
        self._row = Flow()
        for button in self.buttons.values():
            self._row.addWidget(button)
        self._left = QVBoxLayout()
        self._titled = QHBoxLayout()
        self._titled.addWidget(self.title)
        self._titled.addWidget(self.counted, 1, Qt.AlignmentFlag.AlignBottom)
        self._left.addLayout(self._titled)
        for part in (self.closed, self.day, self.day_said):
            self._left.addWidget(part)
        self._left.addLayout(self._row)
        for below in (self.empty, self.figures, self.open, self.hours, self.table):
            self._left.addWidget(below)
        self._numbers = QWidget(self)
        self._below = QVBoxLayout(self._numbers)
        self._below.addLayout(self._left)
        self._below.addStretch(1)
        self._scroll = QScrollArea(self)
        self._scroll.setWidgetResizable(True)
        self._scroll.setAccessibleName("The day in numbers")
        set_help(self._scroll, NUMBERS_HELP)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setWidget(self._numbers)
        self._whole = QHBoxLayout(self)
        self._whole.addWidget(self._scroll, 6)
        self._whole.addWidget(self.things, 5)
        self.setFocusProxy(self.things)
        self._fit()

    @Slot()
    def _label(self) -> None:
        for name, button in self.buttons.items():
            button.setText(button_words(f"{BUTTONS[name]}  {self._room.keys.shown(name)}".rstrip()))

    @Slot()
    def _fit(self) -> None:
        """Numbers and list side by side where there is room; else the list lies under them and scrolls along."""
        px = self._room.look.px
        roomy = self.width() >= px(ROOMY)
        if roomy != (self.things.parentWidget() is self):
            had_keys = self.things.hasFocus()
            self._whole.addWidget(self.things, 5) if roomy else self._below.insertWidget(1, self.things)
            if had_keys:
                self.things.setFocus(Qt.FocusReason.OtherFocusReason)
        focused = f"QScrollArea:focus {{ border-left: 2px solid {self._room.look.colours.focus}; }}"
        self._scroll.setStyleSheet(focused)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.TabFocus if roomy else Qt.FocusPolicy.NoFocus)
        self._whole.setContentsMargins(px(1), px(0.6), px(1) if roomy else 0, px(0.6))
        self._below.setContentsMargins(0, 0, px(1), 0)
        self._whole.setSpacing(px(0.6))
        self._below.setSpacing(px(0.8))
        self._left.setSpacing(px(0.3))
        self._row.setSpacing(px(0.4))
        self.things.setMinimumHeight(px(LEAST_LIST))

    def minimumSizeHint(self) -> QSize:
        # By the narrow layout, whichever is in use: a wide one would keep the window from becoming narrow.
        return QSize(self._room.look.px(22), self._room.look.px(14))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and not event.modifiers() and self.leave_day():
            return
        super().keyPressEvent(event)
