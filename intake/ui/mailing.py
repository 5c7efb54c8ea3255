"""E-mails that did not go out: tried again when it is time, in sight until they are sent; and the mail password."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, QTimer, Signal, Slot
from PySide6.QtWidgets import QWidget

from intake.errors import IntakeError
from intake.ui.room import Room

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.issue import Issued
    from intake.desk.unsent import Tried

EVERY_MS = 60_000
"""How often it is asked whether one is due; how long one waits is in the lab setup."""
TROUBLE, PASSWORD = "mail", "mail-password"
NO_ACCOUNT = "The lab setup names no mail server with a user, so there is no password to keep. Fill in [mail] there."
KEPT = "The password is kept in this system’s keyring."


class Mailing(QObject):
    """Sees to e-mails that failed, beside everything else.

    Args:
        room: What every place shares.
        every_ms: How often to look whether one is due.
        window: The window over which the password is asked for.
    """

    sent = Signal(object)
    """What was tried again: a tuple of `Issued`."""

    def __init__(self, room: Room, every_ms: int, window: QWidget) -> None:
        super().__init__(window)
        self._room, self._window = room, window
        self._desk: Desk | None = None
        self._trying = self._again = False
        self._needs_password = False
        self._timer = QTimer(self)
        self._timer.setInterval(every_ms)
        self._timer.timeout.connect(self.look)
        room.keys.action("mail-password").triggered.connect(self.ask_password)

    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk: tells what did not go out before, and whether a password is missing."""
        before, self._desk = self._desk, desk
        if before is None:
            self._timer.start()
        if before is None or before.lab.mail != desk.lab.mail:
            self._room.news.settle(PASSWORD)
            self._beside(_password_problem, self._on_password_problem)

    def stop(self) -> None:
        """Tries no more: the window closes."""
        self._timer.stop()
        self._desk = None

    @Slot()
    def look(self) -> None:
        """Sends the e-mails again that are due by now."""
        self._try(at_once=False)

    @Slot(object)
    def on_issued(self, issued: "tuple[Issued, ...]") -> None:
        """Sees what is in sight after e-mails were handed on elsewhere."""
        if any(each.document.way != "print" for each in issued):
            self._beside(_unsent, self._show)

    @Slot()
    def ask_password(self) -> None:
        """Asks for the password of the mail account."""
        from intake.ui.password_dialog import PasswordDialog  # opened seldom

        mail = self._desk.lab.mail if self._desk is not None else None
        if mail is None or not (mail.server and mail.user):
            self._room.news.tell(NO_ACCOUNT)
            return
        dialog = PasswordDialog(mail.server, mail.user, self._room.look, self._window)
        dialog.given.connect(self._on_given)
        dialog.open()

    @Slot(str)
    def _on_given(self, password: str) -> None:
        self._beside(partial(_keep_password, password=password), self._on_kept)

    def _on_kept(self, _: None) -> None:
        self._needs_password = False
        self._room.news.settle(PASSWORD)
        self._room.news.tell(KEPT)
        self._try(at_once=True)

    def _on_password_problem(self, problem: str) -> None:
        self._needs_password = bool(problem)
        if problem:
            self._room.news.trouble(problem, PASSWORD, self._room.keys.action("mail-password"))
        self.look()

    def _try(self, at_once: bool) -> None:
        if self._trying:
            self._again = self._again or at_once
        elif self._desk is not None:
            self._trying = True
            self._beside(partial(_try_again, at_once=at_once), self._on_tried)

    def _on_tried(self, tried: "Tried") -> None:
        again, self._trying, self._again = self._again, False, False
        self._show(tried.unsent)
        sent = tuple(each for each in tried.issued if each.sent)
        if sent and self._desk is not None:
            self.sent.emit(sent)
        if again:
            self._try(at_once=True)

    def _show(self, unsent: tuple) -> None:
        if not unsent:
            self._room.news.settle(TROUBLE)
        elif self._desk is not None:
            way = "mail-password" if self._needs_password else "send-again"
            self._room.news.trouble(_words(unsent), TROUBLE, self._room.keys.action(way))

    def _beside(self, work: Callable[..., Any], done: Callable[[Any], None]) -> None:
        if self._desk is not None:
            self._room.jobs.run(partial(work, self._desk), done, self._on_failed, lane="beside")

    def _on_failed(self, problem: Exception) -> None:
        self._trying = False
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))


# What the desk is asked. It brings the database with it, which is slow to import: that is left to the jobs.


def _try_again(desk: "Desk", at_once: bool) -> "Tried":
    from intake.desk.unsent import try_again

    return try_again(desk, at_once)


def _unsent(desk: "Desk") -> tuple:
    from intake.desk.unsent import unsent

    return unsent(desk)


def _words(rows: tuple) -> str:
    from intake.desk.unsent import unsent_words

    return unsent_words(rows)


def _password_problem(desk: "Desk") -> str:
    from intake.desk.mailing import password_problem

    return password_problem(desk)


def _keep_password(desk: "Desk", password: str) -> None:
    from intake.desk.mailing import keep_mail_password

    keep_mail_password(desk, password)
