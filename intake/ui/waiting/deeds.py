"""What the desk is asked to do for a practice: take an answer down, note a try, write, print what comes free."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, QUrl, Signal
from PySide6.QtGui import QDesktopServices

from intake.domain.answer import Speaker
from intake.errors import IntakeError
from intake.ui.room import Room
from intake.ui.waiting import asked
from intake.ui.waiting.asked import Done
from intake.ui.waiting.asking import Deed

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.issue import Issued
    from intake.domain.ringing import Outcome

TROUBLE = "waiting"


class Deeds(QObject):
    """Does what is asked for on the store's thread, and reads the practice's card again.

    Args:
        room: What every place shares.
        parent: The owner.
    """

    read = Signal(str, object)
    """The practice's card as it is now, a `Shown`; None where nothing is open for it any more."""
    issued = Signal(object)
    """The letters that were handed to the printer or the mail server: a tuple of `Issued`."""
    freed = Signal(str, object)
    """What was said, and the tickets that were printed for it."""

    def __init__(self, room: Room, parent: QObject) -> None:
        super().__init__(parent)
        self._room = room
        self.desk: Desk | None = None

    def do(
        self,
        key: str,
        deed: Deed,
        speaker: Speaker,
        spoke: bool,
        done: Callable[[Done], None],
        failed: Callable[[str], None],
    ) -> None:
        """Does one thing for a practice; what fails is said, and goes back to who asked for it."""
        work = partial(asked.do, self._at_work, key, deed, speaker, spoke)
        self._run(key, work, done, partial(self._on_failed, key, failed))

    def take_back(self, key: str, answered: Any, done: Callable[[], None]) -> None:
        """Takes an answer back."""
        self._run(key, partial(asked.take_back, self._at_work, answered), lambda _: done())

    def note_try(self, key: str, outcome: "Outcome") -> None:
        """Notes a try to reach a practice."""
        self._run(key, partial(asked.note_try, self._at_work, key, outcome), partial(self._offer_undo, key))

    def _offer_undo(self, key: str, done: Done) -> None:
        """A try that was noted by a slip of the hand can be taken back."""
        if done.noted is None:
            return
        undo = partial(self._run, key, partial(asked.take_back_try, self._at_work, done.noted))
        self._room.news.offer_undo(done.said, undo, "the try")

    def always_disinfected(self, key: str, speaker: Speaker) -> None:
        """Keeps the practice's statement that everything it sends is disinfected."""
        self._run(key, partial(asked.always_disinfected, self._at_work, key, speaker))

    def write(self, key: str, way: str) -> None:
        """Writes to a practice now; an e-mail is sent where the lab has a mail server, else left as a draft."""
        if way == "mail" and self._at_work.mail is None:
            way = "draft"
        self._paper(key, partial(asked.write, self._at_work, key, way))

    def send_forms(self, key: str, way: str) -> None:
        """Sends a practice blank prescriptions."""
        self._paper(key, partial(asked.send_blank, self._at_work, key, way))

    def trouble(self, problem: Exception) -> None:
        """Says what the desk refuses; what nobody foresaw goes on to the last resort."""
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.tell(str(problem))

    def read_again(self, key: str) -> None:
        """Reads a practice's card again."""
        if self.desk is not None:
            work = partial(asked.call_card, self.desk, key)
            self._room.jobs.run(work, partial(self.read.emit, key), self.trouble)

    @property
    def _at_work(self) -> "Desk":
        """The desk, once there is a card."""
        assert self.desk is not None, "there is no card before there is a desk"
        return self.desk

    def _run(
        self,
        key: str,
        work: Callable[[], Done],
        done: Callable[[Done], None] | None = None,
        failed: Callable[[Exception], None] | None = None,
    ) -> None:
        desk = self._at_work

        def whole() -> tuple[Done, Any]:
            return work(), asked.call_card(desk, key)

        self._room.jobs.run(whole, partial(self._on_done, key, done), failed or self.trouble)

    def _on_done(self, key: str, done: Callable[[Done], None] | None, result: tuple[Done, Any]) -> None:
        made, shown = result
        self._room.news.tell(made.said)
        self._room.news.settle(TROUBLE)
        if done is not None:
            done(made)
        self.read.emit(key, shown)
        if made.tickets:
            # Paper is made beside the store's thread: a printer that does not answer keeps nobody waiting.
            work = partial(asked.issue, self._at_work, made.tickets)
            self._room.jobs.run(work, partial(self.freed.emit, made.said), self.trouble, lane="beside")

    def _on_failed(self, key: str, failed: Callable[[str], None], problem: Exception) -> None:
        failed(str(problem) if isinstance(problem, IntakeError) else "Something went wrong.")
        self.read_again(key)
        if not isinstance(problem, IntakeError):
            raise problem
        self._room.news.trouble(f"Not taken down. {problem}", TROUBLE)

    def _paper(self, key: str, work: Callable[[], Any]) -> None:
        self._room.jobs.run(work, partial(self._on_paper, key), self.trouble, lane="beside")

    def _on_paper(self, key: str, issued: "tuple[Issued, ...]") -> None:
        folder = getattr(self._at_work.mail_drafts, "folder", None)
        for each in issued:
            if folder is not None and each.sent and each.document.way == "draft" and each.queue:
                QDesktopServices.openUrl(QUrl.fromLocalFile(str(folder / each.queue)))
        self.issued.emit(issued)
        self.read_again(key)
