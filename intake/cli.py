"""The commands: the same desk, without a window."""

import argparse
import shutil
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING

from intake import __version__
from intake.console import in_words, json_line
from intake.desk.check import Checked, check_file
from intake.desk.report import WIDTH, report_lines, wrapped
from intake.domain.lab import Lab
from intake.domain.practice import Practice
from intake.errors import IntakeError
from intake.setup.first_run import default_setup
from intake.setup.places import DataFolder, data_folder
from intake.setup.reading import read_practices, read_setup

# A check is to be there at once, so only the commands that need a store load one.
if TYPE_CHECKING:
    from intake.desk.desk import Desk
    from intake.desk.issue import Issued
    from intake.desk.look_up import Found
    from intake.store.words import Way

OpenDesk = Callable[[DataFolder, Path | None], "Desk"]
"""Opens the desk on a data folder; with a path, tickets and letters go there as files instead of to a printer."""
CLEAR, HELD, UNREADABLE = 0, 1, 2


@dataclass(frozen=True)
class Ways:
    """What the commands are handed: the way to a desk, and the clock."""

    open_desk: OpenDesk
    now: Callable[[Lab], datetime]
    """The lab's wall clock."""


def run_command(words: Sequence[str], ways: Ways) -> int:
    """Runs a command; gives its exit code."""

    def run() -> int:
        given = _parser().parse_args(words)
        return int(given.run(given, ways))

    return in_words(run)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="intake",
        description="Reception at a dental appliance laboratory. Without a command the window opens.",
        epilog="“intake demo” opens the window with an invented laboratory and its day; see “intake demo --help”.",
    )
    parser.add_argument("--version", action="version", version=f"Intake {__version__}")
    parser.add_argument("--data", metavar="DIR", help="the lab's data folder, instead of the user's own")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    check = _command(commands, "check", _check, "say what prescription files lack, their boxes and dates; keep nothing")
    check.add_argument("files", nargs="+", metavar="FILE", type=Path)
    check.add_argument("--json", action="store_true", help="print the verdict, one a line")
    check.add_argument("--setup", type=Path, metavar="FILE", help="another lab setup, with practices.toml beside it")
    check.add_argument("--today", type=_day, metavar="DATE", help="the day to count from, such as 2026-11-25")
    book = _command(commands, "book", _book, "book cases in; print tickets and query letters")
    book.add_argument("files", nargs="+", metavar="FILE", type=Path)
    ticket = _command(commands, "ticket", _ticket, "print the next copy of a ticket")
    ticket.add_argument("number", metavar="NUMBER")
    ticket.add_argument("--reason", required=True, metavar="WHY")
    letters = _command(commands, "letters", _letters, "write the query letters that are due")
    letters.add_argument("--mail", action="store_true", help="by e-mail where the directory has an address")
    receive = _command(commands, "receive", _receive, "take in scans, returned forms, prescriptions, mails, folders")
    receive.add_argument("paths", nargs="*", metavar="PATH", type=Path)
    receive.add_argument("--mailbox", action="store_true", help="also what came into the mailbox of the lab setup")
    receive.add_argument("--json", action="store_true", help="print what became of each, one a line")
    for paper in (book, ticket, letters):
        paper.add_argument("--out", type=Path, metavar="DIR", help="keep tickets and letters as files here, print none")
    find = _command(commands, "find", _find, "look jobs up")
    find.add_argument("words", nargs="+", metavar="WORDS")
    find.add_argument("--json", action="store_true", help="print one job a line")
    backup = _command(commands, "backup", _backup, "make a sound copy of the data")
    backup.add_argument("target", type=Path, metavar="FILE")
    restore = _command(commands, "restore", _restore, "put a copy of the data in place; what was there is kept")
    restore.add_argument("source", type=Path, metavar="FILE")
    _command(commands, "verify", _verify, "check the data and their history")
    return parser


def _command(
    commands: "argparse._SubParsersAction[argparse.ArgumentParser]",
    name: str,
    run: Callable[[argparse.Namespace, Ways], int],
    words: str,
) -> argparse.ArgumentParser:
    command = commands.add_parser(name, help=words, description=f"{words[0].upper()}{words[1:]}.")
    command.set_defaults(run=run)
    return command


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"“{text}” is no date; write it as 2026-11-25") from None


@contextmanager
def _desk(given: argparse.Namespace, ways: Ways, out: Path | None = None) -> Iterator["Desk"]:
    desk = ways.open_desk(data_folder(given.data), out)
    for notice in desk.notices:
        print(notice.text, file=sys.stderr)
    try:
        yield desk
    finally:
        desk.store.close()


def _check(given: argparse.Namespace, ways: Ways) -> int:
    lab, practices = _setup_and_directory(given, ways)
    now = datetime.combine(given.today, time()) if given.today else ways.now(lab)
    if practices is None and not given.json:
        print("There is no directory here, so practice codes are taken as they stand.", file=sys.stderr)
    checked = []
    for path in given.files:
        checked.append(check_file(path, lab, practices, now))
        _print([json_line(checked[-1].as_json())] if given.json else _laid_out(report_lines(checked[-1], lab)))
    return _exit_code(checked)


def _setup_and_directory(given: argparse.Namespace, ways: Ways) -> tuple[Lab, Sequence[Practice] | None]:
    """The setup that was named with the directory beside it, else the data folder's, else the shipped one and none."""
    if given.setup is not None:
        setup = given.setup / "setup.toml" if given.setup.is_dir() else given.setup
        beside = setup.with_name("practices.toml")
        return read_setup(setup), read_practices(beside) if beside.exists() else None
    folder = data_folder(given.data)
    if not folder.setup.exists():
        return read_setup(default_setup()), None
    if not folder.store.exists():
        return read_setup(folder.setup), _directory_file(folder.practices)
    with _desk(given, ways) as desk:
        return desk.lab, desk.practices()


def _directory_file(file: Path) -> Sequence[Practice] | None:
    """The practices of a directory file; None where there is none or it cannot be used, which is said."""
    if not file.exists():
        return None
    try:
        return read_practices(file)
    except IntakeError as problem:
        print(problem, file=sys.stderr)
        return None


def _exit_code(checked: Iterable[Checked]) -> int:
    states = [
        UNREADABLE if each.verdict is None else HELD if each.verdict.state == "held" else CLEAR for each in checked
    ]
    return max(states, default=CLEAR)


def _book(given: argparse.Namespace, ways: Ways) -> int:
    from intake.desk.letters import nobody_to_write_to, write_due

    with _desk(given, ways, given.out) as desk:
        practices, now = desk.practices(), desk.now()
        checked: list[Checked] = []
        issued: list[Issued] = []
        for path in given.files:
            checked.append(check_file(path, desk.lab, practices, now))
            _print(_laid_out(report_lines(checked[-1], desk.lab)))
            issued += _book_one(desk, checked[-1])
        letters = write_due(desk)
        _print(_issued_lines(letters))
        _print(f"  {said}" for said in nobody_to_write_to(desk))
    return max(_exit_code(checked), _sent_code([*issued, *letters]))


def _book_one(desk: "Desk", checked: Checked) -> tuple["Issued", ...]:
    from intake.desk.book_in import book_checked
    from intake.desk.issue import issue_all

    if checked.case is None:
        return ()
    booked = book_checked(desk, checked)
    if booked.again:
        print("  Booked before; nothing was saved now.")
    _print(f"  Job {job.shown}, {job.category_name}, {job.box_colour} box: {job.state}." for job in booked.jobs)
    issued = issue_all(desk, booked.tickets)
    _print(_issued_lines(issued))
    return issued


def _ticket(given: argparse.Namespace, ways: Ways) -> int:
    from intake.desk.reprint import reprint
    from intake.domain.job_number import read_number

    number = read_number(given.number)
    with _desk(given, ways, given.out) as desk:
        issued = reprint(desk, number, given.reason)
    _print(_issued_lines([issued]))
    return _sent_code([issued])


def _letters(given: argparse.Namespace, ways: Ways) -> int:
    from intake.desk.issue import issue_all
    from intake.desk.letters import nobody_to_write_to, write_due

    with _desk(given, ways, given.out) as desk:
        unsent = [row.document_id for row in desk.store.read.documents_waiting() if row.kind == "letter"]
        issued = (*issue_all(desk, unsent), *write_due(desk, _way(desk) if given.mail else "print"))
        unaddressed = nobody_to_write_to(desk)
    _print(_issued_lines(issued) if issued else ["No query letter is due."])
    _print(f"  {said}" for said in unaddressed)
    return _sent_code(issued)


def _way(desk: "Desk") -> "Way":
    """By the lab's mail server; as drafts where the setup names none."""
    return "mail" if desk.mail is not None else "draft"


def _receive(given: argparse.Namespace, ways: Ways) -> int:
    from intake.desk.receive import receive
    from intake.desk.received_file import received_file, received_lines
    from intake.desk.scan_checks import CheckHere, check_all
    from intake.desk.scan_mailbox import read_mailbox

    with _desk(given, ways) as desk:
        received = [*receive(desk, given.paths), *(read_mailbox(desk).received if given.mailbox else ())]
        check_all(desk, CheckHere())
        files = [received_file(desk, each) for each in received]
    _print(map(json_line, files) if given.json else _laid_out(line for each in files for line in received_lines(each)))
    return CLEAR if all(each.taken for each in received) else UNREADABLE


def _sent_code(issued: Iterable["Issued"]) -> int:
    return CLEAR if all(each.sent for each in issued) else HELD


def _find(given: argparse.Namespace, ways: Ways) -> int:
    from intake.desk.job_file import job_files
    from intake.desk.look_up import look

    words = " ".join(given.words)
    with _desk(given, ways) as desk:
        if given.json:
            lines, near = [json_line(job) for job in job_files(desk, words)], []
        else:
            looked = look(desk, words)
            lines = [_found_line(job) for job in looked.found]
            near = [f"{_found_line(job)}  {f'near: {job.near}' if job.near else ''}".rstrip() for job in looked.near]
    _print(lines)
    if not lines and not given.json:
        print("Nothing fits all of these words.")
    if near:
        print(looked.said or looked.understood)
        _print(near)
    return CLEAR if lines else HELD


def _found_line(job: "Found") -> str:
    what = f"{job.shown}  {job.state:11}  {job.category} ({job.colour})  {job.practice}  {job.patient}"
    return f"{what}  must leave {job.must_leave or '-'}"


def _backup(given: argparse.Namespace, ways: Ways) -> int:
    from intake.desk.safekeeping import back_up

    with _desk(given, ways) as desk:
        made = back_up(desk, given.target)
    print(f"{given.target}: sound; {made.cases} cases, {made.jobs} jobs, {made.documents} documents.")
    return CLEAR


def _restore(given: argparse.Namespace, ways: Ways) -> int:
    from intake.desk.safekeeping import put_back

    folder = data_folder(given.data)
    kept = put_back(given.source, folder.store, datetime.now())
    print(f"{given.source} is in place." + (f" What was there is kept as {kept}." if kept else ""))
    return CLEAR


def _verify(given: argparse.Namespace, ways: Ways) -> int:
    from intake.desk.safekeeping import verify

    with _desk(given, ways) as desk:
        found = verify(desk)
    counted = f"{found.cases} cases, {found.jobs} jobs, {found.documents} documents."
    print(f"{counted} {'The data and their history are sound.' if found.sound else 'Something is wrong:'}")
    _print(f"  {problem}" for problem in found.problems)
    return CLEAR if found.sound else HELD


def _issued_lines(issued: Iterable["Issued"]) -> list[str]:
    from intake.desk.issue import title_of

    return [
        f"  {title_of(each.document)}: accepted by {each.queue} as job {each.queue_job}."
        if each.sent
        else f"  {title_of(each.document)}: {each.problem}"
        for each in issued
    ]


def _laid_out(lines: Iterable[str]) -> Iterable[str]:
    """Lines broken to fit a terminal; elsewhere as they are, a line each."""
    return wrapped(lines, min(WIDTH, shutil.get_terminal_size().columns)) if sys.stdout.isatty() else lines


def _print(lines: Iterable[str]) -> None:
    for line in lines:
        print(line)
