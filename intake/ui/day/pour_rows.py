"""What is to be poured, a case a row: number and box, what it is, whose, and until when."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPen
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from intake.domain.pour_order import MARKS
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.waiting.ring_view import pair

if TYPE_CHECKING:
    from intake.desk.pour_list import ToPour

LINE = Qt.ItemDataRole.UserRole
HELP = (
    "Booked cases whose impressions nobody has poured, what keeps least first. ↑ and ↓ choose. A box that came out of "
    "the bench that pours is off the list by itself."
)


class PourModel(QAbstractListModel):
    """The rows of the pour list."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.lines: tuple[ToPour, ...] = ()

    def show_lines(self, lines: "Sequence[ToPour]") -> None:
        """Takes other rows."""
        self.beginResetModel()
        self.lines = tuple(lines)
        self.endResetModel()

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex | None = None) -> int:
        return 0 if parent is not None and parent.isValid() else len(self.lines)

    def data(self, index: QModelIndex | QPersistentModelIndex, role: int = 0) -> Any:
        line = self.lines[index.row()]
        if role == LINE:
            return line
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return said_of(line)
        return None


class PourRows(QListView):
    """Shows what is to be poured.

    Args:
        look: For colours, fonts and lengths.
        parent: The owner.
    """

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.cases = PourModel(self)
        self.setModel(self.cases)
        self.setItemDelegate(_Row(look, self))
        self.setProperty("ring", "row")
        self.setAccessibleName("To pour")
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        set_help(self, HELP)
        look.changed.connect(self.scheduleDelayedItemsLayout)

    @property
    def current(self) -> "ToPour | None":
        """The case that is chosen."""
        index = self.currentIndex()
        return index.data(LINE) if index.isValid() else None

    def show_lines(self, lines: "Sequence[ToPour]") -> None:
        """Shows these cases; the chosen one stays chosen, or the one in its place is when it has gone."""
        before, at = self.current, max(0, self.currentIndex().row())
        self.cases.show_lines(lines)
        kept = [row for row, line in enumerate(lines) if before is not None and line.case_id == before.case_id]
        if lines:
            self.setCurrentIndex(self.cases.index(kept[0] if kept else min(at, len(lines) - 1), 0))

    def keyboardSearch(self, search: str) -> None:
        """Typing looks for nothing here: a scan must not move the choice."""


def said_of(line: "ToPour") -> str:
    """A row in words."""
    jobs = ", ".join(f"{job.shown}, {job.colour} box" for job in line.jobs)
    poured = "; ".join(f"{each.words}: {each.when}" for each in line.impressions)
    parts = (MARKS[line.first.standing], jobs, poured, line.left, line.patient, line.practice)
    return ", ".join(filter(None, parts))


class _Row(QStyledItemDelegate):
    """Paints a case: number and when to pour; what it is and how long it keeps; whose it is and where its box is."""

    def __init__(self, look: Look, view: QListView) -> None:
        super().__init__(view)
        self._look, self._view = look, view

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        line: ToPour = index.data(LINE)
        text, small = QFontMetrics(self._look.font(bold=True)).height(), QFontMetrics(self._look.font("small")).height()
        told = QFontMetrics(self._look.font()).height() * len(line.impressions)
        return QSize(self._look.px(16), text + told + small + self._look.px(0.9))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        line, px, area, colours = index.data(LINE), self._look.px, option.rect, self._look.colours
        painter.save()
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(area, QColor(colours.chosen))
        for at, job in enumerate(line.jobs[:2]):
            box = QRect(area.left() + px(0.5) + at * px(1.1), area.top() + px(0.5), px(0.9), area.height() - px(1))
            painter.fillRect(box, QColor(job.hex))
            painter.setPen(QPen(QColor(colours.line), 1))
            painter.drawRect(box.adjusted(0, 0, -1, -1))
        self._words(painter, line, area.adjusted(px(3), px(0.4), -px(0.7), -px(0.4)))
        painter.fillRect(QRect(area.left(), area.bottom(), area.width(), 1), QColor(colours.faint))
        if option.state & QStyle.StateFlag.State_HasFocus and self._view.hasFocus():
            painter.setPen(QPen(QColor(colours.focus), 2))
            painter.drawRect(area.adjusted(1, 1, -1, -1))
        painter.restore()

    def _words(self, painter: QPainter, line: "ToPour", area: QRect) -> None:
        colours = self._look.colours
        ink, quiet = QColor(colours.ink), QColor(colours.quiet)
        text, bold, small = self._look.font(), self._look.font(bold=True), self._look.font("small")
        loud = {"past-limit": QColor(colours.held), "unknown": QColor(colours.held)}
        mark = loud.get(line.first.standing, QColor(colours.caution))
        high, low = QFontMetrics(text).height(), QFontMetrics(small).height()
        at = QRect(area.left(), area.top(), area.width(), QFontMetrics(bold).height())
        numbers = "  +  ".join(job.shown for job in line.jobs) or "no job"
        words = ", ".join(filter(None, (MARKS[line.first.standing], line.left)))
        pair(painter, at, (numbers, bold, ink), (words, bold, mark if MARKS[line.first.standing] else ink))
        for each in line.impressions:
            at = QRect(at.left(), at.bottom() + 1, at.width(), high)
            pair(painter, at, (each.words, text, ink), (each.when, text, ink))
        at = QRect(at.left(), at.bottom() + 1, at.width(), low)
        whose = ", ".join(filter(None, (line.patient, line.practice)))
        boxes = ", ".join(_box(job) for job in line.jobs)
        pair(painter, at, (whose, small, quiet), (boxes, small, quiet))


def _box(job: Any) -> str:
    held = "held, " if job.held else ""
    return f"{job.colour} box, {held}at {job.where}"
