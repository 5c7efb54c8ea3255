"""How many scans are still to be checked, said calmly in the news bar for as long as it takes, with the way to stop."""

from PySide6.QtCore import QTimer, Slot
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from intake.domain.wording import counted
from intake.ui.plain import Words, button_words
from intake.ui.room import Room

SLOW_MS = 1000
"""One scan that is checked more quickly is not worth a word."""


class CheckProgress(QWidget):
    """Says how many scans are still to be checked: at once where several are, of one when it takes long.

    Args:
        room: What every place shares; it stands in its news.
        slow_ms: How long one scan is checked until that is said.
    """

    def __init__(self, room: Room, slow_ms: int = SLOW_MS) -> None:
        super().__init__(room.news)
        self._room = room
        self.words = Words("", size="small", ink="quiet")
        self.stop_button = QPushButton(self)
        self.stop_button.setAccessibleName(room.keys.words("stop-checks"))
        self.stop_button.clicked.connect(room.keys.action("stop-checks").trigger)
        self._slow = QTimer(self, singleShot=True, interval=slow_ms)
        self._slow.timeout.connect(self.show)
        self._line = QHBoxLayout(self)
        self._line.setContentsMargins(0, 0, 0, 0)
        self._line.addWidget(self.words)
        self._line.addWidget(self.stop_button)
        room.news.beside.addWidget(self)
        room.keys.changed.connect(self._fit)
        room.look.changed.connect(self._fit)
        self._fit()
        self.hide()

    @Slot(int)
    def show_left(self, left: int) -> None:
        """Says how many scans are still to be checked, the one that is being checked among them; none is not said."""
        self.words.setText(f"{counted(left, 'scan')} still to be checked")
        if left == 0:
            self._slow.stop()
            self.hide()
        elif left > 1:
            self.show()
        elif self.isHidden():
            self._slow.start()

    @Slot()
    def _fit(self) -> None:
        self.stop_button.setText(button_words(f"Stop  {self._room.keys.shown('stop-checks')}".rstrip()))
        self._line.setSpacing(self._room.look.px(0.5))
