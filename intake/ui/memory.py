"""What the window remembers from one day to the next: where it stood, its splitters and its columns."""

from PySide6.QtCore import QByteArray, QObject, QRect, QSettings
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QHeaderView, QSplitter, QWidget

LEAST_SEEN = 100
"""So many pixels of a window's upper edge, each way, must lie on a screen for a hand to find it."""


class Memory(QObject):
    """Keeps the geometry of the window and the state of its splitters and columns.

    Args:
        settings: Where it is kept.
        parent: The owner.
    """

    def __init__(self, settings: QSettings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self._kept: dict[str, QSplitter | QHeaderView] = {}

    def bring_back(self, window: QWidget, usual: QRect) -> None:
        """Puts a window where it stood; one that lies off every screen, or has never stood, where it is usual."""
        kept = self._settings.value("window/geometry")
        if isinstance(kept, QByteArray) and window.restoreGeometry(kept) and self._can_be_seen(window):
            return
        window.setGeometry(usual.intersected(QGuiApplication.primaryScreen().availableGeometry()))

    def keep(self, part: QSplitter | QHeaderView, name: str) -> None:
        """Brings back a splitter or the columns of a table, and remembers it under this name."""
        kept = self._settings.value(f"window/{name}")
        if isinstance(kept, QByteArray):
            part.restoreState(kept)
        self._kept[name] = part

    def save(self, window: QWidget) -> None:
        """Writes down where everything stands."""
        self._settings.setValue("window/geometry", window.saveGeometry())
        for name, part in self._kept.items():
            self._settings.setValue(f"window/{name}", part.saveState())
        self._settings.sync()

    @staticmethod
    def _can_be_seen(window: QWidget) -> bool:
        edge = window.frameGeometry()
        edge.setHeight(LEAST_SEEN)
        seen = (screen.availableGeometry().intersected(edge) for screen in QGuiApplication.screens())
        return any(part.width() >= LEAST_SEEN and part.height() >= LEAST_SEEN // 4 for part in seen)
