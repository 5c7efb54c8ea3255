"""A quiet list under a field: what fits, to choose from with the arrow keys. The keys stay in the field."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, QRect, QSize, Qt, Signal, Slot
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPen, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from intake.domain.practice import Practice
from intake.ui.look import Look

MOST = 8
_CHOICE = Qt.ItemDataRole.UserRole


@dataclass(frozen=True)
class Choice:
    """One line to choose.

    Attributes:
        text: What goes into the field.
        words: What is shown.
        aside: What is shown at the right end, in small print.
    """

    text: str
    words: str
    aside: str = ""


def practice_choices(text: str, fitting: Sequence[Practice]) -> tuple[Choice, ...]:
    """The practices that fit a text, and last the way to enter one that the directory does not have."""
    fitting = fitting[:MOST]
    if not fitting or (len(fitting) == 1 and fitting[0].code == text):
        return ()
    known = [Choice(p.code, ", ".join((p.name, *p.address[-1:])), p.code) for p in fitting]
    return (*known, Choice(f"“{text.strip()}”", f"None of these: take “{text.strip()}” as written"))


class Choices(QListView):
    """The list. It takes no keys itself: the field that it belongs to moves through it.

    Args:
        look: For colours, fonts and lengths.
        parent: What it is shown over.
    """

    chosen = Signal(str)

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look, self._over = look, parent
        self._rows = QStandardItemModel(self)
        self.setModel(self._rows)
        self.setItemDelegate(_Line(look, self))
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName("What fits")
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.clicked.connect(self._on_clicked)
        self.hide()

    @property
    def current(self) -> Choice | None:
        """The line that the arrow keys have gone to; None while they have gone to none."""
        index = self.currentIndex()
        return index.data(_CHOICE) if self.isVisible() and index.isValid() else None

    def offer(self, choices: Sequence[Choice], under: QWidget) -> None:
        """Shows these lines under a field; none hides the list."""
        self._rows.clear()
        for choice in choices:
            item = QStandardItem(choice.words)
            item.setData(choice, _CHOICE)
            item.setData(f"{choice.words} {choice.aside}".strip(), Qt.ItemDataRole.AccessibleTextRole)
            self._rows.appendRow(item)
        if not choices:
            self.hide()
            return
        height = sum(self.sizeHintForRow(row) for row in range(len(choices))) + 2 * self.frameWidth()
        top = under.mapTo(self._over, QPoint(0, under.height()))
        left = self._look.px(0.4)
        width = min(max(under.width(), self._look.px(26)), self._over.width() - top.x() - left)
        self.setGeometry(top.x(), top.y(), width, min(height, self._over.height() - top.y()))
        self.raise_()
        self.show()

    def move(self, step: int) -> Choice | None:
        """Goes so many lines down, or up, and gives the line that it comes to."""
        before = self.currentIndex().row()
        row = max(0, min(self._rows.rowCount() - 1, before + step if before >= 0 else 0))
        self.setCurrentIndex(self._rows.index(row, 0))
        return self.current

    @Slot(QModelIndex)
    def _on_clicked(self, index: QModelIndex) -> None:
        self.chosen.emit(index.data(_CHOICE).text)


class _Line(QStyledItemDelegate):
    def __init__(self, look: Look, view: QListView) -> None:
        super().__init__(view)
        self._look = look

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(self._look.px(10), QFontMetrics(self._look.font()).height() + self._look.px(0.7))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        choice, colours, side = index.data(_CHOICE), self._look.colours, self._look.px(0.6)
        painter.save()
        area: QRect = option.rect
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area, QColor(colours.chosen))
            painter.setPen(QPen(QColor(colours.focus), 2))
            painter.drawRect(area.adjusted(1, 1, -1, -1))
        inner = area.adjusted(side, 0, -side, 0)
        small = QFontMetrics(self._look.font("small"))
        aside = small.horizontalAdvance(choice.aside) + (self._look.px(0.8) if choice.aside else 0)
        words = QFontMetrics(self._look.font()).elidedText(
            choice.words, Qt.TextElideMode.ElideMiddle, inner.width() - aside
        )
        painter.setPen(QColor(colours.ink if choice.aside else colours.quiet))
        painter.setFont(self._look.font())
        painter.drawText(inner, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words)
        painter.setPen(QColor(colours.quiet))
        painter.setFont(self._look.font("small"))
        painter.drawText(inner, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, choice.aside)
        painter.restore()
