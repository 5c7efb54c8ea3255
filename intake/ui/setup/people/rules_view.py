"""What the lab lays down for signing in: when the window is locked, how often a PIN may be wrong, what leads may."""

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QCheckBox, QGridLayout, QVBoxLayout, QWidget

from intake.domain.people import LEAD_DEEDS, PeopleRules
from intake.ui.count_field import CountField
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.plain import Words, restyle

NUMBERS = {
    "lock_minutes": (
        "&Locked after",
        (0, 1440),
        "minutes",
        "After so many minutes without a key the window is locked until somebody signs in; 0 locks it never. Whoever "
        "signs in finds everything as it was.",
    ),
    "tries": (
        "Wrong PINs in a ro&w",
        (1, 10),
        "",
        "After so many wrong PINs in a row none is taken of that person for a while, so that nobody can guess.",
    ),
    "wait_minutes": ("and then none &for", (1, 1440), "minutes", "How long no PIN of that person is taken then."),
}
DEEDS = {
    "setup": "put a &setup in force",
    "people": "change pe&ople",
    "import": "take a director&y in",
    "merge": "&merge practices",
}


class RulesView(QWidget):
    """The rules of signing in.

    Args:
        look: For lengths.
        parent: The owner.
    """

    changed = Signal(str, object)
    """A field of `people` in the setup and its new value."""

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self.numbers: dict[str, CountField] = {}
        self.deeds: dict[str, QCheckBox] = {}
        self._grid = QGridLayout()
        for row, (name, (words, (least, most), unit, told)) in enumerate(NUMBERS.items()):
            number = CountField(words.replace("&", ""), least, most, least, self)
            set_help(number, told)
            number.editingFinished.connect(self._on_number)
            label = Words(words, ink="quiet")
            label.setBuddy(number)
            self._grid.addWidget(label, row, 0)
            self._grid.addWidget(number, row, 1)
            self._grid.addWidget(Words(unit, ink="quiet"), row, 2)
            self.numbers[name] = number
        self._grid.setColumnStretch(3, 1)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(Words("Signing in", bold=True))
        self._column.addLayout(self._grid)
        self.wrong = Words("", ink="held", wraps=True)
        self.wrong.hide()
        self._column.addWidget(self.wrong)
        self._column.addWidget(Words("Only a lead may", bold=True))
        for deed in LEAD_DEEDS:
            box = QCheckBox(DEEDS[deed], self)
            set_help(box, "Where it is ticked, somebody who is no lead is told to ask one.")
            box.clicked.connect(self._on_deed)
            self._column.addWidget(box)
            self.deeds[deed] = box
        look.changed.connect(self._fit)
        self._fit()

    def show_rules(self, rules: PeopleRules) -> None:
        """Shows the rules as they are now; what is being typed stays."""
        for name, number in self.numbers.items():
            if number.value is not None or not number.hasFocus():
                number.setText(str(getattr(rules, name)))
        for deed, box in self.deeds.items():
            box.setChecked(deed in rules.lead_only)

    @Slot()
    def _on_number(self) -> None:
        for name, number in self.numbers.items():
            if number is self.sender():
                self._say(number, name)
                if number.value is not None:
                    self.changed.emit(name, number.value)

    def _say(self, number: CountField, name: str) -> None:
        """What is out of bounds stays typed, with the reason beneath."""
        least, most = NUMBERS[name][1]
        number.setProperty("wrong", number.value is None)
        restyle(number)
        self.wrong.setText(f"Write a number from {least} to {most}." if number.value is None else "")
        self.wrong.setVisible(number.value is None)

    @Slot()
    def _on_deed(self) -> None:
        self.changed.emit("lead_only", [deed for deed, box in self.deeds.items() if box.isChecked()])

    @Slot()
    def _fit(self) -> None:
        self._column.setSpacing(self._look.px(0.5))
        self._grid.setHorizontalSpacing(self._look.px(0.7))
        self._grid.setVerticalSpacing(self._look.px(0.4))
        for number in self.numbers.values():
            number.setFixedWidth(self._look.px(5))
