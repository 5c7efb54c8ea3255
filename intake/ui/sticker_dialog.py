"""Asks whose stickers are to be printed, and how many sheets. It returns the answer and prints nothing."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from intake.domain.practice import Practice
from intake.domain.practice_search import folded, search_practices
from intake.domain.scan_codes import ScanCode
from intake.ui.count_field import CountField
from intake.ui.look import Look
from intake.ui.plain import Words

TOLD = "For the practice to put on its parcels. On plain A4 to cut, or on sheets of 24 labels of 70 × 37 mm."
NONE = "No practice of the directory fits."


class StickerDialog(QDialog):
    """A field that finds practices by a few letters, the list of what fits, and how many sheets.

    Args:
        practices: The directory.
        most: So many sheets may be asked for at once.
        look: For lengths.
        parent: The window over which it opens.
    """

    wanted = Signal(str, int)
    """The practice's code, and how many sheets."""

    def __init__(self, practices: Sequence[Practice], most: int, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Stickers of a practice")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._practices = practices
        self._most = most
        self.field, self.list = QLineEdit(self), QListWidget(self)
        self.sheets = CountField("Sheets", 1, most, 1, self)
        self.field.setAccessibleName("Practice")
        self.field.setPlaceholderText("type a few letters of it, or scan one of its stickers")
        self.field.installEventFilter(self)
        self.field.textChanged.connect(self._on_typed)
        self.list.setAccessibleName("Practices that fit")
        self.list.itemActivated.connect(self._on_go)
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.sheets.textChanged.connect(self._show_what_lacks)
        self.go_button = QPushButton("P&rint them  Enter", self)
        self.go_button.setDefault(True)
        self.go_button.clicked.connect(self._on_go)
        self.leave_button = QPushButton("Leave it  Esc", self)
        self.leave_button.setAutoDefault(False)
        self.leave_button.clicked.connect(self.reject)
        self.lacks = Words(" ", ink="held")
        self._lay_out(look)
        self._on_typed("")

    def take_code(self, code: ScanCode) -> bool:
        """A sticker that is scanned while this is open names the practice."""
        if code.kind != "practice":
            return False
        self.field.setText(next((p.code for p in self._practices if p.code.upper() == code.value), code.value))
        return True

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            step = (event.key() == Qt.Key.Key_Down) - (event.key() == Qt.Key.Key_Up)
            if step:
                self.list.setCurrentRow(min(max(0, self.list.currentRow() + step), self.list.count() - 1))
                return True
        return super().eventFilter(watched, event)

    @Slot(str)
    def _on_typed(self, text: str) -> None:
        fitting = search_practices(text, self._practices) if text.strip() else self._by_name()
        self.list.clear()
        for practice in fitting:
            item = QListWidgetItem(f"{practice.name}  ·  {practice.code}", self.list)
            item.setData(Qt.ItemDataRole.UserRole, practice.code)
        self.list.setCurrentRow(0 if fitting else -1)
        self._show_what_lacks()

    def _by_name(self) -> list[Practice]:
        return sorted(self._practices, key=lambda practice: folded(practice.name))

    @Slot()
    def _show_what_lacks(self) -> None:
        lacks = NONE if self.list.currentItem() is None else ""
        if not lacks and self.sheets.value is None:
            lacks = f"1 to {self._most} sheets can be printed at once."
        self.lacks.setText(lacks)
        self.go_button.setEnabled(not lacks)

    @Slot()
    def _on_go(self) -> None:
        chosen, sheets = self.list.currentItem(), self.sheets.value
        if chosen is not None and sheets is not None:
            self.wanted.emit(chosen.data(Qt.ItemDataRole.UserRole), sheets)
            self.accept()

    def _lay_out(self, look: Look) -> None:
        practice, sheets = Words("&Practice", bold=True), Words("&Sheets", bold=True)
        practice.setBuddy(self.field)
        sheets.setBuddy(self.sheets)
        self.sheets.setFixedWidth(look.px(5))
        foot = QHBoxLayout()
        foot.setSpacing(look.px(0.6))
        foot.addWidget(sheets)
        foot.addWidget(self.sheets)
        foot.addStretch(1)
        foot.addWidget(self.leave_button)
        foot.addWidget(self.go_button)
        column = QVBoxLayout(self)
        margin = look.px(1.2)
        column.setContentsMargins(margin, margin, margin, margin)
        column.setSpacing(look.px(0.6))
        for part in (Words(TOLD, wraps=True), practice, self.field, self.list, self.lacks):
            column.addWidget(part)
        column.addLayout(foot)
        self.list.setMinimumHeight(look.px(7))
        self.setMinimumWidth(look.px(36))
        self.field.setFocus()
