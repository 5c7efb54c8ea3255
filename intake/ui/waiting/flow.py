"""Lays parts in a row, and in further rows where one has no room for all."""

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget


class Flow(QLayout):
    """A layout that breaks into rows as text does. Parts that are hidden take no room.

    Args:
        parent: The widget that is laid out, if it is a layout of its own.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self.setContentsMargins(0, 0, 0, 0)

    def addItem(self, item: QLayoutItem) -> None:
        self._items.append(item)

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._lay(QRect(0, 0, width, 0), move=False)

    def setGeometry(self, area: QRect) -> None:
        super().setGeometry(area)
        self._lay(area, move=True)

    def sizeHint(self) -> QSize:
        return self.minimumSize()

    def minimumSize(self) -> QSize:
        size = QSize()
        for item in self._shown():
            size = size.expandedTo(QSize(0, item.sizeHint().height()))
        return size

    def _shown(self) -> list[QLayoutItem]:
        return [item for item in self._items if not item.isEmpty()]

    def _lay(self, area: QRect, move: bool) -> int:
        """Puts the parts in their places; gives the height that they take."""
        x, y, high, gap = area.x(), area.y(), 0, self.spacing()
        for item in self._shown():
            size = item.sizeHint()
            size.setWidth(min(size.width(), area.width()))
            if x > area.x() and x + size.width() > area.right() + 1:
                x, y, high = area.x(), y + high + gap, 0
            if move:
                item.setGeometry(QRect(QPoint(x, y), size))
            x, high = x + size.width() + gap, max(high, size.height())
        return y + high - area.y()
