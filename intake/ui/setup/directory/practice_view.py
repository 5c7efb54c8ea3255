"""One practice: its name, what can be done for it, and its fields."""

from collections.abc import Mapping

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.ui.plain import Words, button_words, set_edge
from intake.ui.room import Room
from intake.ui.setup.directory.form import PracticeForm
from intake.ui.setup.directory.words import NEW, NEW_TOLD, OF_PRACTICE
from intake.ui.waiting.flow import Flow
from intake.ui.waiting.head import compact_button


class PracticeView(QWidget):
    """Shows a practice, or the beginning of a new one.

    Args:
        room: What every place shares.
        lab: The lab setup.
        parent: The owner.
    """

    def __init__(self, room: Room, lab: Lab, parent: QWidget) -> None:
        super().__init__(parent)
        self._room = room
        self.form = PracticeForm(room, lab, self)
        self.title, self.told = Words("", bold=True, wraps=True), Words("", ink="quiet", wraps=True)
        self._buttons = {name: compact_button(room, name) for name in OF_PRACTICE}
        self._flow, self._head = Flow(), QWidget(self)
        for button in self._buttons.values():
            self._flow.addWidget(button)
        self._column = QVBoxLayout(self._head)
        self._column.addWidget(self.title)
        self._column.addWidget(self.told)
        self._column.addLayout(self._flow)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._head)
        whole.addWidget(self.form, 1)
        whole.addStretch(0)
        set_edge(self, "left")
        room.keys.changed.connect(self._label)
        room.look.changed.connect(self._fit)
        self._label()
        self._fit()

    def show_practice(self, practice: Practice | None, new: bool, refused: Mapping[str, tuple[str, str]]) -> None:
        """Shows what is known of a practice; nothing where there is none, and none is begun.

        Args:
            practice: The practice.
            new: Whether a new one is begun.
            refused: By field, what was typed into it and cannot be kept, and why.
        """
        self.title.setText(practice.name if practice else NEW if new else "")
        self.told.setText(NEW_TOLD if new else "")
        self.told.setVisible(new)
        for part in (self._head, self.form):
            part.setVisible(new or practice is not None)
        self.form.show_practice(practice, {place: text for place, (text, _) in refused.items()})
        for place, (_, why) in refused.items():
            self.form.refuse(place, why)
        for name, button in self._buttons.items():
            self._room.keys.action(name).setEnabled(practice is not None)
            button.setVisible(practice is not None)

    @Slot()
    def _label(self) -> None:
        for name, button in self._buttons.items():
            button.setText(button_words(f"{OF_PRACTICE[name]}  {self._room.keys.shown(name)}".rstrip()))

    @Slot()
    def _fit(self) -> None:
        px = self._room.look.px
        self._column.setContentsMargins(px(1), px(0.6), px(1), px(0.2))
        self._column.setSpacing(px(0.4))
        self._flow.setSpacing(px(0.4))
