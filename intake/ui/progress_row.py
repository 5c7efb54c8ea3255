"""How far a long piece of work is, and the way to stop it: written on its thread, read by the window's."""

from PySide6.QtCore import QObject, Qt, QTimer, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QPushButton, QWidget

from intake.ui.look import Look

EVERY_MS = 60


class Watched(QObject):
    """One run of work. `progress` and `stopped` are handed to it, on whatever thread it runs.

    Args:
        parent: The owner.
    """

    went_on = Signal(int, int)
    """So many are done, of so many."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._at, self._told, self._stop = (0, 0), (0, 0), False
        self._look = QTimer(self, interval=EVERY_MS)
        self._look.timeout.connect(self._tell)
        self._look.start()

    def progress(self, done: int, of: int) -> None:
        """The work is so far."""
        self._at = (done, of)

    def stopped(self) -> bool:
        """Whether the work is to stop."""
        return self._stop

    @Slot()
    def stop(self) -> None:
        """Asks the work to stop."""
        self._stop = True

    def end(self) -> None:
        """The work is over."""
        self._look.stop()

    @Slot()
    def _tell(self) -> None:
        if self._at != self._told:
            self._told = self._at
            self.went_on.emit(*self._at)


class ProgressRow(QWidget):
    """A bar and a button that stops.

    Args:
        look: For lengths.
        parent: The owner.
    """

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self.bar = QProgressBar(self)
        self.bar.setAccessibleName("Progress")
        self.stop_button = QPushButton("S&top", self)
        self.stop_button.setAutoDefault(False)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(look.px(0.6))
        row.addWidget(self.bar, 1)
        row.addWidget(self.stop_button, 0, Qt.AlignmentFlag.AlignVCenter)
        self._watched: Watched | None = None
        self.stop_button.clicked.connect(self.stop)
        self.hide()

    @property
    def running(self) -> bool:
        """Whether work is under way."""
        return self._watched is not None

    def begin(self, words: str) -> Watched:
        """Shows that work begins; it is to be handed what is given back."""
        self._watched = Watched(self)
        self._watched.went_on.connect(self._on_went_on)
        self.bar.setRange(0, 0)
        self.bar.setFormat(f"{words} %v of %m")
        self.show()
        self.stop_button.setFocus()
        return self._watched

    @Slot()
    def stop(self) -> None:
        """Asks the work to stop."""
        if self._watched is not None:
            self._watched.stop()

    def end(self) -> None:
        """The work is over."""
        if self._watched is not None:
            self._watched.end()
            self._watched.deleteLater()
        self._watched = None
        self.hide()

    @Slot(int, int)
    def _on_went_on(self, done: int, of: int) -> None:
        self.bar.setRange(0, of)
        self.bar.setValue(done)
