"""The commands as they are typed: what they say, what they keep, and their exit codes.

0 all is clear, 1 something is held or waits, 2 something cannot be read or done.
"""

import io
import json
import os
import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pytest
from pypdf import PdfReader

from intake.app import open_desk as open_real_desk
from intake.cli import Ways, run_command
from intake.console import in_words
from intake.desk.book_in import book
from intake.desk.desk import Desk
from intake.domain.job_number import JobNumber
from intake.errors import IntakeError
from intake.inbox.scan_files import ScanFiles
from intake.outbox.folder_queue import FolderQueue
from intake.resources import demo
from intake.setup.places import DataFolder
from intake.setup.reading import read_setup
from intake.store.opening import Store
from tests.desk.desks import day_case, day_file, demo_lab, enter_practices

ROOT = Path(__file__).resolve().parents[1]
NOW = datetime(2026, 11, 25, 10, 30)
CLEAR, HELD = day_file("01"), day_file("02")
UNREADABLE = demo("day-unreadable", "several-errors.json")


def open_desk(folder, out):
    """A desk of the data folder's lab; its printers keep files."""
    lab = read_setup(folder.setup) if folder.setup.exists() else demo_lab()
    paper = {"ticket": demo_lab().ticket, "letter": demo_lab().letter}
    queue = FolderQueue(out or folder.path / "printer")
    folder.path.mkdir(parents=True, exist_ok=True)
    scans = ScanFiles(folder.scans)
    return Desk(Store.open(folder.store), lab.model_copy(update=paper), queue, lambda: NOW, "AB", scan_store=scans)


@pytest.fixture
def data(tmp_path):
    """The data folder of the demo's lab, with its directory and no case yet."""
    folder = tmp_path / "data"
    folder.mkdir()
    (folder / "setup.toml").write_bytes(demo("lab.toml").read_bytes())
    store = Store.open(folder / "intake.db")
    enter_practices(store)
    store.close()
    return folder


@pytest.fixture
def intake(data, capsys):
    """Runs a command on the data folder; gives its exit code, its output and its error output."""

    def run(*words, open_desk=open_desk):
        code = run_command(["--data", str(data), *map(str, words)], Ways(open_desk, lambda _: NOW))
        said = capsys.readouterr()
        return code, said.out, said.err

    return run


def number_of(output):
    """The number of the first job in what a command said, as it is shown."""
    return output.partition("Job ")[2].partition(",")[0]


def refused(intake, *words):
    """What is said of words that make no command."""
    with pytest.raises(SystemExit) as ended:
        intake(*words)
    return ended.value.code


class TestCheck:
    @pytest.mark.parametrize(
        ("files", "code"),
        [
            ([CLEAR], 0),
            ([CLEAR, HELD], 1),
            ([HELD, CLEAR], 1),
            ([UNREADABLE], 2),
            ([UNREADABLE, CLEAR, HELD], 2),
            ([Path("no-such-file.json")], 2),
        ],
        ids=["clear", "one held", "held first", "unreadable", "unreadable among others", "missing"],
    )
    def test_the_exit_code_tells_the_worst(self, intake, files, code):
        assert intake("check", *files)[0] == code
        assert intake("check", "--json", *files)[0] == code

    def test_every_file_is_said_although_one_is_unreadable_and_one_missing(self, intake):
        _, out, err = intake("check", CLEAR, "no-such-file.json", UNREADABLE, HELD)
        heads = [line for line in out.splitlines() if not line.startswith(" ")]
        assert heads == [
            f"{CLEAR}: clear",
            "no-such-file.json: not a prescription",
            f"{UNREADABLE}: not a prescription",
            f"{HELD}: held",
        ]
        assert "  There is no such file." in out
        assert err == ""

    def test_json_is_one_verdict_a_line_in_the_order_of_the_files(self, intake):
        _, out, err = intake("check", "--json", HELD, UNREADABLE, CLEAR)
        verdicts = [json.loads(line) for line in out.splitlines()]
        assert [verdict["file"] for verdict in verdicts] == [str(HELD), str(UNREADABLE), str(CLEAR)]
        assert [verdict["state"] for verdict in verdicts] == ["held", "unreadable", "clear"]
        assert {verdict["format"] for verdict in verdicts} == {"intake-verdict/1"}
        assert err == ""

    def test_another_day_counts_from_there(self, intake):
        _, out, _ = intake("check", "--json", "--today", "2026-12-04", CLEAR)
        assert json.loads(out)["jobs"][0]["outlook"] == "late"

    def test_a_day_that_is_none_is_refused_with_one_that_would_be(self, intake, capsys):
        assert refused(intake, "check", "--today", "4.12.2026", CLEAR) == 2
        assert "“4.12.2026” is no date; write it as 2026-11-25" in capsys.readouterr().err

    def test_another_setup_brings_the_directory_beside_it(self, intake):
        code, out, err = intake("check", "--json", "--setup", demo("lab.toml"), CLEAR)
        assert (code, err) == (0, "")
        assert json.loads(out)["jobs"][0]["box"]["colour"] == "Blue"

    def test_another_setup_may_be_named_by_its_folder(self, intake, data):
        assert intake("check", "--setup", data, CLEAR)[0] == 0

    def test_a_setup_without_a_directory_takes_practice_codes_as_they_stand_and_says_so(self, intake, data):
        _, out, err = intake("check", "--json", "--setup", data / "setup.toml", day_file("66"))
        assert "practice" not in {finding["requirement"] for finding in json.loads(out)["findings"]}
        assert err == ""
        assert "codes are taken as they stand" in intake("check", "--setup", data / "setup.toml", CLEAR)[2]

    def test_the_directory_of_the_store_is_asked_where_there_is_one(self, intake):
        _, out, _ = intake("check", "--json", day_file("66"))
        assert "practice" in {finding["requirement"] for finding in json.loads(out)["findings"]}

    def test_without_any_setup_the_shipped_one_holds(self, tmp_path, capsys):
        words = ["--data", str(tmp_path / "none"), "check", str(CLEAR)]
        assert run_command(words, Ways(open_desk, lambda _: NOW)) == 0
        assert "Splints, Blue box" in capsys.readouterr().out
        assert not (tmp_path / "none").exists()

    def test_a_wrong_setup_is_told_with_its_place(self, intake, tmp_path):
        wrong = tmp_path / "wrong.toml"
        wrong.write_text('name = "x"', encoding="utf-8")
        code, out, err = intake("check", "--setup", wrong, CLEAR)
        assert (code, out) == (2, "")
        assert "calendar: this is missing." in err

    def test_nothing_is_kept(self, intake, data):
        before = (data / "intake.db").read_bytes()
        intake("check", CLEAR, HELD)
        assert (data / "intake.db").read_bytes() == before
        assert not (data / "printer").exists()


class TestBook:
    def test_cases_are_booked_and_their_tickets_and_letters_kept_as_files(self, intake, tmp_path):
        code, out, _ = intake("book", CLEAR, HELD, "--out", tmp_path / "paper")
        assert code == 1
        assert "  Job 26 000001 " in out
        assert "Splints, Blue box: clear." in out
        names = sorted(path.name[5:] for path in (tmp_path / "paper").glob("*.pdf"))
        assert len(names) == 3
        assert [name.split()[0] for name in names] == ["Letter", "Ticket", "Ticket"]
        assert "accepted by files as job 1." in out
        ticket = PdfReader(next((tmp_path / "paper").glob("0001*.pdf"))).pages[0].extract_text()
        assert number_of(out) in " ".join(ticket.split())

    def test_without_a_folder_they_go_to_the_printer(self, intake, data):
        intake("book", CLEAR)
        assert len(list((data / "printer").glob("*.pdf"))) == 1

    def test_a_file_booked_twice_is_one_case(self, intake):
        first = intake("book", CLEAR)
        second = intake("book", CLEAR)
        assert first[0] == second[0] == 0
        assert "Booked before; nothing was saved now." in second[1]
        assert number_of(first[1]) == number_of(second[1])
        assert "accepted" not in second[1]

    def test_one_unreadable_file_keeps_back_none_of_the_others(self, intake):
        code, out, _ = intake("book", UNREADABLE, "missing.json", CLEAR)
        assert code == 2
        assert out.count("Job 26 ") == 1

    def test_a_ticket_without_a_printer_is_said_and_the_case_is_booked_nevertheless(self, intake):
        code, out, _ = intake("book", CLEAR, open_desk=open_real_desk)
        assert code == 1
        assert "is chosen for tickets" in out
        assert intake("find", "26000001")[0] == 0


class TestTicket:
    def test_the_next_copy_is_printed_with_its_reason(self, intake, tmp_path):
        number = number_of(intake("book", CLEAR)[1])
        code, out, _ = intake("ticket", number, "--reason", "lost on the bench", "--out", tmp_path / "again")
        assert code == 0
        assert f"Ticket {number} copy 2: accepted by files as job 1." in out
        (file,) = (tmp_path / "again").glob("*.pdf")
        words = " ".join(PdfReader(file).pages[0].extract_text().split())
        assert "lost on the bench" in words

    def test_a_mistyped_number_is_refused_with_the_reason(self, intake):
        number = number_of(intake("book", CLEAR)[1])
        wrong = number[:-1] + str((int(number[-1]) + 1) % 10)
        code, out, err = intake("ticket", wrong, "--reason", "lost")
        assert (code, out) == (2, "")
        assert err.strip().endswith("is no job number: one digit is wrong or two are swapped. Read it once more.")

    def test_a_sound_number_that_nobody_has_is_told(self, intake):
        code, _, err = intake("ticket", JobNumber.make(26, 77).shown, "--reason", "lost")
        assert code == 2
        assert "no job" in err.lower()

    def test_a_copy_needs_a_reason(self, intake):
        number = number_of(intake("book", CLEAR)[1])
        assert refused(intake, "ticket", number) == 2
        code, _, err = intake("ticket", number, "--reason", "  ")
        assert code == 2
        assert "Say why" in err

    def test_a_copy_that_no_printer_takes_waits(self, intake):
        number = number_of(intake("book", CLEAR)[1])
        code, out, _ = intake("ticket", number, "--reason", "lost", open_desk=open_real_desk)
        assert code == 1
        assert "is chosen for tickets" in out


class TestLetters:
    def test_what_was_asked_is_not_due_again(self, intake):
        intake("book", HELD)
        assert intake("letters")[:2] == (0, "No query letter is due.\n")

    def test_a_case_that_names_nobody_to_write_to_is_told_with_its_number(self, intake):
        assert "there is nobody to write to" in intake("book", day_file("07"))[1]
        said = intake("letters")[1]
        assert said.startswith("No query letter is due.\n  26 000001 26: The case names no practice")

    def test_a_letter_that_no_printer_took_is_sent_again(self, intake, tmp_path):
        assert intake("book", HELD, open_desk=open_real_desk)[0] == 1
        assert intake("letters", open_desk=open_real_desk)[0] == 1
        code, out, _ = intake("letters", "--out", tmp_path / "post")
        assert (code, out.count("accepted by files")) == (0, 1)

    def test_a_due_letter_is_written(self, intake, data, tmp_path):
        desk = open_desk(DataFolder(data), None)
        book(desk, day_case("02"), "form-1")
        desk.store.close()
        code, out, _ = intake("letters", "--out", tmp_path / "post")
        assert code == 0
        assert "Letter" in out
        (file,) = (tmp_path / "post").glob("*.pdf")
        assert "bite record" in " ".join(PdfReader(file).pages[0].extract_text().split())


class TestFind:
    @pytest.fixture(autouse=True)
    def _booked(self, intake):
        intake("book", CLEAR, HELD, day_file("18"))

    def test_jobs_are_listed_with_box_practice_patient_and_day(self, intake):
        code, out, _ = intake("find", "quillb2")
        assert code == 0
        assert "Splints (Blue)" in out
        assert "must leave Thu 10 Dec" in out
        assert "D.W." in out

    def test_json_is_one_job_a_line(self, intake):
        code, out, _ = intake("find", "26", "--json")
        jobs = [json.loads(line) for line in out.splitlines()]
        assert (code, len(jobs)) == (0, 4)
        assert {job["format"] for job in jobs} == {"intake-job/1"}
        (held,) = (job for job in jobs if job["state"] == "held")
        assert held == {
            "format": "intake-job/1",
            "number": held["shown"].replace(" ", ""),
            "shown": held["shown"],
            "copy": 1,
            "state": "held",
            "category": "splints",
            "box": {"colour": "Blue", "hex": "#1f6fb4"},
            "practice": {"code": "QUILLB2", "name": "Quillbury Street Surgery"},
            "patient": {"label": "D.W.", "reference": "QS 881"},
            "arrived": "2026-11-25T07:47",
            "appointment": "2026-12-14T16:00",
            "latest_start": "2026-12-04",
            "must_leave": "2026-12-10",
            "reply_by": "2026-12-03T12:00",
            "outlook": "comfortable",
        }

    def test_words_narrow_the_search(self, intake):
        assert len(intake("find", "26", "d.w.", "--json")[1].splitlines()) == 1

    def test_nothing_found_is_said(self, intake):
        assert intake("find", "nobody", "at", "all")[:2] == (1, "Nothing fits all of these words.\n")
        assert intake("find", "nobody", "--json")[:2] == (1, "")


class TestSafekeeping:
    def test_a_copy_is_made_put_back_and_checked(self, intake, data, tmp_path):
        intake("book", CLEAR)
        copy = tmp_path / "copy.db"
        assert intake("backup", copy)[:2] == (0, f"{copy}: sound; 1 cases, 1 jobs, 1 documents.\n")
        intake("book", HELD)
        code, out, _ = intake("restore", copy)
        assert code == 0
        assert f"{copy} is in place. What was there is kept as " in out
        assert intake("verify")[:2] == (0, "1 cases, 1 jobs, 1 documents. The data and their history are sound.\n")

    def test_damage_is_told(self, intake, data):
        intake("book", CLEAR)
        store = Store.open(data / "intake.db")
        with store.engine.begin() as connection:
            connection.exec_driver_sql("DROP TRIGGER events_keep")
            connection.exec_driver_sql("UPDATE events SET who = 'XY' WHERE seq = 13")
        store.close()
        code, out, _ = intake("verify")
        assert code == 1
        assert "Something is wrong:\n  The history does not hold. Event 13 was changed" in out

    def test_a_copy_that_is_none_is_refused(self, intake, tmp_path):
        assert intake("restore", tmp_path / "none.db")[0] == 2
        (tmp_path / "text.db").write_text("no database, long enough to be looked at" * 40)
        code, _, err = intake("restore", tmp_path / "text.db")
        assert code == 2
        assert "not an Intake data file" in err

    def test_a_copy_into_a_folder_that_is_not_there_is_told(self, intake, tmp_path):
        code, _, err = intake("backup", tmp_path / "none" / "copy.db")
        assert code == 2
        assert "copy.db" in err


class TestWhatEndsACommand:
    @pytest.mark.parametrize("words", [[], ["chek", "x"], ["check"], ["find"], ["backup"]], ids=" ".join)
    def test_words_that_make_no_command_are_refused_with_how_it_is_used(self, intake, capsys, words):
        assert refused(intake, *words) == 2
        assert "usage: intake" in capsys.readouterr().err

    def test_help_names_every_command_and_the_demo(self, intake, capsys):
        assert refused(intake, "--help") == 0
        out = capsys.readouterr().out
        for name in ("check", "book", "ticket", "letters", "find", "backup", "restore", "verify", "intake demo"):
            assert name in out

    def test_what_a_person_can_put_right_is_one_line(self, capsys):
        def act():
            raise IntakeError("The printer has no paper.")

        assert in_words(act) == 2
        assert capsys.readouterr() == ("", "The printer has no paper.\n")

    @pytest.mark.parametrize(
        ("error", "said"),
        [
            (OSError(28, "No space left on device", "day/summary.txt"), "day/summary.txt: The disk is full."),
            (PermissionError(13, "Permission denied", "day"), "day: Permission denied."),
            (OSError("odd"), "odd."),
        ],
        ids=["full disk", "no right", "no number"],
    )
    def test_trouble_with_a_file_is_one_line(self, capsys, error, said):
        def act():
            raise error

        assert in_words(act) == 2
        assert capsys.readouterr().err.startswith(said)

    def test_ctrl_c_is_a_word_and_no_traceback(self, capsys):
        def act():
            raise KeyboardInterrupt

        assert in_words(act) == 130
        assert capsys.readouterr().err == "Stopped. What was said to be saved is saved.\n"

    def test_a_bug_is_not_hidden(self):
        with pytest.raises(ZeroDivisionError):
            in_words(lambda: 1 // 0)


def run_process(*words, **options):
    """A command in a process of its own."""
    environment = os.environ | {"PYTHONPATH": str(ROOT)} | options.pop("env", {})
    command = [sys.executable, "-m", "intake", "check", "--setup", str(demo("lab.toml")), *map(str, words)]
    return subprocess.run(command, env=environment, check=False, timeout=60, stderr=subprocess.PIPE, **options)


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437"])
def test_a_console_that_lacks_letters_gets_question_marks_and_never_a_traceback(tmp_path, encoding):
    file = tmp_path / "łucja ωμέγα.json"
    file.write_bytes(UNREADABLE.read_bytes())
    done = run_process(file, stdout=subprocess.PIPE, env={"PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"})
    assert (done.returncode, done.stderr) == (2, b"")
    assert b"not a prescription" in done.stdout
    assert "ω" not in done.stdout.decode(encoding)


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
def test_json_is_sound_on_any_console(encoding):
    done = run_process("--json", day_file("19"), stdout=subprocess.PIPE, env={"PYTHONIOENCODING": encoding})
    verdict = json.loads(done.stdout)
    assert "’" in json.dumps(verdict, ensure_ascii=False)
    assert done.stderr == b""


def test_lines_are_whole_where_the_output_is_no_terminal():
    done = run_process(day_file("02"), stdout=subprocess.PIPE)
    assert max(map(len, done.stdout.decode("utf-8").splitlines())) > 110


@pytest.mark.skipif(os.name != "posix", reason="needs a terminal of its own")
def test_lines_fit_a_terminal():
    import pty

    ours, theirs = pty.openpty()
    done = run_process(day_file("02"), stdout=theirs, env={"COLUMNS": "70", "PYTHONUTF8": "1"})
    os.close(theirs)
    with io.open(ours, "rb", closefd=True) as terminal:  # noqa: UP020 - a file descriptor
        said = terminal.read1(100_000).decode("utf-8").splitlines()
    assert done.returncode == 1
    assert len(said) > 10
    assert max(map(len, said)) <= 70


def test_a_reader_that_has_enough_ends_the_command_quietly():
    """`intake check ... | head -1`: the other end of the pipe is closed while there is more to say."""
    day = [str(path) for path in sorted(demo("day").glob("*.json"))]
    command = [sys.executable, "-m", "intake", "check", "--setup", str(demo("lab.toml")), *day * 20]
    environment = os.environ | {"PYTHONPATH": str(ROOT)}
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment) as process:
        assert process.stdout.readline()
        process.stdout.close()
        said = process.stderr.read()
        assert (process.wait(), said) == (2, b"")
