"""The page Colours of Lab setup: the boxes and their colours, and which of them people would mistake."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QColor, QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QColorDialog,
    QComboBox,
    QGridLayout,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from intake.setup.colours import SIGHTS, Sight, boxes_of, under_red_light, value_problem
from intake.setup.editing import SetupText
from intake.ui.help_panel import set_help
from intake.ui.latest import Latest
from intake.ui.plain import Words, button_words
from intake.ui.room import Room
from intake.ui.setup.colours import asked
from intake.ui.setup.colours.box_row import BoxRow
from intake.ui.setup.colours.pairs_view import SEEN_BY, PairsView, told
from intake.ui.setup.draft import Draft

if TYPE_CHECKING:
    from intake.desk.desk import Desk

PURPOSE = (
    "The box of each kind of work. The name of its colour is always printed; no two boxes share one. A plain name, "
    "such as Green, brings its value with it."
)
SEEN_HELP = (
    "Who looks at the boxes: each two as those see them who tell them apart least, or all of them as one kind of eye "
    "sees them, or by a red lamp, by which only what is red in a colour shows."
)
ROOMY = 52
"""From this width on, in heights of text, the pairs stand beside the boxes."""
WORST = "whoever tells them apart least"


class ColoursPage(QScrollArea):
    """The page.

    Args:
        room: What every place shares.
        draft: The setup while it is being changed.
    """

    def __init__(self, room: Room, draft: Draft) -> None:
        super().__init__()
        self._room, self._draft = room, draft
        self._judgements = Latest(room.jobs)
        self._judged: asked.Judged | None = None
        self.rows: dict[str, BoxRow] = {}
        self.wrong = Words("", ink="held", wraps=True)
        self.said = Words("", wraps=True)
        self.proposal = Words("", wraps=True)
        self.take_button = QPushButton(self)
        self.seen_by = QComboBox(self)
        self.pairs = PairsView(room.look, self)
        self._lay_out()
        self._connect()
        self._label()

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open; the page asks nothing of it."""

    @Slot()
    def show_setup(self) -> None:
        """Shows the draft as it is now; what is half typed stays."""
        categories = self._draft.lab.categories
        if [each.id for each in categories] != list(self.rows):
            self._build_rows()
        for category in categories:
            row = self.rows[category.id]
            typing = any(field.hasFocus() and field.isModified() for field in row.fields)
            if not typing:
                row.show_category(category)
        self._judge()

    @Slot()
    def read_again(self) -> None:
        """Comes into view: everything comes from the draft."""

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._judgements.forget()

    @Slot()
    def pick(self) -> None:
        """Chooses the colour of the box in hand from all that there are."""
        row = next((row for row in self.rows.values() if any(field.hasFocus() for field in row.fields)), None)
        row = row or next(iter(self.rows.values()), None)
        if row is None or not self.isVisible():
            return
        dialog = QColorDialog(QColor(row.box[1]), self)
        dialog.setOption(QColorDialog.ColorDialogOption.DontUseNativeDialog)
        dialog.setWindowTitle(f"Colour of {row.label.text()}")
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.colorSelected.connect(partial(self._on_picked, row.category))
        dialog.open()

    @Slot()
    def take_proposal(self) -> None:
        """Takes every colour that is proposed."""
        if self._judged is not None and self._judged.changed and self.isVisible():
            new = {box.category: (box.name, box.hex) for _, box in self._judged.changed}
            self._draft.change(partial(_paint, new))

    def _on_picked(self, category: str, colour: QColor) -> None:
        self.rows[category].value.setText(colour.name())
        self._on_finished(category)

    @Slot(str)
    def _on_finished(self, category: str) -> None:
        """A colour goes into the draft when its field is left; what cannot be stays typed, with the reason."""
        row = self.rows[category]
        problem = self._problem(row)
        row.mark(bool(problem))
        self.wrong.setText(problem)
        self.wrong.setVisible(bool(problem))
        if not problem:
            for field in row.fields:
                field.setModified(False)
            self._draft.change(partial(_paint, {category: row.box}))

    def _problem(self, row: BoxRow) -> str:
        name, value = row.box
        if not name:
            return f"{row.label.text()}: give the colour a name; it is printed beside it."
        for other in self._draft.lab.categories:
            if other.id != row.category and other.box.colour.casefold() == name.casefold():
                return f"{name} is the box of {other.name}. Two boxes never share a name."
        return value_problem(value)

    @Slot()
    def _judge(self) -> None:
        sight: Sight | None = self.seen_by.currentData()
        lab = self._draft.lab
        work = partial(asked.judge, boxes_of(lab), under_red_light(lab), sight)
        self._judgements.ask(work, self._on_judged, self._trouble)

    def _on_judged(self, judged: asked.Judged) -> None:
        self._judged = judged
        self.pairs.pairs.show_pairs(judged.pairs)
        confused = [pair for pair in judged.pairs if pair.confused]
        if confused:
            many = "1 pair" if len(confused) == 1 else f"{len(confused)} pairs"
            self.said.setText(f"{many} of boxes would be mistaken. {told(confused[0])}")
        elif judged.pairs:
            self.said.setText(f"All boxes are told apart. The nearest: {told(judged.pairs[0])}")
        else:
            self.said.setText("There is one box, which nobody can mistake.")
        self.said.set_ink("held" if confused else "ink")
        changed = judged.changed
        words = "; ".join(f"{new.name} {new.hex} instead of {old.name}" for old, new in changed)
        self.proposal.setText(f"Proposed: {words}." if changed else "")
        for part in (self.proposal, self.take_button):
            part.setVisible(bool(changed))
        self._room.keys.action("colour-propose").setEnabled(bool(changed))

    def _trouble(self, problem: Exception) -> None:
        raise problem

    def _build_rows(self) -> None:
        for row in self.rows.values():
            for gone in (row.label, row.name, row.value, row.patch, row.sample):
                self._grid.removeWidget(gone)
                gone.deleteLater()
            row.deleteLater()
        self.rows = {}
        for at, category in enumerate(self._draft.lab.categories):
            row = BoxRow(category, self._room.look, self._form)
            row.finished.connect(self._on_finished)
            row.patch.hide()  # the sample shows the colour, and the text on it
            parts: tuple[QWidget, ...] = (row.label, row.name, row.value, row.sample)
            for column, part in enumerate(parts):
                self._grid.addWidget(part, at, column)
                part.show()
            self.rows[category.id] = row
        self._fit()
        first = next(iter(self.rows.values()), None)
        if first is not None:
            self.setFocusProxy(first.name)

    def _lay_out(self) -> None:
        page, self._form, right = QWidget(), QWidget(), QWidget()
        self._grid = QGridLayout()
        self._grid.setColumnStretch(1, 3)
        self._grid.setColumnStretch(2, 2)
        self._grid.setColumnStretch(3, 3)
        column = QVBoxLayout(self._form)
        column.addLayout(self._grid)
        column.addWidget(self.wrong)
        column.addStretch(1)
        self._column = column
        self.setWidgetResizable(True)
        self.setWidget(page)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        for name, words in ((None, WORST), *((sight, SEEN_BY[sight]) for sight in SIGHTS)):
            self.seen_by.addItem(words, name)
        self.seen_by.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.seen_by.setAccessibleName("Seen by")
        set_help(self.seen_by, SEEN_HELP)
        seen = Words("Seen b&y", ink="quiet")
        seen.setBuddy(self.seen_by)
        self._right = QVBoxLayout(right)
        self._right.setContentsMargins(0, 0, 0, 0)
        self._right.addWidget(seen)
        self._right.addWidget(self.seen_by)
        self._right.addWidget(self.pairs, 1)
        self._whole = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._whole.addWidget(self._form, 6)
        self._whole.addWidget(right, 5)
        self._head = QVBoxLayout(page)
        for part in (Words(PURPOSE, ink="quiet", wraps=True), self.said, self.proposal):
            self._head.addWidget(part)
        self._head.addWidget(self.take_button, 0, Qt.AlignmentFlag.AlignLeft)
        self._head.addLayout(self._whole, 1)
        self.wrong.hide()
        self.proposal.hide()
        self.take_button.hide()

    def _connect(self) -> None:
        keys = self._room.keys
        keys.action("colour-pick").triggered.connect(self.pick)
        keys.action("colour-propose").triggered.connect(self.take_proposal)
        self.take_button.clicked.connect(self.take_proposal)
        self.seen_by.currentIndexChanged.connect(self._judge)
        keys.changed.connect(self._label)
        self._room.look.changed.connect(self._fit)

    @Slot()
    def _label(self) -> None:
        self.take_button.setText(button_words(f"Take it  {self._room.keys.shown('colour-propose')}".rstrip()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._turn()

    def _turn(self) -> None:
        """Side by side where there is room, else one below the other."""
        px, ways = self._room.look.px, QBoxLayout.Direction
        beside = self.viewport().width() >= px(ROOMY)
        self._whole.setDirection(ways.LeftToRight if beside else ways.TopToBottom)
        self.pairs.setMinimumHeight(px(8) if beside else px(24))

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._head.setContentsMargins(px(1), px(0.7), px(1), px(0.7))
        self._head.setSpacing(px(0.5))
        self._whole.setSpacing(px(1.2))
        self._column.setContentsMargins(0, 0, 0, 0)
        self._turn()
        self._column.setSpacing(px(0.7))
        self._right.setSpacing(px(0.5))
        self._grid.setHorizontalSpacing(px(0.6))
        self._grid.setVerticalSpacing(px(0.5))
        for row in self.rows.values():
            row.value.setMinimumWidth(px(6))
            row.name.setMinimumWidth(px(5))


def _paint(boxes: dict[str, tuple[str, str]], text: SetupText) -> None:
    """Sets the boxes of some categories."""
    for at, category in enumerate(text.get(("categories",))):
        if category["id"] in boxes:
            colour, value = boxes[category["id"]]
            text.put(("categories", at, "box", "colour"), colour)
            text.put(("categories", at, "box", "hex"), value)
