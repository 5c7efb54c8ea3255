"""The verdict on what is in the form: the box, what is missing, and the days."""

from collections.abc import Sequence
from datetime import datetime

from PySide6.QtCore import QEvent, QObject, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QPlainTextEdit, QScrollArea, QSizePolicy, QStackedWidget, QVBoxLayout, QWidget

from intake.domain.case import Case
from intake.domain.deadlines import explain_deadlines
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.domain.verdict import PourBy, Verdict
from intake.domain.written_dates import shown_moment
from intake.ui.arrivals.days import days_of
from intake.ui.arrivals.likely import MayBeSame
from intake.ui.arrivals.promised import Promised
from intake.ui.box_patch import BoxPatch, BoxView
from intake.ui.day_strip import DayStrip
from intake.ui.findings_list import FindingsList, FindingView
from intake.ui.help_panel import set_help
from intake.ui.plain import Words
from intake.ui.room import Room

NO_BOX = "The box appears here as soon as the form names an appliance."
NO_DAYS = "Enter the appointment to see by when everything has to be done."
NOTHING_ASKED = "Nothing is missing."
NOTHING_YET = "What is missing appears here as you type, each with the key that goes to its field."
FINDINGS_HELP = "What is missing, in the order to ask it. Enter, or the key beside a line, goes to its field."
DATES_HELP = "Why each date falls where it does, from the appointment backward. Esc goes back."


class VerdictView(QWidget):
    """Shows a verdict.

    Args:
        room: What every place shares.
        lab: The lab setup.
        parent: The owner.
    """

    place_wanted = Signal(str)
    why_left = Signal()

    def __init__(self, room: Room, lab: Lab, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look, self._lab = room.look, lab
        self._places: tuple[str, ...] = ()
        self._shown: tuple[Case, Verdict, Practice | None, datetime] | None = None
        self.box = BoxPatch(room.look, NO_BOX)
        self.findings = FindingsList(room.look, room.keys, NOTHING_YET)
        self.pour = Words("", size="small", wraps=True)
        self.undated = Words("", size="small", ink="caution", wraps=True)
        self.promised = Promised(room, self)
        self.likely = MayBeSame(room, self)
        self.days = DayStrip(room.look, NO_DAYS)
        self.why = QPlainTextEdit(self)
        self.why.setReadOnly(True)
        self.why.setAccessibleName("Why these dates")
        self.why.installEventFilter(self)
        set_help(self.why, DATES_HELP)
        set_help(self.findings, FINDINGS_HELP)
        self.stops = self.promised.button, self.likely.open_button, self.likely.not_button, self.findings
        self._lay_out()
        self.findings.finding_chosen.connect(self._on_finding)
        room.look.changed.connect(self._fit)
        self._fit()

    def set_lab(self, lab: Lab) -> None:
        """Takes another setup; the next verdict is shown by it."""
        self._lab, self._shown = lab, None

    def show_verdict(
        self, case: Case, verdict: Verdict, places: Sequence[str], practice: Practice | None, now: datetime
    ) -> None:
        """Shows a verdict.

        Args:
            case: The case that was judged.
            verdict: What the lab says of it.
            places: For each finding the field of the form that it leads to.
            practice: The directory's entry of its practice.
            now: The lab's wall clock.
        """
        self._places = tuple(places)
        seen = (case, verdict, practice, now.replace(second=0, microsecond=0))
        if seen == self._shown:
            return
        self._shown = seen
        begun = bool(case.appliances)
        self.box.show_boxes([_box_view(verdict, at, self._lab) for at in range(len(verdict.jobs))])
        self.findings.show_findings(
            [FindingView(f.level, f.question, f.because) for f in verdict.findings] if begun else []
        )
        self.findings.say_when_empty(NOTHING_ASKED if begun else NOTHING_YET)
        self._tell(self.pour, _pour_words(verdict.pour_by))
        self._tell(self.undated, verdict.undated or "")
        self.days.show_days(days_of(verdict, self._lab, practice, now))
        if self.shows_why:
            self._explain()

    @property
    def shows_why(self) -> bool:
        """Whether the explanation of the dates is in view."""
        return self._lower.currentWidget() is self.why

    @Slot()
    def toggle_why(self) -> None:
        """Shows why the dates fall where they do, and takes the keys there; again to go back."""
        if self.shows_why:
            self._lower.setCurrentIndex(0)
            self.why_left.emit()
            return
        self._lower.setCurrentWidget(self.why)
        self._explain()
        self.why.setFocus(Qt.FocusReason.OtherFocusReason)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress and event.key() == Qt.Key.Key_Escape:
            self.toggle_why()
            return True
        return False

    def _explain(self) -> None:
        if self._shown is not None:
            _, verdict, practice, _ = self._shown
            self.why.setPlainText(_why_words(verdict, self._lab, practice))

    @staticmethod
    def _tell(words: Words, text: str) -> None:
        words.setText(text)
        words.setVisible(bool(text))

    @Slot(int)
    def _on_finding(self, at: int) -> None:
        if at < len(self._places):
            self.place_wanted.emit(self._places[at])

    def _lay_out(self) -> None:
        told = QWidget()
        column = QVBoxLayout(told)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.likely)  # scrolls with the rest where there is no room
        self.findings.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        column.addWidget(self.findings, 1)
        for part in (self.pour, self.undated, self.days):
            column.addWidget(part)
        scroll = QScrollArea(self)
        scroll.setWidget(told)
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._lower = QStackedWidget(self)
        self._lower.addWidget(scroll)
        self._lower.addWidget(self.why)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.box, 1)
        whole.addWidget(self.promised)
        whole.addWidget(self._lower, 2)

    @Slot()
    def _fit(self) -> None:
        side, thin = self._look.px(1), self._look.px(0.3)
        self.findings.setMinimumHeight(self._look.px(6))
        # As wide as the strip of days has to be, with the scroll bar: what is said beside it is cut nowhere.
        self.setMinimumWidth(self.days.minimumSizeHint().width() + self._look.px(0.8))
        for words in (self.pour, self.undated):
            words.setContentsMargins(side, thin, side, thin)


def _box_view(verdict: Verdict, at: int, lab: Lab) -> BoxView:
    job = verdict.jobs[at]
    return BoxView(lab.category_by_id[job.category].name, job.box.colour, job.box.hex, job.state == "held")


def _pour_words(pour: PourBy | None) -> str:
    if pour is None:
        return ""
    wait = f", not before {shown_moment(pour.not_before)}" if pour.not_before else ""
    counted = f" Counted {pour.estimated}." if pour.estimated else ""
    if pour.usual >= pour.by:
        return f"Pour by {shown_moment(pour.by)}{wait}.{counted}"
    return f"Pour by {shown_moment(pour.usual)}, at the latest by {shown_moment(pour.by)}{wait}.{counted}"


def _why_words(verdict: Verdict, lab: Lab, practice: Practice | None) -> str:
    """Why each date of each job falls where it does."""
    parts = []
    for job in verdict.jobs:
        if job.deadlines is not None:
            category = lab.category_by_id[job.category]
            lines = explain_deadlines(job.deadlines, category.route, practice, lab)
            parts.append("\n".join((category.name, *lines)))
    return "\n\n".join(parts) or verdict.undated or NO_DAYS
