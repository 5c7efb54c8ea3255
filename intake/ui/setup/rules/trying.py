"""Tries the changed setup over the cases of the last months: progress, a way to stop, and what would be otherwise."""

from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, QRect, QSize, Qt, Slot
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPen
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QHBoxLayout,
    QListView,
    QPushButton,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from intake.domain.lab import Lab
from intake.domain.wording import counted
from intake.errors import IntakeError
from intake.ui.count_field import CountField
from intake.ui.help_panel import set_help
from intake.ui.look import Look
from intake.ui.plain import Words
from intake.ui.room import Room
from intake.ui.setup.directory.progress import ProgressRow
from intake.ui.setup.draft import Draft
from intake.ui.setup.rules.tried_words import head, numbers, told, why

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.try_rules import Tried, TriedCase

MONTHS, MOST_MONTHS = 3, 60
PURPOSE = (
    "What the changed setup would have held, asked and let through, beside the one in force. Each case is judged as of "
    "the day it was booked, as its prescription stands now and by the directory as it is now. Nothing is written."
)
SAME = "The draft judges as the setup in force does: change a rule first."
SLOW = "Not only the rule book is changed, so each case is judged by both from beginning to end, which takes longer."
ALL = "all that would be otherwise"
CASE = Qt.ItemDataRole.UserRole


def open_trial(room: Room, desk: "Desk", draft: Draft, parent: QWidget) -> "TryDialog":
    """Opens the dialog over a page; the trial begins with Enter."""
    dialog = TryDialog(room, desk, draft.lab, parent.window())
    dialog.open()
    return dialog


class TryDialog(QDialog):
    """Tries a changed setup.

    Args:
        room: What every place shares.
        desk: Whose cases.
        lab: The changed setup.
        parent: The window.
    """

    def __init__(self, room: Room, desk: "Desk", lab: Lab, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Try the changed rule book")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._room, self._desk, self._lab = room, desk, lab
        self._closed = False
        self.tried: Tried | None = None
        self.months = CountField("Months", 1, MOST_MONTHS, MONTHS, self)
        self.try_button = QPushButton("&Try it  Enter", self)
        self.progress = ProgressRow(room.look, self)
        self.said = Words("", wraps=True)
        self.kinds = QComboBox(self)
        self.cases = _Cases(self)
        self.list = QListView(self)
        self.close_button = QPushButton("&Leave it  Esc", self)
        self._lay_out(parent.size())
        self.try_button.clicked.connect(self.try_it)
        self.close_button.clicked.connect(self.reject)
        self.kinds.currentIndexChanged.connect(self._show_cases)
        self._show_results(False)

    @Slot()
    def try_it(self) -> None:
        """Begins; what was found before is gone."""
        if self.progress.running or self.months.value is None:
            self.said.setText(f"Write a number of months from 1 to {MOST_MONTHS}." if self.months.value is None else "")
            return
        self._show_results(False)
        watched = self.progress.begin("Cases:")
        self.try_button.setEnabled(False)
        work = partial(_tried, self._desk, self._lab, self.months.value, watched.progress, watched.stopped)
        self._room.jobs.run(work, self._on_tried, self._on_trouble, lane="beside")

    def reject(self) -> None:
        """Esc stops what runs, and leaves where nothing does."""
        if self.progress.running:
            self.progress.stop()
        else:
            self._closed = True
            super().reject()

    def _on_tried(self, tried: "Tried") -> None:
        if self._closed:
            return
        self._end()
        self.tried = tried
        self.kinds.blockSignals(True)
        self.kinds.clear()
        self.kinds.addItem(f"{counted(len(tried.changed), 'case')}: {ALL}", None)
        for what, words in numbers(tried):
            self.kinds.addItem(words, what)
        self.kinds.blockSignals(False)
        self._show_results(bool(tried.changed))
        self.said.setText(_said(tried))
        self._show_cases()
        (self.list if tried.changed else self.months).setFocus()

    def _on_trouble(self, problem: Exception) -> None:
        if self._closed:
            return
        self._end()
        if not isinstance(problem, IntakeError):
            raise problem
        self.said.setText(str(problem))

    def _end(self) -> None:
        self.progress.end()
        self.try_button.setEnabled(True)

    @Slot()
    def _show_cases(self) -> None:
        what = self.kinds.currentData()
        cases = self.tried.changed if self.tried is not None else ()
        self.cases.show_cases(tuple(c for c in cases if what is None or what in c.difference.whats))
        self.list.setCurrentIndex(self.cases.index(0, 0))
        self.list.scrollToTop()

    def _show_results(self, shown: bool) -> None:
        for part in (self.kinds, self.list):
            part.setVisible(shown)
        if not shown:
            self.said.setText("")

    def _lay_out(self, over: QSize) -> None:
        look = self._room.look
        self.list.setModel(self.cases)
        self.list.setItemDelegate(_CaseDelegate(look, self.list))
        self.list.setUniformItemSizes(True)
        self.list.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.list.setAccessibleName("Cases that would be otherwise")
        set_help(
            self.list, "Each case of which something else would be said, with what and why. ↑ and ↓ go through them."
        )
        self.kinds.setAccessibleName("Which cases")
        set_help(
            self.kinds, "Which of them are listed: those that would be held, those that would no longer be, and so on."
        )
        set_help(self.months, "So many months back from today. ↑ and ↓ count.")
        self.months.setFixedWidth(look.px(4))
        self.try_button.setDefault(True)
        self.close_button.setAutoDefault(False)
        label = Words("Cases of the last", ink="quiet")
        asked = QHBoxLayout()
        for part in (label, self.months, Words("months", ink="quiet"), self.try_button):
            asked.addWidget(part)
        asked.addStretch(1)
        foot = QHBoxLayout()
        foot.addStretch(1)
        foot.addWidget(self.close_button)
        column = QVBoxLayout(self)
        margin = look.px(1.2)
        column.setContentsMargins(margin, margin, margin, margin)
        column.setSpacing(look.px(0.6))
        column.addWidget(Words(PURPOSE, ink="quiet", wraps=True))
        column.addLayout(asked)
        column.addWidget(self.progress)
        column.addWidget(self.said)
        column.addWidget(self.kinds)
        column.addWidget(self.list, 1)
        column.addLayout(foot)
        self.resize(min(look.px(64), over.width() - look.px(2)), min(look.px(42), over.height() - look.px(2)))
        self.months.setFocus()
        self.months.selectAll()


class _Cases(QAbstractListModel):
    """Cases that would be otherwise, one a row."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.cases: tuple[TriedCase, ...] = ()

    def show_cases(self, cases: "tuple[TriedCase, ...]") -> None:
        self.beginResetModel()
        self.cases = cases
        self.endResetModel()

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = QModelIndex()) -> int:  # noqa: B008 - Qt's own
        return 0 if parent.isValid() else len(self.cases)

    def data(self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        case = self.cases[index.row()]
        if role == CASE:
            return case
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return f"{head(case)}. {why(case)}"
        return None


class _CaseDelegate(QStyledItemDelegate):
    def __init__(self, look: Look, parent: QWidget) -> None:
        super().__init__(parent)
        self._look = look

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(self._look.px(20), self._look.px(3.4))

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
        line = QRect(whole.left() + px(0.5), whole.top() + px(0.3), whole.width() - px(1), px(1.4))
        for words, font, ink in (
            (head(case), self._look.font(bold=True), colours.ink),
            (why(case), self._look.font(), colours.quiet),
        ):
            painter.setFont(font)
            painter.setPen(QColor(ink))
            cut = QFontMetrics(font).elidedText(words, Qt.TextElideMode.ElideRight, line.width())
            painter.drawText(line, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, cut)
            line.translate(0, px(1.4))


def _said(tried: "Tried") -> str:
    if not tried.differ:
        return SAME
    return told(tried) if tried.rules_alone else f"{told(tried)} {SLOW}"


def _tried(desk: "Desk", lab: Lab, months: int, progress: Any, stop: Any) -> "Tried":
    from intake.desk.try_rules import try_setup  # it brings the database with it

    return try_setup(desk, lab, months, progress, stop)
