"""The demo's whole day run to files: every case booked, every paper kept, and a summary that adds up."""

import json
import re
from collections import Counter
from datetime import datetime
from email.parser import BytesParser
from email.policy import strict

import pytest
from pypdf import PdfReader

from intake.desk.arrivals import waiting
from intake.desk.ring_list import ring_list
from intake.desk.safekeeping import verify
from intake.domain.job_number import read_number
from intake.errors import IntakeError
from intake.invented_lab import (
    DAY_ENDS,
    DemoClock,
    book_day_before,
    day_before_files,
    day_files,
    fill,
    fresh_folder,
    open_demo,
)
from intake.outbox.folder_queue import FolderQueue
from intake.rehearsal import BY_MAIL, run_day, run_demo
from intake.setup.places import DataFolder
from intake.store.backup import check
from intake.store.opening import Store

READABLE = 71
SCANS = 5
"""Deliveries of scans, which wait to be booked."""
UNREADABLE = 5
IN_PARCELS = 4
"""Cases that lay in parcels and are booked in."""
PARCELS_OPEN = 1
"""Parts that lay in a parcel and wait to be booked in."""
LEFT = UNREADABLE + SCANS + PARCELS_OPEN


def no_pictures(_desk, _folder, _moment):
    return ()


def words_of(path):
    return "\n".join(page.extract_text() for page in PdfReader(path).pages)


@pytest.fixture(scope="module")
def day(ran):
    """The folder of a day that was run."""
    return ran.out


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
    assert (counts.booked, counts.waiting) == (READABLE + IN_PARCELS, LEFT)
    unread = [arrival for arrival in store.read.arrivals("waiting") if arrival.problem]
    assert len(unread) == UNREADABLE


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
    first = [title for title in titles if re.fullmatch(r"Ticket [\d ]+", title)]
    assert len(first) == check(store).jobs
    named = [row for row in store.read.ring_rows() if row.practice_code and row.requirement != "raised"]
    assert all(row.letter_on or row.expected_on for row in named), "asked in a letter, or promised"
    with store.engine.connect() as connection:
        letters = connection.exec_driver_sql(
            "SELECT practice_name, way FROM documents WHERE kind = 'letter' AND state <> 'cancelled'"
        ).all()  # fmt: skip
    assert len({name for name, _ in letters}) == len(letters) > 5
    assert Counter(way for _, way in letters) == {"draft": 1, "print": sum(t.startswith("Letter") for t in titles)}


def test_every_paper_can_be_read_by_another_reader(day):
    for path in (day / "printed").glob("*.pdf"):
        words = " ".join(PdfReader(path).pages[0].extract_text().split())
        if "Bench codes" in path.stem:
            assert "Casting" in words
            continue
        number = re.match(r"\d{4} Ticket (\d\d \d{6} \d\d)", path.stem)
        assert "Ellerquay" in words
        assert number is None or number[1] in words


def test_held_tickets_say_hold_and_no_file_name_names_a_patient(day, store):
    with store.engine.connect() as connection:
        jobs = connection.exec_driver_sql("SELECT number, state FROM jobs").all()
    files = {path.stem[5:].partition(" copy")[0]: path for path in sorted((day / "printed").glob("*Ticket*.pdf"))}
    for number, state in jobs:  # by its newest copy
        words = PdfReader(files[f"Ticket {read_number(number).shown}"]).pages[0].extract_text()
        assert bool(re.search(r"H\s*O\s*L\s*D", words)) is (state == "held"), number
    sheets = "Note of return|Bench codes|Stickers|Pour list|Day sheet|Letter|Prescription form"
    titles = rf"\d{{4}} (Ticket [\d ]+( copy \d)?|({sheets}) \d+)"
    assert all(re.fullmatch(titles, path.stem) for path in (day / "printed").iterdir())


def test_a_letter_says_what_was_agreed_and_what_is_still_to_be_asked(day, store):
    (letter,) = store.read.letters_to("STRATHQ")
    (path,) = (day / "printed").glob(f"* Letter {letter.document_id}.pdf")
    words = words_of(path)
    assert "Upper sports mouthguard, thickness: 4 mm" in words
    assert "Ms Grieve, for the prescriber, by telephone" in words
    assert "Which colour or colours" in words


def test_a_letter_lies_ready_as_an_e_mail_to_the_address_of_the_directory(day, store):
    (draft,) = (day / "drafts").iterdir()
    mail = BytesParser(policy=strict).parsebytes(draft.read_bytes())
    assert mail["To"] == store.read.practice(BY_MAIL).practice.email
    (attached,) = mail.iter_attachments()
    assert attached.get_content().startswith(b"%PDF-")


def test_of_the_forms_that_came_back_one_is_taken_and_one_waits(day, store):
    assert sorted(path.suffix for path in (day / "returned").iterdir()) == [".eml", ".pdf"]
    (taken,), (waits,) = store.read.replies("taken"), store.read.replies()
    assert (taken.key, waits.key, waits.kind) == ("QUILLB2", "STRATHQ", "form")
    answers = [row for case in store.read.find("QS 890") for row in store.read.answers_of(case.case_id)]
    assert [row.answer.says for row in answers] == ["3 mm", "make it without"]
    assert {row.reply_id for row in answers} == {taken.reply_id}


def test_the_practice_that_forgets_most_is_sent_its_own_blank_prescription(day):
    (blank,) = (day / "printed").glob("*Prescription form*.pdf")
    assert "Fernhallow Dental Care" in words_of(blank)
    assert "Thickness" in words_of(blank)


def test_the_summary_tells_every_file_and_adds_up(day, summary, store):
    counts = store.read.counts(DAY_ENDS.date())
    found = check(store)
    for path in day_files():
        assert f"\n{path.name}: " in summary
    assert summary.startswith("The day of Ellerquay Dental Laboratory, Wed 25 Nov 2026, 16:45\n")
    assert f"{READABLE + IN_PARCELS} cases booked; {counts.clear} jobs clear, {counts.held} held;" in summary
    told = (
        f"{UNREADABLE} arrivals that no case could be read from; "
        f"{SCANS} of scans and {PARCELS_OPEN} of a parcel wait to be booked."
    )
    assert told in " ".join(summary.split())
    printed = [path.stem[5:] for path in (day / "printed").glob("*Ticket*.pdf")]
    assert f"{len(printed)} tickets, " in summary
    booked = summary.partition("\nThe ring-round, ")[0]
    gone = sum(job.state == "gone" for job in store.read.find("26", limit=500))
    assert found.jobs == counts.clear + counts.held + gone
    assert booked.count("  Job 26 ") == found.jobs - IN_PARCELS
    assert f"{counts.open_queries} questions to practices are open; " in summary
    assert f"{len(store.read.spoken())} answers by word of mouth to be confirmed." in summary
    assert max(map(len, summary.splitlines())) <= 110


def test_the_summary_tells_the_ring_round_the_letters_and_the_next_morning(summary):
    for heading in (
        "The ring-round, Wed 25 Nov 2026, 16:46",
        "The letters, Wed 25 Nov 2026, 17:05",
        "The post",
        "The prescriptions",
        "Hand over, Wed 25 Nov 2026, 17:20",
        "The day is closed, Wed 25 Nov 2026, 17:45",
        "The next morning, Thu 26 Nov 2026, 09:10",
    ):
        assert f"\n\n{heading}\n\n" in summary
    for said in (
        "no answer. Ring again Thu 26 Nov 2026, 09:00.",
        "impression or model in the post, here by Thu 26 Nov 2026",
        "rings back Thu 26 Nov 2026, 09:30",
        "It is standing from now on.",
        "4 answers by word of mouth to confirm.",
        "The reply to letter 100: filled in. It is taken.",
        "Parcel 4 from Ballyquern Dental Surgery: Stopped: Sharps: A scalpel blade lay loose among the trays.",
        "A parcel that is not finished: Parcel 6 from Oxmere Orthodontics: Comes to it tomorrow.",
    ):
        assert said in " ".join(summary.split())


def test_the_verdicts_are_json_one_a_line(day):
    lines = (day / "verdicts.jsonl").read_text(encoding="utf-8").splitlines()
    verdicts = [json.loads(line) for line in lines]
    assert [verdict["file"] for verdict in verdicts] == [path.name for path in day_files()]
    assert Counter(verdict["state"] for verdict in verdicts)["unreadable"] == UNREADABLE


def test_pictures_are_asked_for_of_four_moments(ran, day, summary):
    folder = day / "pictures"
    assert ran.moments == [
        ("arrivals", READABLE + UNREADABLE + SCANS + IN_PARCELS + PARCELS_OPEN, 0, DAY_ENDS, folder),
        ("calls", LEFT, 0, datetime(2026, 11, 25, 16, 53), folder),
        ("evening", LEFT, 0, datetime(2026, 11, 25, 17, 45), folder),
        ("after", LEFT, 1, datetime(2026, 11, 26, 9, 25), folder),
    ]
    assert f"\n{len(ran.pictures)} pictures.\n" in summary


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
        assert any(line.can_ring for line in ring_list(desk))
        desk.store.close()
        return 0

    assert run_demo([], show, never, display=True) == 0
    waits = READABLE + UNREADABLE + SCANS + IN_PARCELS + PARCELS_OPEN
    assert shown == [(tmp_path, waits, "Ellerquay Dental Laboratory")]


@pytest.mark.parametrize(("words", "display"), [([], False), (["--out", "here"], True)], ids=["no display", "--out"])
def test_without_a_display_or_with_a_folder_the_day_is_run_to_files(tmp_path, monkeypatch, words, display):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("intake.rehearsal.run_day", lambda out, picture: run.append((out, picture)) or 0)
    run = []
    assert run_demo(words, never, no_pictures, display) == 0
    ((out, picture),) = run
    assert picture is no_pictures
    assert out.absolute().is_relative_to(tmp_path / ("here" if words else "intake-demo"))


def test_of_the_day_before_some_practices_are_to_be_rung_and_one_has_a_letter(tmp_path):
    (tmp_path / "data").mkdir()
    clock = DemoClock()
    desk = open_demo(DataFolder(tmp_path / "data"), FolderQueue(tmp_path / "printed"), clock)
    book_day_before(desk, clock)
    fill(desk)
    lines = {line.key: line for line in ring_list(desk)}
    assert {key for key, line in lines.items() if line.can_ring} == {"MARLOW1", "CLOONA", "PLAYING", "FERNHAL"}
    assert lines["CANDLE"].standing == "in-writing"
    assert len(desk.store.read.ring_rows()) == sum(line.questions for line in lines.values()) == 8
    assert len(list((tmp_path / "printed").glob("*Ticket*.pdf"))) == len(day_before_files())
    assert len(waiting(desk)) == len(day_files())
    assert clock.now() >= DAY_ENDS
    assert verify(desk).sound
    desk.store.close()


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
    monkeypatch.setattr("intake.invented_lab.day_files", lambda: day_files()[:2])
    (tmp_path / "data").mkdir()
    desk = open_demo(DataFolder(tmp_path / "data"), FolderQueue(tmp_path / "printed"), DemoClock())
    fill(desk)
    fill(desk)
    assert len(waiting(desk)) == 2
    desk.store.close()
