"""What waits: opened, set down, taken off the list and taken in, by keys."""

import time
from dataclasses import replace

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QTimer, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication, QFileDialog

from intake.desk.arrivals import waiting
from intake.desk.book_in import book_checked
from intake.desk.check import check_file
from intake.desk.desk import Notice
from intake.desk.look_up import find
from intake.resources import demo
from intake.ui.arrivals.waiting_model import WaitingModel, said_of

FIRST = "01-soft-splint-complete.json"


@pytest.fixture
def day(take_in_files):
    return take_in_files("01", "02", "04", "64", "36")


def test_one_key_goes_to_what_waits_and_back(day, person):
    person.press("Alt+T", "F6")
    assert person.place.waiting.list.hasFocus()
    person.press("F6")
    assert person.at == "appointment"


def test_the_list_is_in_the_order_to_take_it_and_says_why(day, person, desk):
    assert [row.arrival_id for row in person.rows] == [row.arrival_id for row in waiting(desk)]
    person.press("F6", "Down")
    assert person.place.waiting.why.text() == person.rows[1].why


def test_a_row_says_practice_patient_appliances_state_and_how_it_came(day, person):
    row = next(row for row in person.rows if row.stream == "scan")
    said = said_of(row)
    for words in (row.practice, row.patient, row.appliances, "scan", {"held": "HOLD", "clear": "CLEAR"}[row.state]):
        assert words in said


def test_enter_opens_what_is_chosen_and_saving_it_takes_it_off_the_list(day, person, desk):
    person.press("F6", "Down", "Return")
    person.wait()
    row = person.rows[1]
    assert person.at == "practice"
    assert person.text("patient.label") == row.patient
    person.press("Ctrl+Return")
    assert row.arrival_id not in [other.arrival_id for other in person.rows]
    person.wait()
    assert len(find(desk, row.patient)) >= 1
    assert len(person.rows) == 4


def test_after_saving_the_next_is_chosen_but_not_opened_and_one_key_opens_it(day, person):
    person.press("F4")
    person.wait()
    first, second = person.rows[:2]
    assert person.text("patient.label") == first.patient
    person.press("Ctrl+Return")
    person.wait()
    assert person.form.is_empty()
    assert person.place.waiting.chosen.arrival_id == second.arrival_id
    person.press("F4")
    person.wait()
    assert person.text("patient.label") == second.patient


def test_undo_lets_the_arrival_wait_again_with_its_form_open(day, person):
    person.press("F4")
    person.wait()
    first = person.rows[0]
    person.press("Ctrl+Return")
    person.wait()
    person.press("F8")
    person.wait()
    assert first.arrival_id in [row.arrival_id for row in person.rows]
    assert person.text("patient.label") == first.patient


def test_opening_another_sets_down_what_was_begun(day, person):
    person.type("oxm").press("F4")
    person.wait()
    assert person.text("practice") != "oxm"
    assert "Oxmere Orthodontics" in [row.practice for row in person.rows if not row.patient]
    assert "Set down" in person.news


def test_looking_through_the_list_sets_nothing_down(day, person):
    before = person.rows
    person.press("F4")
    person.wait()
    person.press("F6", "Down", "Return")
    person.wait()
    assert person.rows == before


def test_a_form_is_set_down_for_later_and_comes_back_as_it_was(person):
    person.type("mar").press("Tab", "Alt+L").type("J.T.").press("Ctrl+D")
    person.wait()
    assert person.form.is_empty()
    assert [row.patient for row in person.rows] == ["J.T."]
    person.press("F4")
    person.wait()
    assert (person.text("practice"), person.text("patient.label")) == ("MARLOW1", "J.T.")
    assert person.text("arrived") == "Wed 25 Nov 2026 09:00"


def test_what_was_changed_of_an_arrival_is_set_down_with_it(day, person):
    person.press("F4")
    person.wait()
    person.press("Alt+N").type("seen").press("Ctrl+N")
    person.wait()
    assert len(person.rows) == 5
    person.press("F6", "Home", "Return")
    person.wait()
    assert "seen" in person.text("notes")


def test_a_waiver_and_the_day_of_posting_survive_being_set_down(take_in_files, person, desk):
    take_in_files("32")
    person.place.arriving.read()
    person.wait()
    person.press("F4")
    person.wait()
    person.press("Alt+N").type("x").press("Ctrl+D")
    person.wait()
    person.press("F4")
    person.wait()
    person.press("Ctrl+Return")
    person.wait()
    (found,) = find(desk, "U.B.")
    case = desk.store.read.case_of_job(found.number).case
    assert case.waived
    assert case.posted


def test_delete_takes_an_arrival_off_the_list_and_undo_brings_it_back(day, person):
    chosen = person.rows[0]
    person.press("F6", "Delete")
    person.wait()
    assert chosen.arrival_id not in [row.arrival_id for row in person.rows]
    person.press("F8")
    person.wait()
    assert chosen.arrival_id in [row.arrival_id for row in person.rows]


def test_delete_in_a_field_deletes_text_and_no_arrival(day, person):
    person.type("mar").press("Home", "Delete", "Ctrl+Del")
    person.wait()
    assert person.text("practice") == ""
    assert len(person.rows) == 5


def test_a_file_that_cannot_be_read_waits_with_what_is_wrong(person, desk):
    person.place.take_in([demo("day-unreadable", "impossible-date.json")])
    person.wait()
    (row,) = person.rows
    assert row.state == "unreadable"
    assert person.place.waiting.why.text().startswith(row.problem)
    person.press("F4")
    person.wait()
    assert person.text("arrived") != ""


def test_files_dropped_on_the_place_are_taken_in_once(person):
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(demo("day", "01-soft-splint-complete.json")))])
    left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    for _ in range(2):
        enter = QDragEnterEvent(QPoint(5, 5), Qt.DropAction.CopyAction, mime, left, none)
        QApplication.sendEvent(person.place, enter)
        assert enter.isAccepted()
        QApplication.sendEvent(person.place, QDropEvent(QPointF(5, 5), Qt.DropAction.CopyAction, mime, left, none))
        person.wait()
    assert len(person.rows) == 1
    assert "here already" in person.news


def test_a_key_opens_the_choice_of_files(person, qtbot):
    person.press("Ctrl+O")
    dialog = person.place.findChild(QFileDialog)
    assert dialog.isVisible()
    dialog.filesSelected.emit([str(demo("day", "01-soft-splint-complete.json"))])
    dialog.close()
    person.wait()
    assert len(person.rows) == 1


def test_an_empty_list_says_what_it_is_for_and_what_to_press(person):
    assert "Ctrl+O" in person.place.waiting.list._empty


def test_where_there_is_no_room_the_list_folds_away_and_a_key_brings_it(day, open_person, desk):
    person = open_person(desk, scale=200)
    place = person.place
    assert not place.waiting.isVisible()
    assert place.columns.list_button.text() == "5 waiting  F6"
    person.press("F6")
    assert place.waiting.list.hasFocus()
    assert place.waiting.list.isVisible()
    person.press("Escape")
    assert not place.waiting.isVisible()
    assert person.at == "practice"


def test_a_thousand_that_wait_are_listed_and_gone_through_without_a_halt(day, person, desk, qtbot):
    (first, *_) = person.rows
    many = [replace(first, arrival_id=number, patient=f"P{number}") for number in range(1000)]
    beats, longest = [time.perf_counter()], [0.0]
    timer = QTimer()
    timer.timeout.connect(lambda: (longest.append(time.perf_counter() - beats[-1]), beats.append(time.perf_counter())))
    timer.start(5)
    person.place.waiting.show_rows(many)
    person.press("F6", "End", "Home", "PgDown", "PgDown", "End")
    assert person.place.waiting.chosen.arrival_id == 999
    assert max(longest) < 0.2, "no halt of the window over 200 ms (checklist, line 13)"


def test_a_row_that_goes_leaves_the_others(qtmodeltester, day, desk):
    model = WaitingModel()
    rows = waiting(desk)
    model.show_rows(rows)
    qtmodeltester.check(model)
    model.without(rows[1].arrival_id)
    assert model.rows == (rows[0], *rows[2:])


def test_a_file_that_was_booked_by_a_command_meanwhile_is_told_and_not_opened(day, person, desk):
    chosen = person.rows[0]
    checked = check_file(demo("day", chosen.source), desk.lab, desk.practices(), desk.now())
    booked = book_checked(desk, checked)
    person.press("F4")
    person.wait()
    assert person.news == f"Booked before, as {booked.jobs[0].shown}: it waits no longer. Look it up by its number."
    assert person.form.is_empty()
    assert chosen.arrival_id not in [row.arrival_id for row in person.rows]


def test_a_file_whose_form_was_open_while_a_command_booked_it_is_one_case_and_has_no_undo(day, person, desk):
    person.press("F4")
    person.wait()
    checked = check_file(demo("day", person.rows[0].source), desk.lab, desk.practices(), desk.now())
    booked = book_checked(desk, checked)
    person.press("Ctrl+Return")
    person.wait()
    assert person.news == f"Booked before, as {booked.jobs[0].shown}; nothing was saved now."
    assert not person.window.news.undo_button.isVisible()
    assert desk.store.read.counts(desk.now().date()).booked == 1


def test_a_file_that_was_booked_before_is_not_taken_in(person, desk):
    book_checked(desk, check_file(demo("day", FIRST), desk.lab, desk.practices(), desk.now()))
    person.place.take_in([demo("day", FIRST)])
    person.wait()
    assert person.rows == ()
    assert person.news == "0 files taken in; 1 was here already."


@pytest.mark.parametrize(
    ("notice", "shown"),
    [
        (Notice("3 practices of practices.toml came into the directory."), "words"),
        (Notice("practices.toml is not TOML.", trouble=True), "trouble_words"),
    ],
    ids=["news", "trouble"],
)
def test_what_there_is_to_tell_of_the_opening_of_the_data_is_told(open_person, desk, notice, shown):
    person = open_person(replace(desk, notices=(notice,)))
    assert getattr(person.window.news, shown).text() == notice.text


def test_what_went_off_the_list_is_said_with_one_full_stop(day, person):
    chosen = person.place.waiting.chosen
    person.place.arriving.dismiss(chosen.arrival_id, "Quayside Dental Practice, T.O.")
    person.wait()
    assert person.news == "Off the list: Quayside Dental Practice, T.O."


def test_what_was_changed_of_a_booked_case_comes_back_beside_what_was_begun_meanwhile(person, desk):
    person.press("Alt+A").type("hard splint u 3").press("Ctrl+Return").wait()
    person.place.open_case(1)
    person.wait().press("Alt+N").type("changed").press("Ctrl+N")
    person.press("Alt+N").type("begun meanwhile").press("F8").wait()
    assert person.text("notes") == "changed"
    assert [row.state for row in person.rows] == ["unfinished"]
