"""Asks for which boxes labels are to be printed. It returns the answer and prints nothing."""

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QDialog, QGridLayout, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from intake.domain.bench_rules import BoxNumbers
from intake.ui.count_field import CountField
from intake.ui.look import Look
from intake.ui.plain import Words

TOLD = "A label for each box, on A4: plain paper to cut, or sheets of 24 labels of 70 × 37 mm."


class BoxLabelDialog(QDialog):
    """The first and the last box.

    Args:
        boxes: The numbers that the lab's boxes have.
        look: For lengths.
        parent: The window over which it opens.
    """

    wanted = Signal(int, int)
    """The first box and the last."""

    def __init__(self, boxes: BoxNumbers, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Labels of the boxes")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._boxes = boxes
        self.first = CountField("First box", boxes.first, boxes.last, boxes.first, self)
        self.last = CountField("Last box", boxes.first, boxes.last, boxes.last, self)
        for field in (self.first, self.last):
            field.textChanged.connect(self._on_changed)
        self.go_button = QPushButton("P&rint them  Enter", self)
        self.go_button.setDefault(True)
        self.go_button.clicked.connect(self._on_go)
        self.leave_button = QPushButton("Leave it  Esc", self)
        self.leave_button.setAutoDefault(False)
        self.leave_button.clicked.connect(self.reject)
        self.count = Words(ink="quiet")
        self._lay_out(look)
        self._on_changed()

    @Slot()
    def _on_changed(self) -> None:
        first, last = self.first.value, self.last.value
        if first is None or last is None:
            said = f"The boxes are {self._boxes.first} to {self._boxes.last}."
        elif last < first:
            said = "The last box comes before the first."
        else:
            said = "1 label" if last == first else f"{last - first + 1} labels"
        self.count.setText(said)
        self.go_button.setEnabled(said.endswith(("label", "labels")))

    @Slot()
    def _on_go(self) -> None:
        self.wanted.emit(self.first.value, self.last.value)
        self.accept()

    def _lay_out(self, look: Look) -> None:
        fields = QGridLayout()
        fields.setHorizontalSpacing(look.px(1))
        fields.setVerticalSpacing(look.px(0.6))
        for row, (words, field) in enumerate((("&First box", self.first), ("&Last box", self.last))):
            label = Words(words)
            label.setBuddy(field)
            fields.addWidget(label, row, 0)
            fields.addWidget(field, row, 1)
        fields.addWidget(self.count, 2, 1)
        fields.setColumnStretch(1, 1)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(self.leave_button)
        buttons.addWidget(self.go_button)
        column = QVBoxLayout(self)
        margin = look.px(1.2)
        column.setContentsMargins(margin, margin, margin, margin)
        column.setSpacing(look.px(1))
        column.addWidget(Words(TOLD, wraps=True))
        column.addLayout(fields)
        column.addLayout(buttons)
        self.setMinimumWidth(look.px(32))
        self.first.setFocus()
