"""The three columns of Arrivals, and how the list folds away before anything else gets too narrow."""

from PySide6.QtCore import QEvent, QObject, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSplitter, QVBoxLayout, QWidget

from intake.ui.arrivals.form_view import CaseForm
from intake.ui.arrivals.summary import Summary
from intake.ui.arrivals.verdict_view import VerdictView
from intake.ui.arrivals.waiting_view import WaitingView
from intake.ui.plain import Words, button_words, set_edge
from intake.ui.room import Room
from intake.ui.scans.strip import ScanStrip

NARROW = 66
"""Below this width, in heights of text, the list of what waits folds away."""
BUTTONS = {"save": "Save and print", "set-down": "For later"}
WIDTHS = (18, 33, 33)


class Columns(QWidget):
    """Lays out the list, the form with its head and its buttons, and the verdict.

    Args:
        room: What every place shares.
        waiting: What waits.
        summary: What is wrong with the form.
        strip: The scans of the arrival that is in the form.
        form: The form.
        verdict: The verdict.
        parent: The owner.
    """

    def __init__(
        self,
        room: Room,
        waiting: WaitingView,
        summary: Summary,
        strip: ScanStrip,
        form: CaseForm,
        verdict: VerdictView,
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self._room, self._waiting = room, waiting
        self._count = 0
        self.folded = False
        self.title = Words("", size="small", ink="quiet", wraps=True)
        self.list_button = QPushButton(self)
        self.list_button.setProperty("flat", True)
        self.list_button.clicked.connect(room.keys.action("waiting").trigger)
        self.buttons = {name: QPushButton(self) for name in BUTTONS}
        for name, button in self.buttons.items():
            button.clicked.connect(room.keys.action(name).trigger)
        self._centre = QWidget(self)
        self._centre.installEventFilter(self)
        self._fill_centre(summary, strip, form)
        self._split = QSplitter(self)
        self._split.setChildrenCollapsible(False)
        for at, part in enumerate((waiting, self._centre, verdict)):
            self._split.addWidget(part)
            self._split.setStretchFactor(at, 0 if part is waiting else 1)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._split)
        self._split.setSizes([room.look.px(ems) for ems in WIDTHS])
        room.memory.keep(self._split, "arrivals")
        room.keys.changed.connect(self._label)
        room.look.changed.connect(self._fit)
        self._label()
        self._fit()

    def show_count(self, count: int) -> None:
        """Says how many arrivals wait, where the list itself is folded away."""
        self._count = count
        self._label()

    def show_list(self) -> None:
        """Brings the list into view, in the place of the form where both have no room."""
        self._waiting.show()
        self._centre.setVisible(not self.folded)

    def show_form(self) -> None:
        """Brings the form into view."""
        self._centre.show()
        self._waiting.setVisible(not self.folded)

    def _fill_centre(self, summary: Summary, strip: ScanStrip, form: CaseForm) -> None:
        self._head = QHBoxLayout()
        self._head.addWidget(self.title, 1)
        self._head.addWidget(self.list_button)
        bar = QWidget(self._centre)
        set_edge(bar, "top")
        self._bar = QHBoxLayout(bar)
        self._bar.addWidget(self.buttons["save"])
        self._bar.addStretch(1)
        self._bar.addWidget(self.buttons["set-down"])
        self.buttons["set-down"].setProperty("flat", True)
        self._column = QVBoxLayout(self._centre)
        self._column.addLayout(self._head)
        self._column.addWidget(summary)
        self._column.addWidget(strip)
        self._column.addWidget(form, 1)
        self._column.addWidget(bar)

    @Slot()
    def _label(self) -> None:
        shown = self._room.keys.shown
        for name, button in self.buttons.items():
            button.setText(button_words(f"{BUTTONS[name]}  {shown(name)}".rstrip()))
        self._waiting.key.setText(shown("waiting"))
        self.list_button.setText(button_words(f"{self._count} waiting  {shown('waiting')}".rstrip()))

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        wide, thin = px(0.8), px(0.3)
        self._column.setContentsMargins(0, thin, 0, 0)
        self._column.setSpacing(thin)
        self._head.setContentsMargins(wide, 0, thin, 0)
        self._bar.setContentsMargins(wide, thin, wide, thin)
        self._bar.setSpacing(px(0.5))
        self._fold()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fold()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize:
            self._fit_buttons()
        return False

    def _fit_buttons(self) -> None:
        """Where there is no room for both buttons, the menu alone has the second."""
        needed = sum(button.sizeHint().width() for button in self.buttons.values()) + self._room.look.px(3)
        self.buttons["set-down"].setVisible(needed <= self._centre.width())

    def _fold(self) -> None:
        folded = self.width() < self._room.look.px(NARROW)
        self.list_button.setVisible(folded)
        self._fit_buttons()
        if folded == self.folded:
            return
        self.folded = folded
        if self._waiting.list.hasFocus():
            self.show_list()
        else:
            self.show_form()
