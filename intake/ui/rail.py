"""The rail: the places of the window, one below the other, each with its key."""

from PySide6.QtCore import QPoint, QRect, QSize, Qt, Signal, Slot
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QAbstractButton, QButtonGroup, QSizePolicy, QVBoxLayout, QWidget

from intake.ui.look import Look
from intake.ui.plain import set_edge


class Rail(QWidget):
    """Shows the places and which one is in view.

    Args:
        look: For colours, fonts and lengths.
        parent: The owner.
    """

    chosen = Signal(str)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._buttons: dict[str, _PlaceButton] = {}
        self._group = QButtonGroup(self)
        self._group.buttonClicked.connect(self._on_clicked)
        self._column = QVBoxLayout(self)
        set_edge(self, "right")
        self._column.setContentsMargins(0, 0, 1, 0)
        self._column.setSpacing(0)
        self._column.addStretch(1)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Preferred)

    def add(self, name: str, words: str, key: str) -> None:
        """Adds a place at the lower end."""
        button = _PlaceButton(self._look, name, self)
        self._buttons[name] = button
        self._group.addButton(button)
        self._column.insertWidget(self._column.count() - 1, button)
        self.label(name, words, key)

    def label(self, name: str, words: str, key: str) -> None:
        """Says a place's words and its key."""
        self._buttons[name].label(words, key)

    def show_place(self, name: str) -> None:
        """Marks the place that is in view."""
        self._buttons[name].setChecked(True)

    @Slot(QAbstractButton)
    def _on_clicked(self, button: "_PlaceButton") -> None:
        self.chosen.emit(button.name)


class _PlaceButton(QAbstractButton):
    def __init__(self, look: Look, name: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.name = name
        self._look = look
        self._words = self._key = ""
        self.setCheckable(True)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        look.changed.connect(self.updateGeometry)

    def label(self, words: str, key: str) -> None:
        self._words, self._key = words, key
        self.setAccessibleName(words)
        self.setAccessibleDescription(key)
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        words = QFontMetrics(self._look.font(bold=True)).horizontalAdvance(self._words)
        return QSize(max(words, self._look.px(4.5)) + self._look.px(2), self._look.px(4))

    def minimumSizeHint(self) -> QSize:
        return QSize(self.sizeHint().width(), self._look.px(2.7))  # large text on a small screen: both lines, closer

    def paintEvent(self, event: QPaintEvent) -> None:
        colours, left = self._look.colours, self._look.px(1)
        painter = QPainter(self)
        inner = self.rect()
        if self.isChecked() or self.underMouse():
            painter.fillRect(inner, QColor(colours.surface))
        if self.isChecked():
            painter.fillRect(QRect(QPoint(0, 0), QSize(self._look.px(0.25), self.height())), QColor(colours.ink))
        if self.hasFocus():
            painter.fillRect(inner, QColor(colours.focus))
            painter.fillRect(inner.adjusted(2, 2, -2, -2), QColor(colours.surface))
        half = self.height() // 2
        painter.setPen(QColor(colours.ink))
        painter.setFont(self._look.font(bold=self.isChecked()))
        upper = QRect(left, 0, self.width() - left, half + self._look.px(0.15))
        painter.drawText(upper, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom, self._words)
        painter.setPen(QColor(colours.quiet))
        painter.setFont(self._look.font("small"))
        lower = QRect(left, half + self._look.px(0.2), self.width() - left, half)
        painter.drawText(lower, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop, self._key)
