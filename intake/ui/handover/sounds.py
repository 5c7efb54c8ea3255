"""What is heard: one short beep for a yes, two for a no. Eyes can stay on the boxes."""

from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer, Slot

APART_MS = 180
"""Between the two beeps of a no: near enough to belong together, far enough to be two."""


class Sounds(QObject):
    """Beeps.

    Args:
        beep: One short beep.
        parent: The owner.
    """

    def __init__(self, beep: Callable[[], None], parent: QObject) -> None:
        super().__init__(parent)
        self._beep = beep
        self._due: list[int] = []
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._on_due)

    def yes(self) -> None:
        """Sounds a yes; one that comes before a no has ended is heard after it, so that they stay apart."""
        if not self._due:
            self._beep()
        elif len(self._due) == 1:
            self._due.append(3 * APART_MS)

    def no(self, begun: bool = False) -> None:
        """Sounds a no; `begun` where the first of its beeps was heard already."""
        if not begun:
            self._beep()
        self._due = [APART_MS]
        self._timer.start(APART_MS)

    @Slot()
    def _on_due(self) -> None:
        self._beep()
        self._due.pop(0)
        if self._due:
            self._timer.start(self._due[0])
