"""The buttons under what is shown of a parcel, each with its key."""

from PySide6.QtCore import Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from intake.ui.plain import button_words, set_edge
from intake.ui.room import Room
from intake.ui.waiting.flow import Flow

BUTTONS = {
    "form": {
        "keep-parcel": "Keep, and on to its case",
        "parcel-accept": "Accept it",
        "parcel-later": "Cases later",
        "parcel-refuse": "Refuse it",
    },
    "card": {
        "parcel-next": "Open its case",
        "parcel-why": "Why no case",
        "parcel-disinfect": "Disinfected here",
        "parcel-accept": "Accept it",
        "parcel-refuse": "Refuse it",
        "parcel-change": "Change",
        "parcel-go-on": "Go on with it",
        "parcel-new": "New parcel",
    },
    "stop": {"keep-parcel": "Write the incident down"},
}
"""What can be done on each page, what is needed most first; all of it is in the menu too."""
ROOMY = 36
"""Below this height of the place, in heights of text, what one row has no room for stands in the menu alone."""


class Bar(QWidget):
    """The buttons of a page.

    Args:
        room: What every place shares.
        page: `form`, `card` or `stop`.
        parent: The owner.
    """

    def __init__(self, room: Room, page: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._room, self._page = room, page
        self._useful: dict[str, bool] = {}
        self._flow = Flow()
        self._column = QVBoxLayout(self)
        self._column.addLayout(self._flow)
        self.buttons = {name: QPushButton(self) for name in BUTTONS[page]}
        for name, button in self.buttons.items():
            button.clicked.connect(room.keys.action(name).trigger)
            self._flow.addWidget(button)
        set_edge(self, "top")
        room.keys.changed.connect(self._label)
        room.look.changed.connect(self._fit)
        self._label()
        self._fit()

    def offer(self, useful: dict[str, bool]) -> None:
        """Hides what has no use just now."""
        self._useful = useful
        self._fit_buttons()

    def _fit_buttons(self) -> None:
        gap, room, taken = self._flow.spacing(), self.width() - 2 * self._room.look.px(0.8), 0
        whole = self.parentWidget()
        roomy = whole is None or whole.height() >= self._room.look.px(ROOMY)
        for name, button in self.buttons.items():
            width = button.sizeHint().width() + gap
            useful = self._useful.get(name, True)
            fits = not taken or taken + width - gap <= room
            button.setVisible(useful and (roomy or fits))
            taken += width if useful and fits else 0

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_buttons()

    @Slot()
    def _label(self) -> None:
        for name, button in self.buttons.items():
            button.setText(button_words(f"{BUTTONS[self._page][name]}  {self._room.keys.shown(name)}".rstrip()))

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._column.setContentsMargins(px(0.8), px(0.3), px(0.8), px(0.3))
        self._flow.setSpacing(px(0.4))
