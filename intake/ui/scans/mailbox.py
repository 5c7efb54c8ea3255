"""The mailbox that scans come to: looked into every few minutes, behind the window; and its password."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal, Slot
from PySide6.QtWidgets import QWidget

from intake.errors import IntakeError
from intake.ui.received import received_words
from intake.ui.room import Room

if TYPE_CHECKING:
    from collections.abc import Callable

    from intake.desk.desk import Desk
    from intake.desk.scan_mailbox import MailboxRead

TROUBLE = "mailbox"
MINUTE_MS = 60_000
NO_MAILBOX = "The lab setup names no mailbox that scans come to. Fill in [mailbox] there."
NOT_OPEN = "The data are still being opened; do it again in a moment."
LOOKING = "Looking into the mailbox …"
NOTHING_NEW = "Nothing new lies in the mailbox."
PURPOSE = "before it shows what came"
KEPT = "The password is kept in this system’s keyring."


class Postbox(QObject):
    """Looks into the mailbox while the window is open.

    Args:
        room: What every place shares.
        window: The window over which the password is asked for.
    """

    received = Signal(object)
    """What came: a tuple of `Received`."""

    def __init__(self, room: Room, window: QWidget) -> None:
        super().__init__(window)
        self._room, self._window = room, window
        self._desk: Desk | None = None
        self._looking = self._asked = self._stopped = False
        self._timer = QTimer(self)
        self._timer.timeout.connect(self.look)
        room.keys.action("mailbox-password").triggered.connect(self.ask_password)
        room.keys.action("look-into-mailbox").triggered.connect(self.look_now)

    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open; a lab without a mailbox is never bothered."""
        before, self._desk = self._desk, desk
        if before is not None and before.lab.mailbox == desk.lab.mailbox:
            return
        self._timer.stop()
        if desk.lab.mailbox.server:
            self._timer.start(desk.lab.mailbox.every_minutes * MINUTE_MS)
            self.look()

    def stop(self) -> None:
        """Looks no more: the window closes. What came meanwhile is taken in the next time."""
        self._timer.stop()
        self._stopped, self._desk = True, None

    @Slot()
    def look(self) -> None:
        """Looks into the mailbox, if that is not being done."""
        desk = self._desk
        if desk is None or self._looking or not desk.lab.mailbox.server:
            return
        self._looking = True
        work = partial(_read, desk, lambda: self._stopped)
        self._room.jobs.run(work, self._on_read, self._on_failed, lane="beside")

    @Slot()
    def look_now(self) -> None:
        """Looks into the mailbox because somebody asked for it, and says so also where nothing came."""
        if self._desk is None or not self._desk.lab.mailbox.server:
            self._room.news.tell(NOT_OPEN if self._desk is None else NO_MAILBOX)
            return
        self._asked = True
        self._room.news.tell(LOOKING)
        self.look()

    @Slot()
    def ask_password(self) -> None:
        """Asks for the password of the mailbox."""
        from intake.ui.password_dialog import PasswordDialog  # opened seldom

        rules = self._desk.lab.mailbox if self._desk is not None else None
        if rules is None or not (rules.server and rules.user):
            self._room.news.tell(NOT_OPEN if rules is None else NO_MAILBOX)
            return
        dialog = PasswordDialog(rules.server, rules.user, self._room.look, self._window, PURPOSE)
        dialog.given.connect(self._on_given)
        dialog.open()

    @Slot(str)
    def _on_given(self, password: str) -> None:
        if self._desk is not None:
            work = partial(_keep_password, self._desk, password)
            self._room.jobs.run(work, self._on_kept, self._on_not_kept, lane="beside")

    def _on_kept(self, _: None) -> None:
        self._room.news.settle(TROUBLE)
        self._room.news.tell(KEPT)
        self.look()

    def _on_not_kept(self, problem: Exception) -> None:
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    def _on_read(self, read: "MailboxRead") -> None:
        asked, self._looking, self._asked = self._asked, False, False
        if self._desk is None:
            return
        self._room.news.settle(TROUBLE)
        if read.received:
            self._room.news.tell(received_words(read.received, self._room.keys.shown("go-waiting")))
            self.received.emit(tuple(read.received))
        elif asked:
            self._room.news.tell(NOTHING_NEW)

    def _on_failed(self, problem: Exception) -> None:
        self._looking = self._asked = False
        if not isinstance(problem, IntakeError):
            raise problem
        if self._desk is None:
            return
        self._room.news.no_longer(LOOKING)
        action = "mailbox-password" if _is_password(problem) else "look-into-mailbox"
        self._room.news.trouble(str(problem), TROUBLE, self._room.keys.action(action))
        self.received.emit(())  # what was taken in before the line dropped is to be seen


# What the desk is asked. It brings the database with it, which is slow to import: that is left to the jobs.


def _read(desk: "Desk", stop: "Callable[[], bool]") -> "MailboxRead":
    from intake.desk.scan_mailbox import read_mailbox

    return read_mailbox(desk, stop)


def _keep_password(desk: "Desk", password: str) -> None:
    from intake.desk.scan_mailbox import keep_mailbox_password

    keep_mailbox_password(desk, password)


def _is_password(problem: IntakeError) -> bool:
    """Whether the password is the first thing to look at."""
    from intake.inbox.mailbox import MailboxRefused
    from intake.outbox.mail import MailRefused

    return isinstance(problem, MailRefused | MailboxRefused)
