"""The demo: an invented lab and its day, in the window or run to files."""

import argparse
import json
import shutil
import time
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

from platformdirs import user_data_path

from intake.desk.arrivals import Waiting, take_in, waiting
from intake.desk.book_in import book_arrival
from intake.desk.check import check_file
from intake.desk.desk import Desk
from intake.desk.issue import Issued, issue_all
from intake.desk.letters import write_due
from intake.desk.report import report_lines, wrapped
from intake.domain.written_dates import shown_moment
from intake.errors import IntakeError
from intake.outbox.folder_queue import FolderQueue
from intake.outbox.print_queue import PrintQueue
from intake.resources import demo
from intake.setup.places import DataFolder
from intake.setup.reading import read_practices, read_setup
from intake.store.opening import Store

Show = Callable[[DataFolder, Callable[[DataFolder], Desk]], int]
"""Opens the window on a data folder with the desk on it; gives the exit code when it is closed."""
Picture = Callable[[Desk, Path], Sequence[Path]]
"""Takes pictures of the window at a desk, as files in a folder."""
DAY_ENDS = datetime(2026, 11, 25, 16, 45)
"""Wednesday: when the last arrival of the demo's day has come."""
QUEUE = "demo"
PERSON = "DEMO"


class DayThere(IntakeError):
    """The folder holds the papers of a former day, and two days' papers are not to be mixed."""


@dataclass
class DemoClock:
    """A wall clock that begins on the demo's day and goes on from there, or stands where it is put."""

    start: datetime = DAY_ENDS
    began: float = field(default_factory=time.monotonic)
    stands: datetime | None = None

    def now(self) -> datetime:
        """The time in the invented lab."""
        return self.stands or self.start + timedelta(seconds=int(time.monotonic() - self.began))


def run_demo(words: Sequence[str], show: Show, picture: Picture, display: bool) -> int:
    """Fills a fresh data folder with the invented lab, then opens the window, or runs the day to files.

    `display` tells whether there is a screen.
    """
    parser = argparse.ArgumentParser(prog="intake demo", description="An invented lab and its day.")
    parser.add_argument("--out", type=Path, metavar="DIR", help="run the day to PDFs, pictures and a summary here")
    given = parser.parse_args(words)
    if given.out is None and display:
        folder = fresh_folder(user_data_path("Intake demo", appauthor=False))
        desk = open_demo(folder, FolderQueue(folder.path / "printed"), DemoClock())
        fill(desk)
        return show(folder, lambda _: desk)
    return run_day(given.out or fresh_folder(Path.cwd() / "intake-demo").path, picture)


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


def open_demo(folder: DataFolder, queue: PrintQueue, clock: DemoClock) -> Desk:
    """The desk of the invented lab on a data folder."""
    shutil.copy(demo("lab.toml"), folder.setup)
    shutil.copy(demo("logo.png"), folder.path)
    lab = read_setup(folder.setup)
    ticket, letter = (rules.model_copy(update={"queue": QUEUE}) for rules in (lab.ticket, lab.letter))
    lab = lab.model_copy(update={"ticket": ticket, "letter": letter})
    return Desk(Store.open(folder.store), lab, queue, clock.now, PERSON, folder=folder.path)


def fill(desk: Desk) -> None:
    """Puts the practices in the directory and the day's arrivals among what waits."""
    with desk.work() as work:
        for practice in read_practices(demo("practices.toml")):
            work.practices.save(practice)
        work.commit()
    take_in(desk, day_files())


def day_files() -> list[Path]:
    """The prescriptions of the day, those that cannot be read at the end."""
    return [*sorted(demo("day").glob("*.json")), *sorted(demo("day-unreadable").glob("*.json"))]


def run_day(out: Path, picture: Picture) -> int:
    """Books the whole day, each case when it came; keeps tickets, letters, pictures and a summary in a folder.

    Raises DayThere, IntakeError where the data cannot be kept, OSError where the folder cannot be written to.
    """
    began = time.monotonic()
    if (out / "printed").exists():
        raise DayThere(f"A day of the demo is in {out} already. Name another folder, or move that one away.")
    out.mkdir(parents=True, exist_ok=True)
    clock = DemoClock()
    folder = fresh_folder(out / "data")
    desk = open_demo(folder, FolderQueue(out / "printed"), clock)
    with closing(desk.store):
        fill(desk)
        pictures = [*_pictures_of_the_morning(out / "pictures", picture)]
        lines, issued = _book_all(desk, clock)
        clock.stands = DAY_ENDS
        letters = write_due(desk)
        pictures += picture(desk, out / "pictures")
        _write_verdicts(desk, out / "verdicts.jsonl")
        totals = _totals(desk, issued, letters, pictures, time.monotonic() - began)
    summary = [f"The day of {desk.lab.name}, {shown_moment(DAY_ENDS)}", "", *lines, "", *totals]
    (out / "summary.txt").write_text("\n".join(wrapped(summary)) + "\n", encoding="utf-8")
    print("\n".join(totals))
    print(f"Everything is in {out}: summary.txt, verdicts.jsonl, printed/ and pictures/.")
    return 0


def _write_verdicts(desk: Desk, file: Path) -> None:
    practices = desk.practices()
    verdicts = [check_file(path, desk.lab, practices, desk.now()).as_json() for path in day_files()]
    lines = [json.dumps(verdict | {"file": Path(verdict["file"]).name}, ensure_ascii=False) for verdict in verdicts]
    file.write_text("".join(f"{line}\n" for line in lines), encoding="utf-8")


def _pictures_of_the_morning(folder: Path, picture: Picture) -> Sequence[Path]:
    """The window before anything is booked; on data of its own, since whoever looks at a form also leaves traces."""
    with TemporaryDirectory(ignore_cleanup_errors=True) as aside:
        desk = open_demo(DataFolder(Path(aside)), FolderQueue(Path(aside) / "printed"), DemoClock(stands=DAY_ENDS))
        fill(desk)
        try:
            return picture(desk, folder)
        finally:
            desk.store.close()


def _book_all(desk: Desk, clock: DemoClock) -> tuple[list[str], list[Issued]]:
    """Books every arrival that can be read in the order in which they came, and prints its tickets."""
    lines: list[str] = []
    issued: list[Issued] = []
    files, practices = {path.name: path for path in day_files()}, desk.practices()
    for row in sorted(waiting(desk), key=_arrived):
        clock.stands = row.arrived
        checked = check_file(files[row.source], desk.lab, practices, clock.now())
        lines += report_lines(replace(checked, file=row.source), desk.lab)
        if row.state == "unreadable":
            continue
        booked = book_arrival(desk, row.arrival_id)
        issued += issue_all(desk, booked.tickets)
        lines += [f"  Job {job.shown}: {job.category_name}, {job.box_colour} box, {job.state}." for job in booked.jobs]
    return lines, issued


def _arrived(row: Waiting) -> tuple[datetime, int]:
    return row.arrived, row.arrival_id


def _totals(
    desk: Desk, issued: Sequence[Issued], letters: Sequence[Issued], pictures: Sequence[Path], seconds: float
) -> list[str]:
    counts = desk.store.read.counts(DAY_ENDS.date())
    return [
        f"{counts.booked} cases booked; {counts.clear} jobs clear, {counts.held} held; "
        f"{counts.waiting} arrivals that no case could be read from.",
        f"{_sent(issued)} tickets and {_sent(letters)} query letters kept as PDF.",
        f"{counts.open_queries} questions to practices.",
        *(f"Not printed: {each.problem}" for each in (*issued, *letters) if each.problem),
        f"{len(pictures)} pictures of the window.",
        f"It took {seconds:.1f} seconds.",
    ]


def _sent(issued: Sequence[Issued]) -> int:
    return sum(each.sent for each in issued)
