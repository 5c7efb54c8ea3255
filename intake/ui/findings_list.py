"""The list of findings: what is missing, in the order to ask it, each line with the key that goes to its field."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRect, QRectF, QSize, Qt, Signal, Slot
from PySide6.QtGui import (
    QAction,
    QActionGroup,
    QColor,
    QFontMetrics,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QResizeEvent,
    QStandardItem,
    QStandardItemModel,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.palette import Palette

Level = Literal["stops", "asks", "warns"]
NINE = range(1, 10)
_VIEW = Qt.ItemDataRole.UserRole
_KEY = Qt.ItemDataRole.UserRole + 1
_WRAP = Qt.TextFlag.TextWordWrap


@dataclass(frozen=True)
class FindingView:
    """One finding to show.

    Attributes:
        level: stops, asks or warns.
        question: What to ask the practice, or the caution to read.
        because: The evidence and the reason.
    """

    level: Level
    question: str
    because: str


class FindingsList(QListView):
    """Shows the findings; a key, Enter or a click chooses one.

    Args:
        look: For colours, fonts and lengths.
        keys: Its `finding-1` to `finding-9` actions choose a line.
        empty: What to say while there is nothing to show.
        parent: The owner.
    """

    finding_chosen = Signal(int)

    def __init__(self, look: Look, keys: Keys, empty: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look, self._keys, self._empty = look, keys, empty
        self._findings: tuple[FindingView, ...] = ()
        self._rows = QStandardItemModel(self)
        self.setModel(self._rows)
        self.setItemDelegate(_Line(look, self))
        self.setAccessibleName("What is missing")
        self.setProperty("ring", "row")
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.clicked.connect(self._on_index)
        self.activated.connect(self._on_index)
        keys.changed.connect(self._fill)
        look.changed.connect(self._on_look)
        nine = QActionGroup(self)
        nine.setExclusionPolicy(QActionGroup.ExclusionPolicy.None_)
        for digit in NINE:
            nine.addAction(keys.action(f"finding-{digit}")).setData(digit - 1)
        nine.triggered.connect(self._on_key)

    def show_findings(self, findings: Sequence[FindingView]) -> None:
        """Shows these findings; the chosen line stays chosen where there is still one."""
        if tuple(findings) != self._findings:
            self._findings = tuple(findings)
            self._fill()

    def say_when_empty(self, words: str) -> None:
        """Says this while there is nothing to show."""
        if words != self._empty:
            self._empty = words
            self.viewport().update()

    @Slot()
    def _fill(self) -> None:
        current = self.currentIndex().row()
        self._rows.clear()
        for at, finding in enumerate(self._findings):
            key = self._keys.shown(f"finding-{at + 1}") if at + 1 in NINE else ""
            self._rows.appendRow(_row(finding, key))
        if 0 <= current < len(self._findings):
            self.setCurrentIndex(self._rows.index(current, 0))
        self.viewport().update()

    @Slot(QModelIndex)
    def _on_index(self, index: QModelIndex) -> None:
        self.finding_chosen.emit(index.row())

    @Slot(QAction)
    def _on_key(self, action: QAction) -> None:
        at = action.data()
        if at < len(self._findings):
            self.setCurrentIndex(self._rows.index(at, 0))
            self.finding_chosen.emit(at)

    @Slot()
    def _on_look(self) -> None:
        self.scheduleDelayedItemsLayout()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if not self._findings and self._empty:
            painter = QPainter(self.viewport())
            painter.setPen(QColor(self._look.colours.quiet))
            painter.setFont(self._look.font())
            margin = self._look.px(1)
            painter.drawText(self.viewport().rect().adjusted(margin, margin, -margin, -margin), _WRAP, self._empty)


def _row(finding: FindingView, key: str) -> QStandardItem:
    item = QStandardItem(finding.question)
    item.setData(finding, _VIEW)
    item.setData(key, _KEY)
    said = f"{finding.level.capitalize()}: {finding.question} {finding.because} {key}".strip()
    item.setData(said, Qt.ItemDataRole.AccessibleTextRole)
    return item


class _Line(QStyledItemDelegate):
    """Paints one finding: its shape, the level's word and the key; under them the question, and the reason."""

    def __init__(self, look: Look, view: QListView) -> None:
        super().__init__(view)
        self._look = look
        self._view = view
        # Qt asks for the height of a line some ten times for each new verdict.
        self._heights: dict[tuple[int, FindingView], int] = {}
        look.changed.connect(self._heights.clear)

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        width = self._view.viewport().width()
        finding = index.data(_VIEW)
        if (width, finding) not in self._heights:
            _, _, question, reason = self._places(QRect(0, 0, width, 0), finding)
            self._heights[width, finding] = max(question.bottom(), reason.bottom()) + self._look.px(0.6)
        return QSize(width, self._heights[width, finding])

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        colours, finding = self._look.colours, index.data(_VIEW)
        shape, head, question, reason = self._places(option.rect, finding)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_ground(painter, option, colours)
        level = QColor(level_colour(finding.level, colours))
        paint_level(painter, finding.level, QRectF(shape), level, QColor(colours.surface), self._look)
        painter.setPen(level)
        painter.setFont(self._look.font("small", bold=True))
        painter.drawText(head, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, finding.level.capitalize())
        painter.setPen(QColor(colours.quiet))
        painter.setFont(self._look.font("small"))
        painter.drawText(head, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, index.data(_KEY))
        painter.drawText(reason, _WRAP, finding.because)
        painter.setPen(QColor(colours.ink))
        painter.setFont(self._look.font())
        painter.drawText(question, _WRAP, finding.question)
        painter.restore()

    def _paint_ground(self, painter: QPainter, option: QStyleOptionViewItem, colours: Palette) -> None:
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(option.rect, QColor(colours.chosen))
        if option.state & QStyle.StateFlag.State_HasFocus and self._view.hasFocus():
            painter.setPen(QPen(QColor(colours.focus), 2))
            painter.drawRect(option.rect.adjusted(1, 1, -1, -1))
            return
        bottom = option.rect.adjusted(0, option.rect.height() - 1, 0, 0)
        painter.fillRect(bottom, QColor(colours.faint))

    def _places(self, area: QRect, finding: FindingView) -> tuple[QRect, QRect, QRect, QRect]:
        """Where the shape, the head, the question and the reason stand."""
        px, small = self._look.px, QFontMetrics(self._look.font("small"))
        left, top, side = area.left() + px(0.8), area.top() + px(0.6), px(1.15)
        shape = QRect(left, top + (small.height() - side) // 2, side, side)
        text = left + side + px(0.7)
        width = max(px(4), area.right() - px(0.8) - text)
        head = QRect(text, top, width, small.height())
        question = QRect(text, head.bottom() + px(0.1), width, 0)
        question.setHeight(_height(QFontMetrics(self._look.font()), width, finding.question))
        reason = QRect(text, question.bottom() + px(0.1), width, 0)
        reason.setHeight(_height(small, width, finding.because))
        return shape, head, question, reason


def _height(metrics: QFontMetrics, width: int, words: str) -> int:
    return metrics.boundingRect(QRect(0, 0, width, 100_000), _WRAP, words).height() if words else 0


def level_colour(level: Level, colours: Palette) -> str:
    """The colour of a level, never its only sign."""
    return {"stops": colours.held, "asks": colours.asks, "warns": colours.caution}[level]


def paint_level(painter: QPainter, level: Level, area: QRectF, colour: QColor, inside: QColor, look: Look) -> None:
    """Paints a level's own shape: a barred square stops, a ring with a question asks, a triangle warns."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    if level == "stops":
        painter.drawRect(area.adjusted(1, 1, -1, -1))
        bar = area.height() * 0.18
        painter.fillRect(
            area.adjusted(bar * 1.4, area.height() / 2 - bar / 2, -bar * 1.4, -area.height() / 2 + bar / 2), inside
        )
        return
    if level == "asks":
        painter.drawEllipse(area)
    else:
        painter.drawPolygon(QPolygonF([area.bottomLeft(), area.bottomRight(), QPointF(area.center().x(), area.top())]))
        area = area.adjusted(0, area.height() * 0.2, 0, 0)
    painter.setPen(inside)
    painter.setFont(look.font("small", bold=True))
    painter.drawText(area, Qt.AlignmentFlag.AlignCenter, "?" if level == "asks" else "!")
