"""What the case in the form may be the same as: looked for as it is typed, said in a quiet line with its keys."""

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QPushButton, QVBoxLayout, QWidget

from intake.domain.case import Appliance, Case, NewPractice
from intake.errors import IntakeError
from intake.ui.arrivals import asked
from intake.ui.latest import Latest
from intake.ui.plain import Words, button_words, set_edge
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.likeness import Likely

About = tuple[str | NewPractice | None, str, str, str, tuple[Appliance, ...], str, int | None]
"""What likeness hangs on: practice, label, reference, found name, what is to be made, stream, case."""
OPEN, NOT_SAME = "Look at it", "Not the same"
NOTHING = "Nothing that is here looks like the same case."


class MayBeSame(QWidget):
    """Says which case the form may be the same as; hidden where there is none. It keeps nobody from saving.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    opened = Signal(str)
    """The number of the case that is to be looked at, its digits."""

    def __init__(self, room: Room, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._room = room
        self.desk: Desk | None = None
        self._latest = Latest(room.jobs)
        self._about: About | None = None
        self._token = ""
        self._found: tuple[Likely, ...] = ()
        self._refused: set[int] = set()
        self._offered: frozenset[int] = frozenset()
        self.words = Words("", size="small", ink="asks", wraps=True)
        self.open_button, self.not_button = QPushButton(self), QPushButton(self)
        for name, button in (("open-likely", self.open_button), ("not-the-same", self.not_button)):
            button.setProperty("compact", True)
            button.clicked.connect(room.keys.action(name).trigger)
        self._buttons = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._buttons.addWidget(self.open_button)
        self._buttons.addWidget(self.not_button)
        self._buttons.addStretch(1)
        self._column = QVBoxLayout(self)
        self._column.addWidget(self.words)
        self._column.addLayout(self._buttons)
        set_edge(self, "bottom")
        self.hide()
        room.keys.action("open-likely").triggered.connect(self.open)
        room.keys.action("not-the-same").triggered.connect(self.refuse)
        room.keys.changed.connect(self._show)
        room.look.changed.connect(self._fit)
        self._fit()

    def ask(self, case: Case, token: str, case_id: int | None, anew: bool = False) -> None:
        """Looks what the case may be the same as, on the store's thread.

        Args:
            case: The case in the form.
            token: The form's: what was said not to be the same is said of this form alone.
            case_id: The case that it is, where it is booked.
            anew: Whether to look even where the form says what it said before.
        """
        if token != self._token:
            self._token, self._refused = token, set()
        about = _about(case, case_id) if self.desk is not None else None
        if about == self._about and not (anew and about):
            return
        self._about = about
        if self.desk is not None and about is not None:
            work = partial(asked.likely, self.desk, case, case_id)
            self._latest.ask(work, self._on_found, self._on_failed)
        else:
            self._latest.forget()
            self._on_found(())

    def forget(self) -> None:
        """Wants no answer any more: the window closes."""
        self._latest.forget()
        self.desk = None

    @Slot(object)
    def leave_out(self, offered: frozenset[int]) -> None:
        """Says nothing of the cases that the form is offered to be put to: that is said already."""
        self._offered = offered
        self._show()

    @property
    def shown(self) -> "tuple[Likely, ...]":
        """What may be the same, is not offered to be put to, and was not said to be another; likeliest first."""
        return tuple(each for each in self._found if each.case_id not in self._refused | self._offered)

    @Slot()
    def open(self) -> None:
        """Looks at the likeliest one."""
        if self.shown:
            self.opened.emit(self.shown[0].number)
        else:
            self._room.news.tell(NOTHING)

    @Slot()
    def refuse(self) -> None:
        """Says that the likeliest one is not the same; the next is shown, if there is one."""
        if self.shown:
            self._refused.add(self.shown[0].case_id)
            self._show()
        else:
            self._room.news.tell(NOTHING)

    def _on_found(self, found: "Sequence[Likely]") -> None:
        self._found = tuple(found)
        self._show()

    def _on_failed(self, problem: Exception) -> None:
        self._on_found(())
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    @Slot()
    def _show(self) -> None:
        shown = self.shown
        self.setVisible(bool(shown))
        if shown:
            others = f" {len(shown) - 1} more may be the same." if len(shown) > 1 else ""
            self.words.setText(f"Here already? {shown[0].said}{others}")
            keys = self._room.keys
            for words, name, button in (
                (OPEN, "open-likely", self.open_button),
                (NOT_SAME, "not-the-same", self.not_button),
            ):
                button.setText(button_words(f"{words}  {keys.shown(name)}".rstrip()))
            self._fit()

    @Slot()
    def _fit(self) -> None:
        wide, thin = self._room.look.px(1), self._room.look.px(0.3)
        self._column.setContentsMargins(wide, thin, wide, thin)
        self._column.setSpacing(thin)
        self._buttons.setSpacing(thin)
        needed = self.open_button.sizeHint().width() + self.not_button.sizeHint().width() + 2 * wide + thin
        sideways, downwards = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        self._buttons.setDirection(sideways if self.width() >= needed else downwards)
        # What lies in a scroll area gets its least height, which for words that wrap Qt does not know by itself.
        self.setMinimumHeight(max(0, self._column.totalHeightForWidth(self.width())))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()


def _about(case: Case, case_id: int | None) -> About | None:
    """What likeness hangs on; None where nobody is named yet."""
    patient = case.patient
    if not (patient.label or patient.reference or patient.found):
        return None
    who = patient.label or "", patient.reference or "", patient.found or ""
    return case.practice, *who, case.appliances, case.stream, case_id
