"""The demo's whole day run to files: every case booked, every paper kept, and a summary that adds up."""

import json
import re
from collections import Counter
from datetime import datetime
from pathlib import Path

import pytest
from pypdf import PdfReader

from intake.desk.arrivals import waiting
from intake.domain.job_number import read_number
from intake.errors import IntakeError
from intake.outbox.folder_queue import FolderQueue
from intake.rehearsal import DAY_ENDS, DemoClock, day_files, fill, fresh_folder, open_demo, run_day, run_demo
from intake.setup.places import DataFolder
from intake.store.backup import check
from intake.store.opening import Store

READABLE = 71
UNREADABLE = 5


def no_pictures(_desk, _folder):
    return ()


@pytest.fixture(scope="module")
def day(tmp_path_factory):
    """The folder of a day that was run."""
    out = tmp_path_factory.mktemp("demo") / "day"
    assert run_day(out, no_pictures) == 0
    return out


@pytest.fixture(scope="module")
def store(day):
    (file,) = (day / "data").glob("*/intake.db")
    opened = Store.open(file)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def summary(day):
    return (day / "summary.txt").read_text(encoding="utf-8")


def test_the_day_has_its_files():
    names = [path.parent.name for path in day_files()]
    assert Counter(names) == {"day": READABLE, "day-unreadable": UNREADABLE}


def test_every_file_is_booked_or_waits_with_what_is_wrong(store):
    counts = store.read.counts(DAY_ENDS.date())
    assert (counts.booked, counts.waiting) == (READABLE, UNREADABLE)
    assert all(arrival.problem for arrival in store.read.arrivals("waiting"))


def test_the_data_of_the_day_are_sound_and_its_numbers_have_no_gap(store):
    found = check(store)
    assert found.sound
    with store.engine.connect() as connection:
        numbers = connection.exec_driver_sql("SELECT number FROM jobs").scalars().all()
    assert sorted(read_number(number).running for number in numbers) == list(range(1, found.jobs + 1))


def test_each_case_is_booked_in_the_minute_when_it_came(store):
    with store.engine.connect() as connection:
        rows = connection.exec_driver_sql("SELECT arrived, booked FROM cases ORDER BY id").all()
    assert all(arrived == booked for arrived, booked in rows)
    assert rows == sorted(rows)


def test_every_job_has_its_ticket_and_every_practice_its_one_letter(day, store):
    titles = [path.stem[5:] for path in sorted((day / "printed").glob("*.pdf"))]
    kinds = Counter(title.split()[0] for title in titles)
    assert kinds["Ticket"] == check(store).jobs
    assert kinds["Letter"] > 5
    assert store.read.letters_due() == ()
    with store.engine.connect() as connection:
        addressed = connection.exec_driver_sql(
            "SELECT practice_name FROM documents WHERE kind = 'letter'"
        ).scalars().all()  # fmt: skip
    assert len(set(addressed)) == len(addressed) == kinds["Letter"]


def test_every_paper_can_be_read_by_another_reader(day):
    for path in (day / "printed").glob("*.pdf"):
        words = " ".join(PdfReader(path).pages[0].extract_text().split())
        number = re.match(r"\d{4} Ticket (\d\d \d{6} \d\d)", path.stem)
        assert "Ellerquay" in words
        assert number is None or number[1] in words


def test_held_tickets_say_hold_and_no_file_name_names_a_patient(day, store):
    with store.engine.connect() as connection:
        jobs = connection.exec_driver_sql("SELECT number, state FROM jobs").all()
    files = {path.stem[5:]: path for path in (day / "printed").glob("*Ticket*.pdf")}
    for number, state in jobs:
        words = PdfReader(files[f"Ticket {read_number(number).shown}"]).pages[0].extract_text()
        assert bool(re.search(r"H\s*O\s*L\s*D", words)) is (state == "held"), number
    assert all(re.fullmatch(r"\d{4} (Ticket [\d ]+|Letter \d+)", path.stem) for path in (day / "printed").iterdir())


def test_the_summary_tells_every_file_and_adds_up(summary, store):
    counts = store.read.counts(DAY_ENDS.date())
    found = check(store)
    for path in day_files():
        assert f"\n{path.name}: " in summary
    assert summary.startswith("The day of Ellerquay Dental Laboratory, Wed 25 Nov 2026, 16:45\n")
    assert f"{READABLE} cases booked; {counts.clear} jobs clear, {counts.held} held;" in summary
    assert f"{UNREADABLE} arrivals that no case could be read from." in summary
    assert f"{found.jobs} tickets and " in summary
    assert summary.count("  Job 26 ") == found.jobs == counts.clear + counts.held
    assert f"{counts.open_queries} questions to practices." in summary
    assert max(map(len, summary.splitlines())) <= 110


def test_the_verdicts_are_json_one_a_line(day):
    lines = (day / "verdicts.jsonl").read_text(encoding="utf-8").splitlines()
    verdicts = [json.loads(line) for line in lines]
    assert [verdict["file"] for verdict in verdicts] == [path.name for path in day_files()]
    assert Counter(verdict["state"] for verdict in verdicts)["unreadable"] == UNREADABLE


def test_pictures_are_asked_for_before_and_after_the_day(tmp_path, monkeypatch):
    monkeypatch.setattr("intake.rehearsal.day_files", lambda: day_files()[:2])
    asked = []

    def picture(desk, folder):
        asked.append((len(waiting(desk)), folder))
        return [folder / "window.png"]

    run_day(tmp_path / "day", picture)
    assert asked == [(2, tmp_path / "day" / "pictures"), (0, tmp_path / "day" / "pictures")]
    assert "2 pictures of the window." in (tmp_path / "day" / "summary.txt").read_text(encoding="utf-8")


def test_two_days_are_not_mixed(day):
    before = sorted((day / "printed").iterdir())
    with pytest.raises(IntakeError, match=r"is in .* already\. Name another folder"):
        run_day(day, no_pictures)
    assert sorted((day / "printed").iterdir()) == before


def never(*_):
    raise AssertionError("not asked for")


def test_with_a_display_the_window_opens_on_a_fresh_folder_with_the_day_waiting(tmp_path, monkeypatch):
    monkeypatch.setattr("intake.rehearsal.user_data_path", lambda *_, **__: tmp_path)
    shown = []

    def show(folder, open_desk):
        desk = open_desk(folder)
        shown.append((folder.path.parent, len(waiting(desk)), desk.lab.name))
        desk.store.close()
        return 0

    assert run_demo([], show, never, display=True) == 0
    assert shown == [(tmp_path, READABLE + UNREADABLE, "Ellerquay Dental Laboratory")]


@pytest.mark.parametrize(("words", "display"), [([], False), (["--out", "here"], True)], ids=["no display", "--out"])
def test_without_a_display_or_with_a_folder_the_day_is_run_to_files(tmp_path, monkeypatch, words, display):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("intake.rehearsal.day_files", lambda: day_files()[:1])
    assert run_demo(words, never, no_pictures, display) == 0
    (summary,) = tmp_path.rglob("summary.txt")
    assert summary.parent == (Path("here").absolute() if words else summary.parent)
    assert summary.is_relative_to(tmp_path / ("here" if words else "intake-demo"))


def test_folders_of_the_same_second_are_two(tmp_path):
    first, second = fresh_folder(tmp_path), fresh_folder(tmp_path)
    assert first != second
    assert all(folder.path.is_dir() for folder in (first, second))


def test_the_demos_clock_begins_on_its_day_and_goes_on():
    clock = DemoClock()
    assert clock.now() == DAY_ENDS
    clock.began -= 3600
    assert clock.now() == datetime(2026, 11, 25, 17, 45)
    clock.stands = datetime(2026, 11, 25, 8, 0)
    assert clock.now() == datetime(2026, 11, 25, 8, 0)


def test_a_demo_that_was_filled_before_takes_nothing_in_twice(tmp_path, monkeypatch):
    monkeypatch.setattr("intake.rehearsal.day_files", lambda: day_files()[:2])
    (tmp_path / "data").mkdir()
    desk = open_demo(DataFolder(tmp_path / "data"), FolderQueue(tmp_path / "printed"), DemoClock())
    fill(desk)
    fill(desk)
    assert len(waiting(desk)) == 2
    desk.store.close()
