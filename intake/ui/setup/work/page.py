"""The page Work and benches of Lab setup: its tables by keys, and the ticket of an example as they make it."""

from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QPushButton, QStackedWidget, QVBoxLayout, QWidget

from intake.domain.lab import ApplianceType, Category, ImpressionMaterial
from intake.setup.appliance_tables import MATERIALS, TYPES
from intake.setup.route_tables import BENCHES, CATEGORIES
from intake.ui.plain import button_words, restyle
from intake.ui.room import Room
from intake.ui.setup.draft import Draft
from intake.ui.setup.entries.panel import EntryPanel
from intake.ui.setup.work.shades_view import ShadesView
from intake.ui.setup.work.ticket_view import TicketView
from intake.ui.waiting.flow import Flow

if TYPE_CHECKING:
    from intake.desk.desk import Desk

PARTS = {
    "work-categories": CATEGORIES,
    "work-benches": BENCHES,
    "work-types": TYPES,
    "work-materials": MATERIALS,
}
"""Each table by the action that goes there."""
SHADES, TICKET = "work-shades", "work-ticket"
ROOMY = 66
"""From this width on, in heights of text, the ticket stands beside the tables; else it is a part of its own."""
NARROW = 44
"""Below this width the tables are chosen from a list rather than by buttons."""
PAPER = 22
"""The width of the ticket beside a table, in heights of text."""


class WorkPage(QWidget):
    """The page.

    Args:
        room: What every place shares.
        draft: The setup while it is being changed.
    """

    def __init__(self, room: Room, draft: Draft) -> None:
        super().__init__()
        self._room, self._draft = room, draft
        self.panels = {name: EntryPanel(table, room, draft) for name, table in PARTS.items()}
        self.shades = ShadesView(room, draft)
        self.ticket = TicketView(room, self)
        self.tabs = {name: QPushButton(self) for name in (*PARTS, SHADES, TICKET)}
        self.choice = QComboBox(self)
        self.part = next(iter(PARTS))
        self._of: dict[str, str | None] = {}
        self._shown_by = {
            **{name: panel.show_setup for name, panel in self.panels.items()},
            SHADES: self.shades.show_setup,
        }
        self._stale = set(self._shown_by)
        self._lay_out()
        self._connect()
        self._label()
        self.show_part(self.part)

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self.ticket.set_desk(desk)

    @Slot()
    def show_setup(self) -> None:
        """Shows the draft as it is now; the chosen cell and what is half typed stay."""
        self._stale = set(self._shown_by)
        if self.isVisible():
            self._show_part_anew()
            self._show_ticket()

    @Slot()
    def read_again(self) -> None:
        """Comes into view: everything comes from the draft."""

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._show_part_anew()
        self._show_ticket()

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self.ticket.forget()

    def show_part(self, name: str) -> None:
        """Brings a table into view."""
        self.part = name
        for each, button in self.tabs.items():
            button.setProperty("picked", each == name)
            restyle(button)
        self.choice.setCurrentIndex(list(self.tabs).index(name))
        self._show_part_anew()
        self.stack.setCurrentWidget(self._views[name])
        self.setFocusProxy(self._views[name])
        if self.isVisible():
            self._views[name].setFocus(Qt.FocusReason.OtherFocusReason)
        self._show_ticket()

    def row_new(self) -> None:
        """Begins a new entry of the table in view."""
        if panel := self._panel:
            panel.row_new()

    def row_out(self) -> None:
        """Takes the chosen entry out."""
        if panel := self._panel:
            panel.row_out()

    def row_up(self) -> None:
        """Moves the chosen entry up."""
        if panel := self._panel:
            panel.move_row(-1)

    def row_down(self) -> None:
        """Moves the chosen entry down."""
        if panel := self._panel:
            panel.move_row(1)

    def _show_part_anew(self) -> None:
        """The table in view shows the draft at once, the others once they come into view."""
        if self.part in self._stale:
            self._stale.discard(self.part)
            self._shown_by[self.part]()

    @property
    def _panel(self) -> EntryPanel | None:
        return self.panels.get(self.part)

    @Slot(object)
    def _on_chosen(self, entry: Any) -> None:
        if self.sender() is self._panel:
            self._show_ticket()

    def _show_ticket(self) -> None:
        """The ticket of what is chosen; a choice of another table goes on counting where this one says nothing."""
        entry = self._panel.entry if self._panel is not None else None
        if isinstance(entry, Category):
            self._of = {"category": entry.id}
        elif isinstance(entry, ApplianceType):
            self._of = {"kind": entry.id}
        elif isinstance(entry, ImpressionMaterial):
            self._of = {**self._of, "material": entry.id}
        elif entry is not None:
            on = (each.id for each in self._draft.lab.categories if any(s.bench == entry.name for s in each.route))
            self._of = {"category": next(on, None)}
        self.ticket.show_ticket(self._draft.lab, self._of)

    def _go_to(self, name: str) -> None:
        if self.isVisible() and (name != TICKET or not self._roomy):
            self.show_part(name)

    def _lay_out(self) -> None:
        self.stack = QStackedWidget(self)
        self._views: dict[str, QWidget] = {**self.panels, SHADES: self.shades, TICKET: QWidget(self)}
        for view in self._views.values():
            self.stack.addWidget(view)
        self._views[TICKET].setFocusProxy(self.ticket)
        self._paper_alone = QVBoxLayout(self._views[TICKET])
        self._paper_alone.setContentsMargins(0, 0, 0, 0)
        self._row = Flow()
        for button in (*self.tabs.values(), self.choice):
            self._row.addWidget(button)
        self.choice.setAccessibleName("What is shown")
        self.choice.addItems(["" for _ in self.tabs])
        self._beside = QHBoxLayout()
        self._beside.addWidget(self.stack, 1)
        self._column = QVBoxLayout(self)
        self._column.addLayout(self._row)
        self._column.addLayout(self._beside, 1)
        self._fit()

    def _connect(self) -> None:
        action, keys = self._room.keys.action, self._room.keys
        for name, button in self.tabs.items():
            button.clicked.connect(action(name).trigger)
            action(name).triggered.connect(partial(self._go_to, name))
        self.choice.activated.connect(lambda at: self._go_to(list(self.tabs)[at]))
        for panel in self.panels.values():
            panel.chosen.connect(self._on_chosen)
        keys.changed.connect(self._label)
        self._room.look.changed.connect(self._fit)

    @Slot()
    def _label(self) -> None:
        titles = {name: table.title for name, table in PARTS.items()}
        for name, words in {**titles, SHADES: "Shades and boxes", TICKET: "Ticket"}.items():
            said = f"{words}  {self._room.keys.shown(name)}".rstrip()
            self.tabs[name].setText(button_words(said))
            self.choice.setItemText(list(self.tabs).index(name), said)

    @property
    def _roomy(self) -> bool:
        return self.width() >= self._room.look.px(ROOMY)

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._column.setContentsMargins(px(1), px(0.7), px(1), px(0.5))
        self._column.setSpacing(px(0.6))
        self._row.setSpacing(px(0.4))
        self._beside.setSpacing(px(1.2))
        self._turn()

    def _turn(self) -> None:
        """The ticket beside the tables where there is room, else in their place when it is asked for."""
        roomy = self._roomy
        narrow = self.width() < self._room.look.px(NARROW)
        for name, button in self.tabs.items():
            button.setVisible(not narrow and (name != TICKET or not roomy))
        self.choice.setVisible(narrow)
        (self._beside if roomy else self._paper_alone).addWidget(self.ticket)
        self.ticket.stand_alone(not roomy)
        self.ticket.setFixedWidth(self._room.look.px(PAPER)) if roomy else self.ticket.setMaximumWidth(16_777_215)
        if not roomy:
            self.ticket.setMinimumWidth(0)
        if roomy and self.part == TICKET:
            self.show_part(next(iter(PARTS)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._turn()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc takes back what is half typed in a field first; then it is the place's."""
        if event.key() == Qt.Key.Key_Escape and self.shades.give_up():
            return
        super().keyPressEvent(event)
