"""What comes to the desk from outside the window, and what leaves it by e-mail: files, the watched folder, mails."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Slot

from intake.ui import incoming, mailing
from intake.ui.arrivals.place import Arrivals
from intake.ui.drops import Drops
from intake.ui.room import Room
from intake.ui.scans.checks import Checks
from intake.ui.scans.mailbox import Postbox
from intake.ui.scans.progress import CheckProgress
from intake.ui.ticket_printing import TicketPrinting
from intake.ui.waiting import Waiting
from intake.ui.window import Window

if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.setup.places import DataFolder


class Outside(QObject):
    """Connects the places with what reaches them from outside.

    Args:
        room: What every place shares.
        window: The window, painted already; files may be dropped anywhere on it.
        folder: The lab's folder, with the one that is watched.
        arrivals: Takes files in.
        waiting: Shows the returned forms among them.
        printing: Tells what became of what was sent.
    """

    def __init__(
        self,
        room: Room,
        window: Window,
        folder: "DataFolder",
        arrivals: Arrivals,
        waiting: Waiting,
        printing: TicketPrinting,
    ) -> None:
        super().__init__(window)
        self.incoming = incoming.Incoming(room, folder.incoming, incoming.EVERY_MS, self)
        self.mailing = mailing.Mailing(room, mailing.EVERY_MS, window)
        self.checks, self.postbox = Checks(room, self), Postbox(room, window)
        handle = window.windowHandle()
        assert handle is not None, "the window is painted before it is connected"
        self._window, self._arrivals = window, arrivals
        Drops(handle, self).dropped.connect(self._on_dropped)
        arrivals.arriving.received.connect(waiting.read_again)
        for brought in (arrivals.arriving.received, self.incoming.received, self.postbox.received):
            brought.connect(self.checks.look)
        self.postbox.received.connect(arrivals.arriving.read)
        self.postbox.received.connect(waiting.read_again)
        arrivals.scanning.to_measure.connect(self.checks.measure)
        self.checks.left.connect(CheckProgress(room).show_left)
        self.checks.checked.connect(arrivals.scanning.on_checked)
        self.checks.checked.connect(arrivals.arriving.read)
        self.checks.issued.connect(printing.on_freed)
        self.checks.issued.connect(waiting.read_again)
        self.incoming.received.connect(arrivals.arriving.read)
        self.incoming.received.connect(waiting.read_again)
        arrivals.joined.connect(printing.on_joined)
        printing.issued.connect(self.mailing.on_issued)
        self.mailing.sent.connect(printing.on_issued)

    @Slot(object)
    def set_desk(self, desk: "Desk") -> None:
        """Takes the desk, once its store is open."""
        self.incoming.set_desk(desk)
        self.mailing.set_desk(desk)
        self.checks.set_desk(desk)
        self.postbox.set_desk(desk)

    @Slot(object)
    def _on_dropped(self, paths: Sequence[Path]) -> None:
        """Files that were dropped go to the place in view, if it wants them; else they are taken in."""
        take = getattr(self._window.in_view, "take_files", None)
        if take is None or not take(paths):
            self._arrivals.take_in(paths)

    def stop(self) -> None:
        """Takes nothing in and sends nothing any more: the window closes."""
        self.incoming.stop()
        self.mailing.stop()
        self.checks.stop()
        self.postbox.stop()

    def close(self) -> None:
        """Ends what runs beside the window, once no job needs it any more."""
        self.checks.close()
