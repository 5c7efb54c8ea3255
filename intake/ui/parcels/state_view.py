"""In what state a parcel was when it was opened, and how it stands with disinfection: a tick and a key for each."""

from collections.abc import Iterable

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QButtonGroup, QCheckBox, QRadioButton, QVBoxLayout, QWidget

from intake.domain.case import Condition
from intake.domain.parcels import ParcelHygiene
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.plain import Words, button_words
from intake.ui.waiting.flow import Flow

STATES: dict[Condition, tuple[str, str]] = {
    "dry": ("Dry", "D"),
    "wet": ("Wet", "W"),
    "crushed": ("Crushed", "C"),
    "torn-tray": ("Torn tray", "T"),
    "distorted": ("Distorted", "S"),
    "blood": ("Blood seen", "B"),
    "prescription-unreadable": ("Prescription unreadable", "U"),
    "prescription-missing": ("Prescription missing", "M"),
}
"""Each with its word and the single key that ticks it."""
OF_PAPER = ("prescription-unreadable", "prescription-missing")
"""On a line of their own."""
AGAINST: dict[Condition, Condition] = {
    "dry": "wet",
    "wet": "dry",
    "prescription-unreadable": "prescription-missing",
    "prescription-missing": "prescription-unreadable",
}
"""What cannot both be."""
HYGIENE: dict[ParcelHygiene, str] = {
    "declared": "Declared on it",
    "standing": "By the practice’s standing statement",
    "not-declared": "Not declared",
}
HELP = (
    "In what state the parcel was when it was opened. The letters tick while no field is typed into; Tab goes through "
    "them and Space ticks. What is wrong with it goes to the case, and to the ticket once somebody accepts it."
)
HELP_HYGIENE = (
    "Whether the practice says that what lies in it was disinfected: on the parcel or the form, or once and for all. "
    "Where nothing is said, treat it as contaminated; the local rules decide."
)


class StateView(QWidget):
    """Ticks for the state of a parcel.

    Args:
        look: For lengths.
        parent: The owner.
    """

    changed = Signal()

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self.ticks: dict[Condition, QCheckBox] = {}
        self._flows = (Flow(), Flow())
        for state, (words, key) in STATES.items():
            tick = self.ticks[state] = QCheckBox(f"{words}  {key}", self)
            tick.setAccessibleName(words)
            set_help(tick, HELP)
            tick.clicked.connect(self._on_clicked)
            tick.setObjectName(state)
            self._flows[state in OF_PAPER].addWidget(tick)
        self.head = Words("State on opening", size="small", ink="quiet")
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self.head)
        for flow in self._flows:
            self._column.addLayout(flow)
        look.changed.connect(self._fit)
        self._fit()

    @property
    def seen(self) -> tuple[Condition, ...]:
        """What is ticked."""
        return tuple(state for state, tick in self.ticks.items() if tick.isChecked())

    def load(self, seen: Iterable[Condition]) -> None:
        """Ticks these."""
        ticked = set(seen)
        for state, tick in self.ticks.items():
            tick.setChecked(state in ticked)

    def press(self, key: str) -> bool:
        """Ticks or unticks what has this key; whether anything has."""
        tick = next((self.ticks[state] for state, (_, own) in STATES.items() if own == key), None)
        if tick is not None:
            tick.click()
        return tick is not None

    def show_keys(self, shown: bool) -> None:
        """Whether the single keys stand beside the words."""
        for state, (words, key) in STATES.items():
            self.ticks[state].setText(f"{words}  {key}" if shown else words)

    @Slot()
    def _on_clicked(self) -> None:
        sender = self.sender()
        state = next((state for state, tick in self.ticks.items() if tick is sender), None)
        other = AGAINST.get(state) if state is not None and self.ticks[state].isChecked() else None
        if other is not None:
            self.ticks[other].setChecked(False)
        self.changed.emit()

    @Slot()
    def _fit(self) -> None:
        for flow in self._flows:
            flow.setSpacing(self._look.px(0.35))
        self._column.setSpacing(self._look.px(0.1))


class HygieneView(QWidget):
    """How a parcel stands with disinfection, with the caution at once where nothing is said.

    Args:
        look: For lengths.
        caution: What to heed where nothing is declared.
        parent: The owner.
    """

    changed = Signal()

    def __init__(self, look: Look, caution: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._caution = look, caution
        self._statement, self._key = "", ""
        self.chosen: ParcelHygiene | None = None
        self.choices: dict[ParcelHygiene, QRadioButton] = {}
        self._group = QButtonGroup(self)
        self._flow = Flow()
        for at, hygiene in enumerate(HYGIENE):
            choice = self.choices[hygiene] = QRadioButton(self)
            choice.setAccessibleName(f"Disinfection: {HYGIENE[hygiene]}")
            set_help(choice, HELP_HYGIENE)
            self._group.addButton(choice, at)
            self._flow.addWidget(choice)
        self.head = Words("Disinfection", size="small", ink="quiet")
        self.says = Words("", size="small", wraps=True)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self.head)
        self._column.addLayout(self._flow)
        self._column.addWidget(self.says)
        self._group.idClicked.connect(self._on_clicked)
        look.changed.connect(self._fit)
        self._fit()
        self._show()

    @property
    def hygiene(self) -> ParcelHygiene:
        """How it stands: as chosen, else by the practice's standing statement, else not declared."""
        if self.chosen is not None and (self.chosen != "standing" or self._statement):
            return self.chosen
        return "standing" if self._statement else "not-declared"

    def load(self, chosen: ParcelHygiene | None) -> None:
        """Takes what was chosen; None where nobody chose."""
        self.chosen = chosen
        self._show()

    def take_statement(self, statement: str) -> None:
        """Takes the practice's standing statement; empty where it made none."""
        self._statement = statement
        self._show()

    def set_caution(self, caution: str) -> None:
        """Takes what is to be heeded where nothing is declared."""
        self._caution = caution
        self._show()

    def toggle_declared(self) -> None:
        """Declared, or again what it is without that."""
        self.chosen = None if self.hygiene == "declared" else "declared"
        self._show()
        self.changed.emit()

    def name_key(self, key: str) -> None:
        """Says which key declares it."""
        self._key = key
        self._show()

    @Slot(int)
    def _on_clicked(self, at: int) -> None:
        self.chosen = list(HYGIENE)[at]
        self._show()
        self.changed.emit()

    def _show(self) -> None:
        for hygiene, choice in self.choices.items():
            choice.setText(
                button_words(f"{HYGIENE[hygiene]}  {self._key}" if hygiene == "declared" else HYGIENE[hygiene])
            )
            choice.setVisible(hygiene != "standing" or bool(self._statement))
        self.choices[self.hygiene].setChecked(True)
        told = {"declared": "", "standing": self._statement, "not-declared": self._caution}[self.hygiene]
        self.says.setText(told)
        self.says.setVisible(bool(told))
        self.says.set_ink("caution" if self.hygiene == "not-declared" else "quiet")
        self.choices[self.hygiene].setAccessibleDescription(told)

    @Slot()
    def _fit(self) -> None:
        self._flow.setSpacing(self._look.px(0.35))
        self._column.setSpacing(self._look.px(0.1))
