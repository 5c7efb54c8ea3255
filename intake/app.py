"""The one place that puts the parts together: the window, the commands, and the desk they share."""

import sys
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from intake import __version__

# The window has to be on the screen at once and a check has no use for Qt, so each way loads only what it needs.
if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.domain.lab import Lab
    from intake.outbox.mail import MailRoute
    from intake.outbox.print_queue import PrintQueue
    from intake.setup.places import DataFolder


def main(words: Sequence[str] | None = None) -> int:
    """Opens the window, or runs the command that was given; gives the exit code."""
    given = list(sys.argv[1:] if words is None else words)
    if given[:1] == ["--version"]:
        print(f"Intake {__version__}")
        return 0
    if not given or (given[0] == "--data" and len(given) == 2):
        from intake.setup.places import data_folder

        return show(data_folder(given[1] if given else None), open_desk)
    if given[0] == "demo":
        return _demo(given[1:])
    from intake.cli import Ways, run_command

    return run_command(given, Ways(open_desk, lab_clock))


def _demo(words: Sequence[str]) -> int:
    """The demo, with a window where there is a display."""
    import os

    display = sys.platform in ("win32", "darwin") or bool(
        os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")
    )
    if not display:
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from intake.console import in_words
    from intake.rehearsal import run_demo
    from intake.ui.pictures import take_pictures

    return in_words(lambda: run_demo(words, show, take_pictures, display))


def show(folder: "DataFolder", open_desk: "Callable[[DataFolder], Desk]") -> int:
    """Shows the window on a data folder until it is closed; gives the exit code."""
    from intake.ui.start import run_window

    return run_window(folder, open_desk, read_lab, lambda: system_queue().queues())


def open_desk(folder: "DataFolder", out: Path | None = None) -> "Desk":
    """The desk on a data folder; with `out`, tickets and letters are kept there as files instead of being printed.

    The setup in force is the newest edition, or what a hand has made of the folder's setup file; practices of the
    folder's directory file that the directory lacks are added.
    Raises IntakeError where the setup or the data cannot be used.
    """
    from functools import partial

    from intake.desk.desk import Desk
    from intake.desk.directory import take_up
    from intake.desk.people import with_people
    from intake.desk.setup_opening import SetupOpening
    from intake.inbox.scan_files import ScanFiles
    from intake.outbox.mail_file import DraftFolder
    from intake.setup.first_run import default_setup
    from intake.setup.reading import read_setup
    from intake.store.opening import Store

    if not folder.store.exists():  # a setup that cannot be used leaves nothing behind
        read_setup(folder.setup if folder.setup.exists() else default_setup())
    folder.path.mkdir(parents=True, exist_ok=True)
    store = Store.open(folder.store)
    try:
        settled = SetupOpening(store, folder.setup, default_setup(), initials(), lab_clock).settle()
        desk = Desk(
            store,
            settled.lab,
            file_queue(out) if out is not None else system_queue(),
            partial(lab_clock, settled.lab),
            initials(),
            folder=folder.path,
            mail_drafts=DraftFolder(folder.drafts if out is None else out),
            scan_store=ScanFiles(folder.scans),
            notices=settled.notices,
            fit=partial(_fitted, to_files=out is not None),
        ).with_setup(settled.lab, settled.edition)
        return with_people(take_up(desk, folder.practices))
    except BaseException:
        store.close()
        raise


def _fitted(desk: "Desk", to_files: bool) -> "Desk":
    """The desk with the clock, the mail server and the queues of its setup; of none but files where that is wanted."""
    from dataclasses import replace
    from functools import partial

    lab = printing_to_files(desk.lab) if to_files else desk.lab
    return replace(desk, lab=lab, now=partial(lab_clock, lab), mail=None if to_files else mail_server(lab))


def read_lab(folder: "DataFolder") -> "Lab | None":
    """The lab setup of a data folder; None where there is none yet. Raises SetupWrong."""
    from intake.setup.reading import read_setup

    return read_setup(folder.setup) if folder.setup.exists() else None


def lab_clock(lab: "Lab") -> datetime:
    """The lab's wall clock, without a time zone."""
    from zoneinfo import ZoneInfo

    return datetime.now(ZoneInfo(lab.calendar.zone)).replace(tzinfo=None)


def initials() -> str:
    """Who is at the desk, as far as the computer knows."""
    import getpass

    try:
        return getpass.getuser()[:3].upper()
    except (OSError, ImportError, KeyError):  # no account name on this system
        return "DESK"


def system_queue() -> "PrintQueue":
    """The print queues of this computer."""
    if sys.platform == "win32":
        from intake.ui.printing import QtPrintQueue

        return QtPrintQueue()
    from intake.outbox.cups import Cups

    return Cups()


def mail_server(lab: "Lab") -> "MailRoute | None":
    """The lab's mail server as the setup names it; None where it names none."""
    if not lab.mail.server:
        return None
    from functools import partial

    from intake.outbox.passwords import password_of
    from intake.outbox.smtp import Smtp

    mail = lab.mail
    return Smtp(mail.server, mail.port, mail.security, mail.user, partial(password_of, mail.user))


def file_queue(out: Path) -> "PrintQueue":
    """A folder in the place of the printers."""
    from intake.outbox.folder_queue import FolderQueue

    return FolderQueue(out)


def printing_to_files(lab: "Lab") -> "Lab":
    """A setup whose tickets and letters go to files, whatever queues it names."""
    ticket = lab.ticket.model_copy(update={"queue": "files"})
    letter = lab.letter.model_copy(update={"queue": "files"})
    return lab.model_copy(update={"ticket": ticket, "letter": letter})


if __name__ == "__main__":
    sys.exit(main())
