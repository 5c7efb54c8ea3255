"""What came apart: offered in the line of what was promised, put together by the same key, taken apart by another."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from intake.desk.arrivals import set_down, take_in_content
from intake.desk.book_in import book, book_arrival
from intake.desk.joining import join_arrivals
from intake.desk.scan_checks import CheckHere, check_all
from intake.desk.scan_looks import scans_of
from intake.domain.half_typed import HalfTyped
from intake.inbox.scan_files import ScanFiles
from intake.ui.arrivals.joining import PARTED, TOGETHER
from intake.ui.arrivals.promised import NOTHING
from intake.ui.scans import asked as scans_asked
from tests.desk.scan_mails import HERE, came
from tests.desk.test_partners import KEY, PARCEL, SPLINT, WHO

LABEL, REFERENCE = "J.T.", "20418"
WHY = "same practice, reference 20418, on the same day"


@pytest.fixture
def desk(desk, tmp_path):
    return replace(desk, scan_store=ScanFiles(tmp_path / "scans"))


@pytest.fixture(autouse=True)
def measured_here(monkeypatch):
    """Arches are measured in this process, so that no test waits for another one to start."""
    monkeypatch.setattr(scans_asked, "worker", lambda: HERE)


@pytest.fixture
def scan(desk, tmp_path):
    return came(desk, tmp_path, "scans", WHO, upper="upper", lower="lower")


@pytest.fixture
def paper(desk):
    return take_in_content(desk, SPLINT.model_dump_json().encode(), "splint.json").arrival_id


@pytest.fixture
def part(desk, tmp_path):
    """A booked case whose lower scan is half of one."""
    arrival_id = came(desk, tmp_path, "half", WHO, upper="upper", lower="half")
    return book(desk, scans_of(desk, arrival_id).put_to(SPLINT), "form", arrival_id)


def parcel(person):
    """What stands on a parcel is typed: practice, label, reference."""
    person.type(KEY).press("Tab", "Alt+L").type(LABEL).press("Alt+F").type(REFERENCE)
    return person.wait()


def opened(person, arrival_id):
    person.place.arriving.read()
    person.wait()
    person.place.arriving.open(arrival_id)
    return person.wait()


def offer(person):
    promised = person.place.verdict.promised
    return promised.words.text() if promised.isVisible() else ""


def button(person):
    return person.place.verdict.promised.button.text()


def waiting_ids(person):
    return [row.arrival_id for row in person.rows]


def test_an_open_scan_brings_the_offer_of_its_prescription_with_the_key(person, scan, paper):
    opened(person, scan)
    assert offer(person) == f"J. Thornley of Quillbury Street Surgery waits without a scan: {WHY}."
    assert button(person) == "Put the two together  Ctrl+G"


def test_the_key_brings_both_into_the_form_as_one_arrival(person, scan, paper, desk):
    opened(person, scan).press("Ctrl+G").wait()
    assert waiting_ids(person) == [paper]
    assert person.text("appliances[0]") == "Hard occlusal splint upper 2 mm"
    assert person.text("items") == "upper scan; lower scan"
    assert person.news == TOGETHER
    check_all(desk, HERE)
    person.place.scanning.on_checked([paper])
    person.wait()
    assert person.place.writing.half.kept.arches.standing == "registered"
    person.press("Ctrl+Return").wait()
    assert waiting_ids(person) == []
    case_id = desk.store.read.arrival(paper).case_id
    assert [each.shows for each in desk.store.read.case(case_id).case.scans] == ["upper", "lower"]


def test_undo_takes_both_apart_and_brings_the_form_back(person, scan, paper):
    opened(person, scan)
    before = person.place.writing.half
    person.press("Ctrl+G").wait()
    assert person.window.news.undo_button.text() == "Undo: what was put together  F8"
    person.press("F8").wait()
    assert sorted(waiting_ids(person)) == [scan, paper]
    assert person.place.writing.half.typed == before.typed
    assert person.place.writing.half.arrival_id == scan
    assert person.news == PARTED
    assert offer(person), "it is offered again"


def test_what_is_typed_of_a_parcel_joins_the_scans_that_wait(person, scan, desk):
    parcel(person)
    assert offer(person).startswith("J.T. of Quillbury Street Surgery waits too: ")
    person.press("Alt+A").type("hard splint u 2").press("Alt+N").type("please hurry").wait()
    person.press("Ctrl+G").wait()
    assert person.text("appliances[0]") == "hard splint u 2"
    assert person.text("notes") == "please hurry"
    assert person.text("items") == "upper scan; lower scan"
    assert waiting_ids(person) == [scan]
    person.press("F8").wait()
    assert person.text("notes") == "please hurry"
    assert person.text("items") == ""
    assert person.place.writing.half.arrival_id is None
    assert waiting_ids(person) == [scan]
    assert [row.state for row in desk.store.read.arrivals("dismissed")] == ["dismissed"]


def test_what_is_typed_after_it_goes_with_the_form_that_comes_back(person, scan, paper):
    opened(person, scan).press("Ctrl+G").wait()
    person.press("Alt+N").type("urgent").wait().press("F8").wait()
    assert person.text("notes") == "urgent"
    assert person.text("appliances[0]") == ""
    assert sorted(waiting_ids(person)) == [scan, paper]


def test_what_was_booked_since_stays_together(person, scan, paper, desk):
    opened(person, scan).press("Ctrl+G").wait()
    book_arrival(desk, paper)
    person.press("F8").wait()
    assert person.news.startswith("Not taken back. ")
    assert person.text("appliances[0]"), "the form is as it was before the undo"
    assert scans_of(desk, paper).scans


def test_what_another_desk_was_quicker_with_brings_the_form_back(person, scan, paper, desk):
    opened(person, scan)
    set_down(desk, HalfTyped(typed=PARCEL))
    join_arrivals(desk, paper, scan)
    person.press("Ctrl+G").wait()
    assert "Not saved. One of the two waits no longer" in person.window.news.trouble_words.text()
    assert person.text("patient.reference") == REFERENCE


def test_nothing_is_offered_to_another_patient(person, scan):
    person.type(KEY).press("Tab", "Alt+L").type("J.T.").press("Alt+F").type("20419").wait()
    assert offer(person) == ""
    person.press("Ctrl+G")
    assert person.news == NOTHING


def test_of_several_the_desk_chooses_one(person, scan, paper, desk):
    parcel(person)
    assert offer(person).endswith(" 1 more waits that may belong to it.")
    assert button(person) == "Choose which  Ctrl+G"
    person.press("Ctrl+G").wait()
    dialog = QApplication.activeModalWidget()
    lines = [dialog.list.item(row).text() for row in range(dialog.list.count())]
    assert [line.split(" of ")[0] for line in lines] == ["J.T.", "J. Thornley"], "the likeliest first"
    for key in (Qt.Key.Key_Down, Qt.Key.Key_Return):
        QTest.keyClick(dialog.windowHandle(), key)
    person.wait()
    assert person.place.writing.half.arrival_id == paper
    assert sorted(waiting_ids(person)) == [scan, paper]


@pytest.fixture
def printed(person):
    """What goes to the printer: each time the words and the tickets."""
    told = []
    person.place.joined.connect(lambda said, made: told.append((said, made.tickets)))
    return told


def test_a_scan_that_came_again_is_put_to_its_job_and_prints(person, part, desk, tmp_path, printed):
    again = came(desk, tmp_path, "again", WHO, lower="lower")
    opened(person, again)
    assert f"job {part.jobs[0].shown}, waits for " in offer(person)
    assert button(person) == "Put it to that job  Ctrl+G"
    person.press("Ctrl+G").wait()
    assert person.news.startswith("Put to the case that waited for it: ")
    assert "CLEAR. Of the lower the later scan counts now." in person.news
    assert waiting_ids(person) == []
    assert person.form.is_empty()
    ((said, tickets),) = printed
    assert said == person.news
    assert tickets
    assert desk.store.read.case(part.case_id).case.arches.standing == "registered"


def test_that_is_undone_too(person, part, desk, tmp_path, printed):
    again = came(desk, tmp_path, "again", WHO, lower="lower")
    before = desk.store.read.case(part.case_id).case
    opened(person, again).press("Ctrl+G").wait().press("F8").wait()
    assert desk.store.read.case(part.case_id).case == before
    assert waiting_ids(person) == [again]
    assert person.text("items") == "lower scan"
    assert person.news == "Taken back: the case waits again for its scans, and the form is as it was."
    assert len(printed) == 2


def test_scans_that_are_still_being_looked_at_come_back_into_the_form(person, part, desk, tmp_path):
    again = came(desk, tmp_path, "again", WHO, checked=False, lower="lower")
    opened(person, again).press("Ctrl+G").wait()
    assert "Not saved. Not every scan was looked at yet." in person.window.news.trouble_words.text()
    assert waiting_ids(person) == [again]
    check_all(desk, CheckHere())
    person.press("Ctrl+G").wait()
    assert waiting_ids(person) == []
