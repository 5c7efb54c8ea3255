"""What is seen of Hand over: benches at the left; what is done, field, answer and last scans at the right."""

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from intake.domain.lab import Lab
from intake.ui.handover.answer_view import AnswerArea, AnswerView, Shown
from intake.ui.handover.back_row import BackRow
from intake.ui.handover.bench_list import BenchList
from intake.ui.handover.last_list import LastList
from intake.ui.handover.modes import MODES, Wish
from intake.ui.help_panel import set_help
from intake.ui.lookup.search_field import SearchField
from intake.ui.plain import Words, button_words, restyle, set_edge
from intake.ui.room import Room

NARROW = 58
"""Below this width, in heights of text, the benches stand in the way of the answer and fold away."""
LOW = 30
"""Below this height, in heights of text, everything is made low."""
LISTED = 21
"""Below this height there is no room for the last scans; the newest answer goes before them."""
HELP = (
    "What is scanned in this place, or typed here and ended with Enter: a ticket’s number, a bench by its number in "
    "the list or the beginning of its name, “box” and a number. ↑ and ↓ choose the bench. Esc goes back to the form."
)


class Board(QWidget):
    """The widgets of Hand over and where they stand; it decides nothing.

    Args:
        room: What every place shares.
        lab: The lab setup.
        parent: The owner.
    """

    def __init__(self, room: Room, lab: Lab, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._room = room
        self._folded, self._low, self._bringing = True, False, False
        self.benches = BenchList(room.look, tuple(lab.bench_by_name), self)
        self.field = SearchField(self)
        self.back = BackRow(room, self)
        self.answer = AnswerView(room.look)
        self.area = AnswerArea(self.answer, self)
        self.last = LastList(room.look, self)
        self.what, self.tally = Words("", size="arm", wraps=True), Words("", size="small", ink="quiet")
        self.modes = {mode: QPushButton(self) for mode in MODES}
        self.setFocusProxy(self.field)
        self._lay_out()
        room.keys.changed.connect(self._label)
        room.look.changed.connect(self._fit)
        self._label()

    def show_wish(self, wish: Wish) -> None:
        """Shows what is done with the next box."""
        for mode, button in self.modes.items():
            button.setProperty("picked", mode == wish.mode)
            restyle(button)
        self._bringing = wish.mode == "back"
        self.what.setText("Which bench?" if wish.needs_bench else wish.told)
        self._fit()

    def show_answer(self, shown: Shown, aloud: bool = True) -> None:
        """Shows the newest answer, laid out at once: a half of it is never seen."""
        self.answer.show_answer(shown, aloud)
        self.area.settle()
        self._main.activate()
        self._row.activate()

    def fold(self, folded: bool) -> None:
        """Folds the benches away, or unfolds them, where they have no room of their own."""
        self._folded = folded
        self._fit()

    @Slot()
    def _label(self) -> None:
        for mode, words in MODES.items():
            self.modes[mode].setText(button_words(f"{words.words}  {self._room.keys.shown(words.action)}".rstrip()))

    def _lay_out(self) -> None:
        self._label_of_field = Words("&Ticket, bench or box", size="small", ink="quiet")
        self._label_of_field.setBuddy(self.field)
        self.field.setAccessibleName("Ticket, bench or box")
        self.field.setPlaceholderText("scan, or type and press Enter")
        set_help(self.field, HELP)
        for button in self.modes.values():
            button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._benches_label = Words("", size="small", ink="quiet")
        side = QVBoxLayout()
        side.setSpacing(0)
        side.addWidget(self._benches_label)
        side.addWidget(self.benches, 1)
        self._buttons, self._head, self._asked, self._main = QGridLayout(), QVBoxLayout(), QVBoxLayout(), QVBoxLayout()
        self._asked.addWidget(self._label_of_field)
        self._asked.addWidget(self.field)
        self._head.addLayout(self._buttons)
        self._head.addWidget(self.what)
        self._head.addLayout(self._asked)
        self._head.addWidget(self.back)
        self._main.addLayout(self._head)
        self._main.addWidget(self.area)
        self._main.addWidget(self.tally)
        self._main.addWidget(self.last, 1)
        self._row = QHBoxLayout(self)
        self._row.addLayout(side)
        self._row.addLayout(self._main, 1)
        set_edge(self.tally, "bottom")
        self._fit()

    @property
    def _narrow(self) -> bool:
        return self.width() < self._room.look.px(NARROW)

    @Slot()
    def _fit(self) -> None:
        px, narrow = self._room.look.px, self._narrow
        benches, rest = not narrow or not self._folded, not narrow or self._folded
        for part in (self.benches, self._benches_label):
            part.setVisible(benches)
        self._fit_height()
        listed = rest and self.height() >= px(LISTED)
        self.area.keep_whole(listed)
        self.last.setVisible(listed)
        self.area.setVisible(rest)
        self.tally.setVisible(rest and (listed or not self.back.isVisible()))
        for asked in (self.what, self.field, *self.modes.values()):
            asked.setVisible(rest)
        self._label_of_field.setVisible(rest and not self._low)
        self.back.setVisible(rest and self._bringing)
        for at, button in enumerate(self.modes.values()):
            columns = 2 if narrow and not self._low else len(self.modes)
            self._buttons.addWidget(button, at // columns, at % columns)
        self.benches.setMaximumWidth(16_777_215 if narrow else px(17))
        self._row.setStretch(0, 0 if rest else 1)
        self._row.setStretch(1, 1 if rest else 0)
        self._benches_label.setText(f"Benches  {self._room.keys.shown('choose-bench')}")
        self._row.setContentsMargins(px(1), px(0.8), px(1), px(0.4))
        self._row.setSpacing(px(1))
        self._main.setSpacing(px(0.5))
        self._head.setSpacing(px(0.45))
        self._asked.setSpacing(px(0.15))
        self._buttons.setSpacing(px(0.4))
        self.tally.setContentsMargins(0, 0, 0, px(0.2))

    def _fit_height(self) -> None:
        """Where there is little height, everything is low, and the answer comes before the last scans."""
        low = self.height() < self._room.look.px(LOW)
        if low != self._low:
            self._low = low
            self.answer.set_low(low)
            self.back.set_low(low)
            for button in self.modes.values():
                button.setProperty("compact", low)
                restyle(button)
            self.what.setProperty("print", "text" if low else "arm")
            self.what.setProperty("bold", low)
            restyle(self.what)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()
