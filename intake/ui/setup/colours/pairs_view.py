"""Two boxes side by side: as they are, and as those see them who tell them apart least."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, QRect, QSize, Qt, Slot
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPen
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from intake.ui.help_panel import set_help
from intake.ui.look import Look

if TYPE_CHECKING:
    from intake.setup.colours import Pair

PAIR = Qt.ItemDataRole.UserRole
SEEN_BY = {
    "usual": "most people",
    "protan": "people without the red-sensitive cones",
    "deutan": "people without the green-sensitive cones",
    "tritan": "people without the blue-sensitive cones",
    "red-light": "anybody under a red lamp",
}
HELP = (
    "Two boxes each: on the left as they are, on the right as those see them who tell them apart least. The number is "
    "the difference of the two by CIEDE2000; below 10 people would take one for the other. The name is always printed, "
    "so that nobody has to go by the colour."
)


def told(pair: "Pair") -> str:
    """What is said of two boxes, in one line."""
    verdict = "would be mistaken for one another" if pair.confused else "are told apart"
    return f"{pair.one.name} and {pair.other.name} {verdict}: {pair.difference:.1f}, seen by {SEEN_BY[pair.sight]}."


class PairModel(QAbstractListModel):
    """Pairs of boxes, one a row."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.pairs: tuple[Pair, ...] = ()

    def show_pairs(self, pairs: "Sequence[Pair]") -> None:
        """Shows other pairs."""
        self.beginResetModel()
        self.pairs = tuple(pairs)
        self.endResetModel()

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008 - Qt's own
        return 0 if parent.isValid() else len(self.pairs)

    def data(self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        pair = self.pairs[index.row()]
        if role == PAIR:
            return pair
        return told(pair) if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole) else None


class PairsView(QListView):
    """Shows pairs of boxes.

    Args:
        look: For colours, fonts and lengths.
        parent: The owner.
    """

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look
        self.pairs = PairModel(self)
        self.setModel(self.pairs)
        self.setItemDelegate(_PairDelegate(look, self))
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName("Boxes side by side")
        set_help(self, HELP)
        look.changed.connect(self._on_look)

    @Slot()
    def _on_look(self) -> None:
        self.scheduleDelayedItemsLayout()
        self.viewport().update()


class _PairDelegate(QStyledItemDelegate):
    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(self._look.px(14), self._look.px(4.7))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        pair: Pair = index.data(PAIR)
        px, colours = self._look.px, self._look.colours
        whole: QRect = option.rect
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(whole, QColor(colours.chosen))
        painter.setPen(QPen(QColor(colours.line), 1))
        painter.drawLine(whole.bottomLeft(), whole.bottomRight())
        left, top, high, wide = whole.left() + px(0.5), whole.top() + px(0.55), px(3.6), px(1.9)
        for values in ((pair.one.hex, pair.other.hex), pair.looks):
            for value in values:
                painter.fillRect(QRect(left, top, wide, high), QColor(value))
                left += wide
            left += px(0.5)
        self._write(painter, QRect(left + px(0.3), top, whole.right() - left - px(0.6), high), pair)

    def _write(self, painter: QPainter, room: QRect, pair: "Pair") -> None:
        colours, third = self._look.colours, room.height() // 3
        lines = (
            (f"{pair.one.name} and {pair.other.name}", self._look.font(bold=True), colours.ink),
            (
                f"{pair.difference:.1f}: {'would be mistaken' if pair.confused else 'told apart'}",
                self._look.font(),
                colours.held if pair.confused else colours.ink,
            ),
            (f"by {SEEN_BY[pair.sight]}", self._look.font("small"), colours.quiet),
        )
        for at, (words, font, ink) in enumerate(lines):
            line = QRect(room.left(), room.top() + at * third, room.width(), third)
            painter.setFont(font)
            painter.setPen(QColor(ink))
            cut = QFontMetrics(font).elidedText(words, Qt.TextElideMode.ElideRight, line.width())
            painter.drawText(line, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, cut)
