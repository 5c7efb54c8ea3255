"""Chooses the printers of tickets and letters. It returns the choice and keeps nothing."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QComboBox, QDialog, QGridLayout, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from intake.ui.look import Look
from intake.ui.plain import Words

if TYPE_CHECKING:
    from intake.outbox.print_queue import QueueInfo

NONE = "none: they wait"


def queue_words(queue: "QueueInfo") -> str:
    """A queue's name, and its state where it takes nothing: “office: stopped (Paused)”."""
    return queue.name if queue.accepting else f"{queue.name}: {queue.state}"


class QueueChoice(QComboBox):
    """A list of print queues to choose from.

    Args:
        name: What it is for.
        queues: The queues of this computer.
        now: The one that is chosen at present, which may be gone.
        parent: The owner.
    """

    def __init__(
        self, name: str, queues: "Sequence[QueueInfo]", now: str | None, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.addItem(NONE, None)
        for queue in queues:
            self.addItem(queue_words(queue), queue.name)
        if now is not None and self.findData(now) < 0:
            self.addItem(f"{now} (not on this computer)", now)
        self.setCurrentIndex(max(0, self.findData(now)))

    @property
    def queue(self) -> str | None:
        """The name of the queue that is chosen."""
        return self.currentData()


class PrinterDialog(QDialog):
    """Two lists of queues: one for tickets, one for letters.

    Args:
        queues: The queues of this computer.
        ticket: The one that tickets go to at present.
        letter: The one that letters go to at present.
        look: For lengths.
        parent: The window over which it opens.
    """

    chosen = Signal(object, object)

    def __init__(
        self,
        queues: "Sequence[QueueInfo]",
        ticket: str | None,
        letter: str | None,
        look: Look,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Printers")
        self.tickets = QueueChoice("Tickets", queues, ticket, self)
        self.letters = QueueChoice("Letters", queues, letter, self)
        self.go_button = QPushButton("&Print there  Enter", self)
        self.go_button.setDefault(True)
        self.go_button.clicked.connect(self._on_go)
        self.leave_button = QPushButton("Leave it  Esc", self)
        self.leave_button.setAutoDefault(False)
        self.leave_button.clicked.connect(self.reject)
        self._lay_out(look, bool(queues))

    @Slot()
    def _on_go(self) -> None:
        self.chosen.emit(self.tickets.queue, self.letters.queue)
        self.accept()

    def _lay_out(self, look: Look, any_queue: bool) -> None:
        told = "Tickets and letters go straight to these printers of this computer, without a further question."
        none = "This computer has no printer yet. Add one to the system, then come back here."
        fields = QGridLayout()
        fields.setHorizontalSpacing(look.px(1))
        fields.setVerticalSpacing(look.px(0.6))
        for row, (words, field) in enumerate((("&Tickets", self.tickets), ("&Letters", self.letters))):
            label = Words(words)
            label.setBuddy(field)
            fields.addWidget(label, row, 0)
            fields.addWidget(field, row, 1)
        fields.setColumnStretch(1, 1)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(self.leave_button)
        buttons.addWidget(self.go_button)
        column = QVBoxLayout(self)
        margin = look.px(1.2)
        column.setContentsMargins(margin, margin, margin, margin)
        column.setSpacing(look.px(1))
        column.addWidget(Words(told if any_queue else none, wraps=True))
        column.addLayout(fields)
        column.addLayout(buttons)
        self.setMinimumWidth(look.px(34))
        self.tickets.setFocus()
