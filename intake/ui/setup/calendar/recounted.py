"""The dates of the open jobs counted anew, or what a changed setup would make of them: first how far, then which."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QFontMetrics, QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QDialog,
    QHBoxLayout,
    QPushButton,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from intake.domain.lab import Lab
from intake.errors import IntakeError
from intake.ui.help_panel import set_help
from intake.ui.plain import Words
from intake.ui.progress_row import ProgressRow
from intake.ui.room import Room
from intake.ui.setup.calendar import asked
from intake.ui.setup.calendar.recounted_model import RecountedModel

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.issue import Issued
    from intake.desk.recounting import Recounted

LIST_HELP = (
    "The open jobs whose dates are other ones; those that became late stand first. The arrow keys choose a job: all "
    "that changed stands below the list. Nobody has told their practices yet."
)
LONG_MS = 700
"""From so long on it is shown how far it is."""
_WIDE, _HIGH, _OF_SCREEN = 58, 34, 0.94


class RecountedDialog(QDialog):
    """Counts, with its progress and the way to stop, then lists the jobs.

    Args:
        room: What every place shares.
        desk: Where it is done.
        parent: The window over which it opens.
    """

    issued = Signal(object)
    """The tickets that were handed to the printer: a tuple of `Issued`."""

    def __init__(self, room: Room, desk: "Desk", parent: QWidget) -> None:
        super().__init__(parent)
        self._room, self._desk = room, desk
        self._recounted: Recounted | None = None
        self._again: Callable[[], None] | None = None
        self._quiet = False
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Dates of the open jobs")
        self.said, self.all_of_it = Words("", bold=True, wraps=True), Words("", wraps=True)
        self.paper = Words("", ink="caution", wraps=True)
        self.progress = ProgressRow(room.look, self)
        self.jobs = RecountedModel(self)
        self.list = _list(self.jobs, self)
        self.tickets_button, self.again_button = QPushButton("&Print their tickets anew"), QPushButton("&Go on")
        self.close_button = QPushButton("Close  Esc")
        self._lay_out()
        self._connect()

    def follow(self) -> None:
        """Counts the dates anew, and opens only where it takes long or there is something to see."""
        self._quiet = True
        QTimer.singleShot(LONG_MS, self, self._open_if_under_way)
        self.count()

    def count(self) -> None:
        """Counts the dates anew, and keeps them."""
        self._begin("Jobs counted:", self.count, lambda seen: asked.recount(self._desk, seen.progress, seen.stopped))

    def try_out(self, lab: Lab) -> None:
        """Counts what a setup would make of the dates."""
        work = partial(asked.would_change, self._desk, lab)
        self._begin("Jobs counted:", partial(self.try_out, lab), lambda seen: work(seen.progress, seen.stopped))

    def show_recounted(self, recounted: "Recounted") -> None:
        """Shows what became of the jobs."""
        from intake.desk.recount_words import recounted_words

        self.progress.end()
        self._recounted = recounted
        self.said.setText(recounted_words(recounted))
        self.jobs.show_recounted(recounted)
        listed = bool(self.jobs.rowCount())
        out = sum(each.on_paper for each in recounted.changed) if recounted.kept else 0
        self.paper.setText(
            f"{out} of them {'has' if out == 1 else 'have'} a ticket with the dates before: at the benches it counts "
            "until another one takes its place."
            if out
            else ""
        )
        for part, shown in (
            (self.list, listed),
            (self.all_of_it, listed),
            (self.paper, bool(out)),
            (self.tickets_button, bool(out)),
            (self.again_button, recounted.stopped),
            (self.close_button, True),
        ):
            part.setVisible(shown)
        self._fit()
        if listed:
            self.list.setCurrentIndex(self.jobs.index(0, 0))
            self.list.setFocus()
        else:
            self.close_button.setFocus()

    def reject(self) -> None:
        """Esc stops what is under way first, then closes."""
        if self.progress.running:
            self.progress.stop()
        else:
            super().reject()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.list.hasFocus():
            return  # only a button goes on
        super().keyPressEvent(event)

    def _begin(self, words: str, again: Callable[[], None], work: Callable[..., "Recounted"]) -> None:
        self._again = again
        for part in (self.list, self.all_of_it, self.paper, self.tickets_button, self.again_button, self.close_button):
            part.hide()
        self.said.setText("The dates of the open jobs are being counted.")
        watched = self.progress.begin(words)
        self._fit()
        # Beside the store's own thread: what else is asked of it meanwhile is answered at once.
        self._room.jobs.run(partial(work, watched), self._on_counted, self._on_trouble, lane="beside")

    def _on_counted(self, recounted: "Recounted") -> None:
        from intake.desk.recount_words import recounted_words

        shows = bool(recounted.changed or recounted.not_counted or recounted.stopped)
        if self._quiet and self.isHidden() and not shows:
            self._room.news.tell(" ".join(filter(None, (self._room.news.words.text(), recounted_words(recounted)))))
            self.deleteLater()
            return
        if self.isHidden():
            self.open()
        self.show_recounted(recounted)

    @Slot()
    def _open_if_under_way(self) -> None:
        if self.progress.running:
            self.open()

    def _on_trouble(self, problem: Exception) -> None:
        self.progress.end()
        self.close_button.show()
        if not isinstance(problem, IntakeError):
            raise problem
        self.said.setText(str(problem))
        self.close_button.setFocus()

    @Slot()
    def _print(self) -> None:
        if self._recounted is None:
            return
        self.tickets_button.setEnabled(False)
        self.paper.setText("Their tickets are being printed.")
        work = partial(asked.tickets_anew, self._desk, self._recounted)
        self._room.jobs.run(work, self._on_printed, self._on_trouble, lane="beside")

    def _on_printed(self, issued: "tuple[Issued, ...]") -> None:
        self.issued.emit(issued)
        sent = sum(each.sent for each in issued)
        self.paper.setText(
            f"{sent} of {len(issued)} tickets went to the printer; earlier copies no longer count."
            + ("" if sent == len(issued) else " The others wait, and can be sent again.")
        )
        self.tickets_button.hide()
        self.list.setFocus()

    @Slot()
    def _go_on(self) -> None:
        if self._again is not None:
            self._again()

    @Slot()
    def _on_current(self) -> None:
        self.all_of_it.setText(self.jobs.all_of(self.list.currentIndex().row()))

    def _connect(self) -> None:
        self.close_button.clicked.connect(self.reject)
        self.tickets_button.clicked.connect(self._print)
        self.again_button.clicked.connect(self._go_on)
        self.list.selectionModel().currentChanged.connect(self._on_current)

    def _lay_out(self) -> None:
        look = self._room.look
        buttons = QHBoxLayout()
        buttons.setSpacing(look.px(0.6))
        buttons.addWidget(self.tickets_button)
        buttons.addWidget(self.again_button)
        buttons.addStretch(1)
        buttons.addWidget(self.close_button)
        for button in (self.tickets_button, self.again_button, self.close_button):
            button.setAutoDefault(False)
        column = QVBoxLayout(self)
        margin = look.px(1.2)
        column.setContentsMargins(margin, margin, margin, margin)
        column.setSpacing(look.px(0.6))
        for part in (self.said, self.progress):
            column.addWidget(part)
        column.addWidget(self.list, 1)
        column.addWidget(self.all_of_it)
        column.addWidget(self.paper)
        column.addLayout(buttons)

    def _fit(self) -> None:
        """As wide and high as the list wants, within the screen; low where there is no list."""
        look = self._room.look
        screen = (self.screen() or QApplication.primaryScreen()).availableGeometry()
        wide = min(look.px(_WIDE), round(screen.width() * _OF_SCREEN))
        self.setMinimumWidth(wide)
        line = QFontMetrics(look.font()).height() + look.px(0.5)
        self.all_of_it.setMinimumHeight(3 * QFontMetrics(look.font()).lineSpacing())
        high = min(look.px(_HIGH), round(screen.height() * _OF_SCREEN)) if self.list.isVisibleTo(self) else look.px(9)
        self.list.setMinimumHeight(3 * line)
        self.list.verticalHeader().setDefaultSectionSize(line)
        bar = self.list.verticalScrollBar().sizeHint().width()
        for column, width in enumerate(self.jobs.widths(look, wide - look.px(2.4) - bar - 4)):
            self.list.setColumnHidden(column, width == 0)
            self.list.setColumnWidth(column, width)
        self.resize(QSize(wide, high))


def count(room: Room, desk: "Desk", parent: QWidget) -> RecountedDialog:
    """Counts the dates of the open jobs anew by the setup in force, in a dialog that then lists them."""
    dialog = RecountedDialog(room, desk, parent)
    dialog.open()
    dialog.count()
    return dialog


def follow(room: Room, desk: "Desk", parent: QWidget) -> RecountedDialog:
    """Counts the dates of the open jobs anew when a setup was put in force, or when that was not done to its end.

    A dialog opens only where it takes long, or where dates are other ones.
    """
    dialog = RecountedDialog(room, desk, parent)
    dialog.follow()
    return dialog


def show(room: Room, desk: "Desk", recounted: "Recounted", parent: QWidget) -> RecountedDialog:
    """Shows what became of the open jobs, where they were counted already."""
    dialog = RecountedDialog(room, desk, parent)
    dialog.open()
    dialog.show_recounted(recounted)
    return dialog


def show_what_would_change(room: Room, desk: "Desk", lab: Lab, parent: QWidget) -> RecountedDialog:
    """Shows what a setup would make of the dates of the open jobs, were it put in force."""
    dialog = RecountedDialog(room, desk, parent)
    dialog.open()
    dialog.try_out(lab)
    return dialog


def _list(jobs: RecountedModel, parent: QWidget) -> QTableView:
    view = QTableView(parent)
    view.setModel(jobs)
    view.setShowGrid(False)
    view.verticalHeader().hide()
    view.horizontalHeader().setSectionsClickable(False)
    view.horizontalHeader().setHighlightSections(False)
    view.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
    view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    view.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    view.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    view.setTabKeyNavigation(False)
    view.setWordWrap(False)
    view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    view.setAccessibleName("Jobs with other dates")
    set_help(view, LIST_HELP)
    return view
