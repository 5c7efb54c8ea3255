"""What keeps a form from being saved: the same sentences as beside the fields, each leading to its field."""

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from intake.ui.look import Look
from intake.ui.plain import Words

_PLACE = Qt.ItemDataRole.UserRole
HEAD = "Not saved. Put right first:"


class Summary(QWidget):
    """The list of what is wrong; it takes the keys when it appears.

    Args:
        look: For lengths.
        parent: The owner.
    """

    chosen = Signal(str)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.head = Words(HEAD, ink="held", bold=True, wraps=True)
        self.list = _Lines(self)
        self.list.setAccessibleName(HEAD)
        self.list.setWordWrap(True)
        self.list.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.went_away.connect(self._on_away)
        self.list.clicked.connect(self._on_chosen)
        self.list.activated.connect(self._on_chosen)
        self._column = QVBoxLayout(self)
        self._column.addWidget(self.head)
        self._column.addWidget(self.list)
        look.changed.connect(self._fit)
        self._fit()
        self.hide()

    def show_wrong(self, wrong: Sequence[tuple[str, str, str]]) -> None:
        """Shows what is wrong and takes the keys: for each field its place, its name and the sentence."""
        self.list.clear()
        for place, name, sentence in wrong:
            item = QListWidgetItem(f"{name}: {sentence}", self.list)
            item.setData(_PLACE, place)
        self.show()
        self.list.setCurrentRow(0)
        self.list.setFocus(Qt.FocusReason.OtherFocusReason)
        self._fit()
        QTimer.singleShot(0, self._fit)  # once the list is as wide as it will be

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    @Slot(QModelIndex)
    def _on_chosen(self, index: QModelIndex) -> None:
        self.chosen.emit(index.data(_PLACE))

    @Slot()
    def _on_away(self) -> None:
        self.chosen.emit(self.list.item(0).data(_PLACE))

    @Slot()
    def _fit(self) -> None:
        wide = self._look.px(0.8)
        self._column.setContentsMargins(wide, 0, wide, self._look.px(0.3))
        self._column.setSpacing(self._look.px(0.2))
        self.list.doItemsLayout()
        rows = [self.list.visualItemRect(self.list.item(row)).height() for row in range(self.list.count())]
        self.list.setFixedHeight(min(sum(rows), self._look.px(5)) + 2 * self.list.frameWidth() + 2)


class _Lines(QListWidget):
    """A list that Esc leaves."""

    went_away = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.went_away.emit()
            return
        super().keyPressEvent(event)
