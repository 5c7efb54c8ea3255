"""A list to tick in: arrows go along it, the space bar ticks."""

from collections.abc import Collection, Sequence
from typing import Any

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

from intake.ui.look import Look

MOST = 9
"""Rows that it shows at most without scrolling."""


class Ticks(QListWidget):
    """Some of several values.

    Args:
        name: What a screen reader calls it.
        choices: The values with their words.
        ticked: Those that are ticked at first.
        look: For lengths.
        parent: The owner.
        most: Rows that it shows at most.
    """

    changed = Signal()

    def __init__(
        self,
        name: str,
        choices: Sequence[tuple[Any, str]],
        ticked: Collection[Any],
        look: Look,
        parent: QWidget,
        most: int = MOST,
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        for value, words in choices:
            item = QListWidgetItem(words)
            item.setData(Qt.ItemDataRole.UserRole, value)
            item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Checked if value in ticked else Qt.CheckState.Unchecked)
            self.addItem(item)
        self.setCurrentRow(0)
        shown = min(most, self.count())
        self.setFixedHeight(shown * (self.sizeHintForRow(0) or look.px(1.6)) + 2 * self.frameWidth() + look.px(0.2))
        self.itemChanged.connect(self._on_changed)

    @property
    def ticked(self) -> tuple[Any, ...]:
        """The values that are ticked, in the order of the list."""
        items = [self.item(row) for row in range(self.count())]
        return tuple(
            item.data(Qt.ItemDataRole.UserRole) for item in items if item.checkState() == Qt.CheckState.Checked
        )

    @Slot(QListWidgetItem)
    def _on_changed(self, item: QListWidgetItem) -> None:
        self.changed.emit()
