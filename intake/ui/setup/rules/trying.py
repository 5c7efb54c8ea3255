"""Tries the changed setup over the cases of the last months: how far it is, the way to stop, then case by case."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Slot
from PySide6.QtGui import QFontMetrics, QKeyEvent
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QDialog,
    QHBoxLayout,
    QListView,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from intake.domain.wording import counted
from intake.errors import IntakeError
from intake.ui.count_field import CountField
from intake.ui.help_panel import set_help
from intake.ui.plain import Words
from intake.ui.progress_row import ProgressRow
from intake.ui.room import Room
from intake.ui.setup.draft import Draft
from intake.ui.setup.rules import asked
from intake.ui.setup.rules.tried_list import TriedCases, TriedDelegate
from intake.ui.setup.rules.tried_words import numbers, reasons, told

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.try_rules import Explained, Tried, TriedCase

MONTHS, MOST_MONTHS = 3, 60
PURPOSE = (
    "What the changed setup would have held, asked and let through, beside the one in force. Each case is judged as of "
    "the moment it was booked, as its prescription stands now, and by the directory as it is now. Nothing is written."
)
SAME = "The changed setup asks for the same as the one in force. Change a rule, then try it."
SLOW = "More than the rule book is changed, so each case was judged by both from beginning to end."
NOT_READ = "The changed setup cannot be read as it stands, so the last one that could be is tried. {problem}"
WRONG_MONTHS = f"Write a number of months from 1 to {MOST_MONTHS}."
WIDE, TALL, LOW = 62, 44, 13
"""In heights of text, where the window has so much; low while there is no list."""
LEAST_LINES = 3
"""Lines of the reasons that are seen at once, however little room there is."""


class TryDialog(QDialog):
    """Tries a changed setup.

    Args:
        room: What every place shares.
        desk: Whose cases.
        draft: The changed setup.
        parent: The window.
    """

    def __init__(self, room: Room, desk: "Desk", draft: Draft, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Try the changed rule book")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._room, self._desk, self._lab = room, desk, draft.lab
        self._gone = False
        self.tried: Tried | None = None
        self._purpose = Words(PURPOSE, ink="quiet", wraps=True)
        self.months = CountField("Months", 1, MOST_MONTHS, MONTHS, self)
        self.try_button = QPushButton("&Try it  Enter", self)
        self.progress = ProgressRow(room.look, self)
        self.said = Words(NOT_READ.format(problem=draft.problem) if draft.problem else "", wraps=True)
        self.kinds = QComboBox(self)
        self.cases = TriedCases(self)
        self.list = QListView(self)
        self.reasons = QPlainTextEdit(self)
        self.close_button = QPushButton("&Leave it  Esc", self)
        self._lay_out()
        self.try_button.clicked.connect(self.try_it)
        self.close_button.clicked.connect(self.reject)
        self.kinds.currentIndexChanged.connect(self._show_cases)
        self.list.selectionModel().currentChanged.connect(self._on_current)
        self._show_results(False)

    @Slot()
    def try_it(self) -> None:
        """Begins; what was found before is gone."""
        months = self.months.value
        if self.progress.running:
            return
        self._show_results(False)
        if months is None:
            self.said.setText(WRONG_MONTHS)
            return
        self.said.setText("")
        watched = self.progress.begin("Cases:")
        self.try_button.setEnabled(False)
        work = partial(asked.try_setup, self._desk, self._lab, months, watched.progress, watched.stopped)
        # Beside the store's own thread: what else is asked of it meanwhile is answered at once.
        self._room.jobs.run(work, self._on_tried, self._on_trouble, lane="beside")

    def reject(self) -> None:
        """Esc stops what runs, and leaves where nothing does."""
        if self.progress.running:
            self.progress.stop()
        else:
            self._gone = True
            super().reject()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.list.hasFocus():
            return  # whoever reads on does not begin anew
        super().keyPressEvent(event)

    def _on_tried(self, tried: "Tried") -> None:
        if self._gone:
            return
        self._end()
        self.tried = tried
        self.kinds.blockSignals(True)
        self.kinds.clear()
        self.kinds.addItem(f"All {counted(len(tried.changed), 'case')}", None)
        for what, words in numbers(tried):
            self.kinds.addItem(words, what)
        self.kinds.blockSignals(False)
        self._show_results(bool(tried.changed))
        self.said.setText(_said(tried))
        self._show_cases()
        (self.list if tried.changed else self.months).setFocus()

    def _on_trouble(self, problem: Exception) -> None:
        if self._gone:
            return
        self._end()
        if not isinstance(problem, IntakeError):
            raise problem
        self.said.setText(str(problem))
        self.months.setFocus()

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
        self._on_current()

    @Slot()
    def _on_current(self) -> None:
        case = self.cases.at(self.list.currentIndex().row())
        self.reasons.setPlainText("")
        if case is not None and self.tried is not None:
            work = partial(asked.explain, self._desk, self.tried, case)
            self._room.jobs.run(work, partial(self._on_explained, case), self._on_trouble)

    def _on_explained(self, case: "TriedCase", explained: "Explained") -> None:
        if not self._gone and self.cases.at(self.list.currentIndex().row()) is case:
            self.reasons.setPlainText(reasons(case, explained))

    def _show_results(self, shown: bool) -> None:
        results: tuple[QWidget, ...] = (self.kinds, self.list, self.reasons)
        for part in results:
            part.setVisible(shown)
        for part in (self._purpose, self._space):
            part.setVisible(not shown)
        px, over = self._room.look.px, (self.parentWidget() or QApplication.primaryScreen()).size()
        wide, high = min(px(WIDE), over.width() - px(2)), min(px(TALL if shown else LOW), over.height() - px(2))
        self.setMinimumHeight(0)
        self.resize(QSize(wide, high))

    def _lay_out(self) -> None:
        look = self._room.look
        self.list.setModel(self.cases)
        self.list.setItemDelegate(TriedDelegate(look, self.list))
        self.list.setUniformItemSizes(True)
        self.list.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setAccessibleName("Cases of which something else would be said")
        set_help(self.list, "Each case of which something else would be said. ↑ and ↓ choose one; why stands below.")
        self.kinds.setAccessibleName("Which cases")
        set_help(self.kinds, "Which cases are listed: those that would be held, those that no longer would, and so on.")
        self.reasons.setReadOnly(True)
        self.reasons.setTabChangesFocus(True)
        self.reasons.setAccessibleName("Why")
        line = QFontMetrics(look.font()).lineSpacing()
        self.reasons.setMinimumHeight(LEAST_LINES * line + look.px(1))
        self.list.setMinimumHeight(3 * line)
        set_help(self.reasons, "What would be otherwise of the chosen case, with the question and the reason.")
        set_help(self.months, "So many months back from today. ↑ and ↓ count.")
        self.months.setFixedWidth(look.px(4))
        self.try_button.setDefault(True)
        self.close_button.setAutoDefault(False)
        begin, foot = QHBoxLayout(), QHBoxLayout()
        for part in (Words("Cases of the last", ink="quiet"), self.months, Words("months", ink="quiet")):
            begin.addWidget(part)
        begin.addWidget(self.try_button)
        begin.addStretch(1)
        foot.addStretch(1)
        foot.addWidget(self.close_button)
        self._space = QWidget(self)
        column = QVBoxLayout(self)
        margin = look.px(1.2)
        column.setContentsMargins(margin, margin, margin, margin)
        column.addWidget(self._purpose)
        column.addLayout(begin)
        for row in (self.progress, self.said, self.kinds):
            column.addWidget(row)
        column.addWidget(self.list, 3)
        column.addWidget(self._space, 1)
        column.addWidget(self.reasons, 2)
        column.addLayout(foot)
        for layout in (column, begin, foot):
            layout.setSpacing(look.px(0.6))
        self.months.setFocus()
        self.months.selectAll()


def open_trial(room: Room, desk: "Desk", draft: Draft, parent: QWidget) -> TryDialog:
    """Opens the dialog over a page; the trial begins with Enter."""
    dialog = TryDialog(room, desk, draft, parent.window())
    dialog.open()
    return dialog


def _said(tried: "Tried") -> str:
    if not tried.trial.differ:
        return SAME
    return told(tried) if tried.trial.rules_alone else f"{told(tried)} {SLOW}"
