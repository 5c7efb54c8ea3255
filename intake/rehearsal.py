"""The demo: an invented lab and its day, in the window or run to files."""

import argparse
import json
import time
from collections import Counter
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from platformdirs import user_data_path

from intake.desk.arrivals import Waiting, waiting
from intake.desk.blanks import forgetful, send_blank
from intake.desk.book_in import book_arrival
from intake.desk.check import check_file
from intake.desk.desk import Desk
from intake.desk.issue import Issued, issue_all
from intake.desk.letters import write_due, write_to
from intake.desk.received_file import received_file, received_lines
from intake.desk.report import report_lines, wrapped
from intake.desk.scan_checks import CheckHere, check_all
from intake.domain.wording import counted
from intake.domain.written_dates import shown_moment
from intake.errors import IntakeError
from intake.evening_round import close_the_day, hand_the_boxes_over, print_the_sheets
from intake.invented_lab import (
    DAY_ENDS,
    DemoClock,
    book_day_before,
    day_files,
    fill,
    fresh_folder,
    open_demo,
    open_post,
    take_scans_in,
)
from intake.morning_post import open_one, parcels
from intake.outbox.folder_queue import FolderQueue
from intake.ring_round import Happened, come_back, ring, ring_round
from intake.setup.places import DataFolder

Show = Callable[[DataFolder, Callable[[DataFolder], Desk]], int]
"""Opens the window on a data folder with the desk on it; gives the exit code when it is closed."""
Picture = Callable[[Desk, Path, str], Sequence[Path]]
"""Takes pictures at a desk, as files in a folder: `arrivals` before anything is booked, `calls` in the middle of the
ring-round, `evening` when the boxes are at the benches and the day is closed, `after` when everything has been done."""
LETTERS_GO = datetime(2026, 11, 25, 17, 5)
"""When the ring-round is over, and what is still open or was agreed goes into letters."""
BOXES_GO = datetime(2026, 11, 25, 17, 20)
"""When the boxes of the day go to the benches."""
CLOSING = datetime(2026, 11, 25, 17, 45)
BY_MAIL = "FERNHAL"
"""The practice whose letter goes as an e-mail."""


class DayThere(IntakeError):
    """The folder holds the papers of a former day, and two days' papers are not to be mixed."""


@dataclass
class _Day:
    """What was done on the day, in lines for the summary, and the papers that were made."""

    lines: list[str]
    issued: list[Issued] = field(default_factory=list)

    def tell(self, heading: str) -> None:
        """Begins a part of the summary."""
        self.lines += ["", heading, ""]

    def add(self, desk: Desk, happened: Happened) -> None:
        """Tells what was done, and prints the tickets that it freed."""
        self.lines += happened.said
        self.issued += issue_all(desk, happened.tickets)


def run_demo(words: Sequence[str], show: Show, picture: Picture, display: bool) -> int:
    """Fills a fresh data folder with the invented lab, then opens the window, or runs the day to files.

    `display` tells whether there is a screen.
    """
    parser = argparse.ArgumentParser(prog="intake demo", description="An invented lab and its day.")
    parser.add_argument("--out", type=Path, metavar="DIR", help="run the day to PDFs, pictures and a summary here")
    given = parser.parse_args(words)
    if given.out is None and display:
        folder = fresh_folder(user_data_path("Intake demo", appauthor=False))
        clock = DemoClock()
        desk = open_demo(folder, FolderQueue(folder.path / "printed"), clock)
        book_day_before(desk, clock)
        open_post(desk, clock)
        fill(desk)
        take_scans_in(desk)
        return show(folder, lambda _: desk)
    return run_day(given.out or fresh_folder(Path.cwd() / "intake-demo").path, picture)


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
    desk = open_demo(folder, FolderQueue(out / "printed"), clock, out / "drafts")
    with closing(desk.store):
        fill(desk)
        pictures = [*_pictures_of_the_morning(out / "pictures", picture)]
        day = _open_all(desk, clock)
        _book_all(desk, clock, day)
        clock.stands = DAY_ENDS
        _look_at_scans(desk, day)
        _write_verdicts(desk, out / "verdicts.jsonl")
        pictures += _ring_all(desk, clock, day, lambda: picture(desk, out / "pictures", "calls"))
        clock.stands = LETTERS_GO
        _write_letters(desk, day)
        _close(desk, clock, day)
        pictures += picture(desk, out / "pictures", "evening")
        _next_morning(desk, clock, day, out / "returned")
        pictures += picture(desk, out / "pictures", "after")
        totals = _totals(desk, day, pictures, time.monotonic() - began)
    (out / "summary.txt").write_text("\n".join(wrapped([*day.lines, "", *totals])) + "\n", encoding="utf-8")
    print("\n".join(totals))
    print(f"Everything is in {out}: summary.txt, verdicts.jsonl, printed/, drafts/, returned/ and pictures/.")
    return 0


def _write_verdicts(desk: Desk, file: Path) -> None:
    practices = desk.practices()
    verdicts = [check_file(path, desk.lab, practices, desk.now()).as_json() for path in day_files()]
    lines = [json.dumps(verdict | {"file": Path(verdict["file"]).name}, ensure_ascii=False) for verdict in verdicts]
    file.write_text("".join(f"{line}\n" for line in lines), encoding="utf-8")


def _pictures_of_the_morning(folder: Path, picture: Picture) -> Sequence[Path]:
    """The window before anything is booked; on data of its own, since whoever looks at a form also leaves traces."""
    with TemporaryDirectory(ignore_cleanup_errors=True) as aside:
        clock = DemoClock()
        desk = open_demo(DataFolder(Path(aside)), FolderQueue(Path(aside) / "printed"), clock)
        open_post(desk, clock)
        clock.stands = DAY_ENDS
        fill(desk)
        take_scans_in(desk)
        check_all(desk, CheckHere())
        try:
            return picture(desk, folder, "arrivals")
        finally:
            desk.store.close()


def _open_all(desk: Desk, clock: DemoClock) -> _Day:
    """Opens the parcels of the morning, books in what lies in them, and prints their tickets."""
    day = _Day([f"The day of {desk.lab.name}, {shown_moment(DAY_ENDS)}"])
    day.tell("The post")
    for told in parcels():
        clock.stands = told["at"]
        post = open_one(desk, told)
        day.lines += post.said
        day.issued += issue_all(desk, post.documents)
    return day


def _book_all(desk: Desk, clock: DemoClock, day: _Day) -> None:
    """Books every arrival that can be read in the order in which they came, and prints its tickets."""
    day.tell("The prescriptions")
    files, practices = {path.name: path for path in day_files()}, desk.practices()
    for row in sorted((row for row in waiting(desk) if row.source in files), key=_arrived):
        clock.stands = row.arrived
        checked = check_file(files[row.source], desk.lab, practices, clock.now())
        day.lines += report_lines(replace(checked, file=row.source), desk.lab)
        if row.state == "unreadable":
            continue
        booked = book_arrival(desk, row.arrival_id)
        day.issued += issue_all(desk, booked.tickets)
        day.lines += [
            f"  Job {job.shown}: {job.category_name}, {job.box_colour} box, {job.state}." for job in booked.jobs
        ]


def _look_at_scans(desk: Desk, day: _Day) -> None:
    """Takes the scans in, checks them and tells what was seen; they wait to be booked."""
    day.tell(f"The scans, {shown_moment(desk.now())}")
    received = take_scans_in(desk)
    check_all(desk, CheckHere())
    day.lines += [line for each in received for line in received_lines(received_file(desk, each))]


def _ring_all(desk: Desk, clock: DemoClock, day: _Day, picture: Callable[[], Sequence[Path]]) -> Sequence[Path]:
    """Rings the practices of the ring-round; a picture is taken before the last of them."""
    (*calls, last), _ = ring_round()
    clock.stands = last.at
    day.tell(f"The ring-round, {shown_moment(calls[0].at)}")
    for call in calls:
        clock.stands = call.at
        day.add(desk, ring(desk, call))
    clock.stands = last.at
    pictures = picture()
    day.add(desk, ring(desk, last))
    return pictures


def _write_letters(desk: Desk, day: _Day) -> None:
    """Every letter that is due by post, but one that goes as an e-mail, to be sent from a mail program."""
    day.tell(f"The letters, {shown_moment(desk.now())}")
    for letter in (*write_to(desk, BY_MAIL, "draft"), *write_due(desk)):
        number, day.issued = letter.document.document_id, [*day.issued, letter]
        asked, agreed = len(desk.store.read.queries_in(number)), len(desk.store.read.answers_in(number))
        way = "kept as an e-mail draft" if letter.document.way == "draft" else "printed"
        asks = [counted(asked, "question")] if asked else []
        asks += [f"{counted(agreed, 'answer')} by word of mouth to confirm"] if agreed else []
        day.lines.append(f"Letter {number} to {letter.document.practice_name}, {way}: {', '.join(asks)}.")


def _close(desk: Desk, clock: DemoClock, day: _Day) -> None:
    """Boxes go to the benches, the sheets are printed, and the day is closed."""
    clock.stands = BOXES_GO
    day.tell(f"Hand over, {shown_moment(desk.now())}")
    said, tickets = hand_the_boxes_over(desk)
    day.lines += said
    day.issued += issue_all(desk, tickets)
    clock.stands = CLOSING
    day.issued += print_the_sheets(desk)
    day.tell(f"The day is closed, {shown_moment(desk.now())}")
    day.lines += close_the_day(desk)


def _next_morning(desk: Desk, clock: DemoClock, day: _Day, folder: Path) -> None:
    """Reply forms come back, and the practice that forgets most is sent a blank prescription."""
    _, forms = ring_round()
    day.tell(f"The next morning, {shown_moment(forms[0].at)}")
    for form in forms:
        clock.stands = form.at
        day.add(desk, come_back(desk, form, folder))
    most = next(each for each in forgetful(desk) if desk.store.read.practice(each.key))
    day.issued.append(send_blank(desk, most.key))
    day.lines.append(
        f"A blank prescription for {most.practice}, which was asked {counted(most.questions, 'question')}."
    )


def _arrived(row: Waiting) -> tuple[datetime, int]:
    return row.arrived, row.arrival_id


def _totals(desk: Desk, day: _Day, pictures: Sequence[Path], seconds: float) -> list[str]:
    counts = desk.store.read.counts(DAY_ENDS.date())
    waiting_rows = desk.store.read.arrivals()
    readable = Counter(row.stream for row in waiting_rows if not row.problem)
    sent = Counter(each.document.kind for each in day.issued if each.sent)
    return [
        f"{counts.booked} cases booked; {counts.clear} jobs clear, {counts.held} held; "
        f"{counts.waiting - readable.total()} arrivals that no case could be read from; "
        f"{readable['scan']} of scans and {readable['post']} of a parcel wait to be booked.",
        f"{sent['ticket']} tickets, {sent['letter']} letters and {sent['blank']} blank prescription kept as PDF.",
        f"{counts.open_queries} questions to practices are open; "
        f"{counted(len(desk.store.read.spoken()), 'answer')} by word of mouth to be confirmed.",
        *(f"Not printed: {each.problem}" for each in day.issued if each.problem),
        f"{len(pictures)} pictures.",
        f"It took {seconds:.1f} seconds.",
    ]
