"""The demo's invented lab: its desk, its practices, and what reached it on its day."""

import shutil
import time
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from itertools import count
from pathlib import Path

from intake.desk.arrivals import take_in
from intake.desk.book_in import book_checked
from intake.desk.check import check_file
from intake.desk.desk import Desk
from intake.desk.issue import issue_all
from intake.desk.letters import write_to
from intake.desk.receive import Received, receive
from intake.inbox.scan_files import ScanFiles
from intake.morning_post import open_one, parcels
from intake.outbox.mail_file import DraftFolder
from intake.outbox.print_queue import PrintQueue
from intake.resources import demo
from intake.setup.places import DataFolder
from intake.setup.reading import read_practices, read_setup
from intake.store.opening import Store

DAY_ENDS = datetime(2026, 11, 25, 16, 45)
"""Wednesday: when the last arrival of the demo's day has come."""
WRITTEN_TO = "CANDLE"
"""The practice that was written to the day before."""
QUEUE = "demo"
PERSON = "DEMO"


@dataclass
class DemoClock:
    """A wall clock that begins on the demo's day and goes on from there, or stands where it is put."""

    start: datetime = DAY_ENDS
    began: float = field(default_factory=time.monotonic)
    stands: datetime | None = None

    def now(self) -> datetime:
        """The time in the invented lab."""
        return self.stands or self.start + timedelta(seconds=int(time.monotonic() - self.began))


def fresh_folder(parent: Path) -> DataFolder:
    """A data folder that nothing has been put in yet; former ones stay where they are."""
    name = datetime.now().strftime("%Y-%m-%d-%H%M%S")
    for number in count(1):
        folder = parent / (name if number == 1 else f"{name}-{number}")
        try:
            folder.mkdir(parents=True)
        except FileExistsError:
            continue
        return DataFolder(folder)
    raise AssertionError("numbers do not end")


def open_demo(folder: DataFolder, queue: PrintQueue, clock: DemoClock, drafts: Path | None = None) -> Desk:
    """The desk of the invented lab on a data folder; e-mails are left as drafts there, or in a folder of their own."""
    shutil.copy(demo("lab.toml"), folder.setup)
    shutil.copy(demo("logo.png"), folder.path)
    lab = read_setup(folder.setup)
    mails = DraftFolder(drafts or folder.drafts)
    store, scans = Store.open(folder.store), ScanFiles(folder.scans)
    desk = Desk(store, lab, queue, clock.now, PERSON, folder=folder.path, mail_drafts=mails, scan_store=scans)
    return replace(desk, fit=_with_queue).with_setup(lab, None)


def _with_queue(desk: Desk) -> Desk:
    """The desk with the demo's printer where its setup names none."""
    ticket, letter = (
        rules.model_copy(update={"queue": rules.queue or QUEUE}) for rules in (desk.lab.ticket, desk.lab.letter)
    )
    return replace(desk, lab=desk.lab.model_copy(update={"ticket": ticket, "letter": letter}))


def fill(desk: Desk) -> None:
    """Puts the practices in the directory and the day's arrivals among what waits."""
    _fill_directory(desk)
    take_in(desk, day_files())


def take_scans_in(desk: Desk) -> tuple[Received, ...]:
    """Takes the day's scans in: folders, mails and a zip. The window checks them; a run to files does it itself."""
    return receive(desk, scan_deliveries())


def scan_deliveries() -> list[Path]:
    """The deliveries of scans, in the order in which they came."""
    return sorted(demo("scans").iterdir())


def _fill_directory(desk: Desk) -> None:
    with desk.work() as work:
        for practice in read_practices(demo("practices.toml")):
            work.practices.save(practice)
        work.commit()


def book_day_before(desk: Desk, clock: DemoClock) -> None:
    """Books what came the day before and still lacks something, so that some practices are to be rung at once."""
    clock.stands = DAY_ENDS - timedelta(days=1, hours=9)
    _fill_directory(desk)
    practices = desk.practices()
    for path in day_before_files():
        checked = check_file(path, desk.lab, practices, clock.now())
        assert checked.case is not None, f"{path.name} is no prescription"
        clock.stands = checked.case.arrived
        issue_all(desk, book_checked(desk, checked).tickets)
    write_to(desk, WRITTEN_TO)
    clock.stands = None


def day_before_files() -> list[Path]:
    """The prescriptions that came the day before."""
    return sorted(demo("day-before").glob("*.json"))


def day_files() -> list[Path]:
    """The prescriptions of the day, those that cannot be read at the end."""
    return [*sorted(demo("day").glob("*.json")), *sorted(demo("day-unreadable").glob("*.json"))]


def open_post(desk: Desk, clock: DemoClock) -> None:
    """Opens the parcels of the morning; what lies in them waits to be booked in."""
    _fill_directory(desk)
    for told in parcels():
        clock.stands = told["at"]
        issue_all(desk, open_one(desk, told, booked=False).documents)
    clock.stands = None
