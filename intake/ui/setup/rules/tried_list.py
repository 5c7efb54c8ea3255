"""The cases of which a changed setup would say something else, one below the other."""

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPen
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from intake.ui.look import Look
from intake.ui.setup.rules.tried_words import TURNS, head, outline

if TYPE_CHECKING:
    from intake.desk.try_rules import TriedCase

CASE = Qt.ItemDataRole.UserRole


class TriedCases(QAbstractListModel):
    """The cases, one a row."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._cases: tuple[TriedCase, ...] = ()

    def show_cases(self, cases: "tuple[TriedCase, ...]") -> None:
        """Shows other cases."""
        self.beginResetModel()
        self._cases = cases
        self.endResetModel()

    def at(self, row: int) -> "TriedCase | None":
        """The case of a row."""
        return self._cases[row] if 0 <= row < len(self._cases) else None

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008 - Qt's own
        return 0 if parent.isValid() else len(self._cases)

    def data(self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        case = self._cases[index.row()]
        if role == CASE:
            return case
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            difference = case.difference
            return ". ".join(filter(None, (head(case), TURNS[difference.turn], outline(difference))))
        return None


class TriedDelegate(QStyledItemDelegate):
    """Two lines a case: which one it is and how it turns, and what is otherwise.

    Args:
        look: For lengths, fonts and colours.
        parent: The list.
    """

    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(self._look.px(20), 2 * QFontMetrics(self._look.font()).lineSpacing() + self._look.px(0.7))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        case: TriedCase = index.data(CASE)
        px, colours = self._look.px, self._look.colours
        whole: QRect = option.rect
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(whole, QColor(colours.chosen))
        painter.setPen(QPen(QColor(colours.faint), 1))
        painter.drawLine(whole.bottomLeft(), whole.bottomRight())
        inside = whole.adjusted(px(0.6), px(0.3), -px(0.6), -px(0.3))
        high = inside.height() // 2
        first = QRect(inside.left(), inside.top(), inside.width(), high)
        turn = TURNS[case.difference.turn]
        if turn:
            ink = colours.held if case.difference.turn == "held" else colours.ok
            wide = self._draw(painter, first, turn, ink, bold=True, right=True)
            first.setRight(first.right() - wide - px(1))
        self._draw(painter, first, head(case), colours.ink, bold=True)
        second = QRect(inside.left(), inside.top() + high, inside.width(), high)
        self._draw(painter, second, outline(case.difference), colours.quiet)

    def _draw(
        self, painter: QPainter, line: QRect, words: str, ink: str, bold: bool = False, right: bool = False
    ) -> int:
        """Writes one line, cut where it is too long; gives back how wide it is."""
        font = self._look.font(bold=bold)
        metrics = QFontMetrics(font)
        cut = metrics.elidedText(words, Qt.TextElideMode.ElideRight, line.width())
        painter.setFont(font)
        painter.setPen(QColor(ink))
        side = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
        painter.drawText(line, side | Qt.AlignmentFlag.AlignVCenter, cut)
        return metrics.horizontalAdvance(cut)
