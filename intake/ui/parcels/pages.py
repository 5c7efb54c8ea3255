"""The list at the left and one of three pages at the right; where both have no room they take turns."""

from collections.abc import Mapping

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QApplication, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from intake.ui.parcels.bar import Bar
from intake.ui.parcels.list_view import ParcelList
from intake.ui.room import Room

NARROW = 58
"""Below this width, in heights of text, the list and what is shown of a parcel take turns."""
WIDTHS = (20, 65)


class Pages(QWidget):
    """Lays out the place.

    Args:
        room: What every place shares.
        parcels: The list.
        pages: The pages by name, the first of them in view; each has a bar of buttons under it.
        parent: The owner.
    """

    def __init__(self, room: Room, parcels: ParcelList, pages: Mapping[str, QWidget], parent: QWidget) -> None:
        super().__init__(parent)
        self._room, self._list, self._pages = room, parcels, pages
        self._reading = True
        self._stack = QStackedWidget(self)
        self._whole: dict[str, QWidget] = {}
        self.bars = {name: Bar(room, name, self) for name in pages}
        for name, page in pages.items():
            whole = self._whole[name] = QWidget(self._stack)
            column = QVBoxLayout(whole)
            column.setContentsMargins(0, 0, 0, 0)
            column.setSpacing(0)
            column.addWidget(page, 1)
            column.addWidget(self.bars[name])
            self._stack.addWidget(whole)
        self._split = QSplitter(self)
        self._split.setChildrenCollapsible(False)
        self._split.addWidget(parcels)
        self._split.addWidget(self._stack)
        self._split.setStretchFactor(1, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._split)
        self._split.setSizes([room.look.px(ems) for ems in WIDTHS])
        room.memory.keep(self._split, "parcels")
        room.look.changed.connect(self._fit)
        self._fit()

    @property
    def page(self) -> str:
        """The page that is shown."""
        shown = self._stack.currentWidget()
        return next(name for name, whole in self._whole.items() if whole is shown)

    def turn(self, name: str) -> None:
        """Shows a page; if the page before had the keys, it has them now."""
        at = QApplication.focusWidget()
        moves = at is not None and self._stack.isAncestorOf(at) and not self._whole[name].isAncestorOf(at)
        self._stack.setCurrentWidget(self._whole[name])
        if moves:
            self._pages[name].setFocus(Qt.FocusReason.OtherFocusReason)

    def to_page(self) -> None:
        """Takes the keys to the page that is shown."""
        self.read(True)
        self._pages[self.page].setFocus(Qt.FocusReason.ShortcutFocusReason)

    def to_list(self) -> None:
        """Takes the keys to the list."""
        self.read(False)
        self._list.take_keys()

    def read(self, reading: bool) -> None:
        """Turns to the page, or to the list, where only one of them has room."""
        self._reading = reading
        self._fit()

    @Slot()
    def _fit(self) -> None:
        narrow = self.width() < self._room.look.px(NARROW)
        self._list.setVisible(not narrow or not self._reading)
        self._stack.setVisible(not narrow or self._reading)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()
