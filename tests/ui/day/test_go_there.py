"""From The day to the place where something can be done, in the whole window."""

import shutil
from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication

from intake.desk.arrivals import take_in
from intake.desk.book_in import book
from intake.desk.evening import Go, left_over
from intake.desk.issue import issue_all
from intake.desk.letters import write_to
from intake.resources import demo
from intake.setup.places import DataFolder
from intake.setup.reading import read_setup
from intake.store.opening import Store
from intake.ui.start import Start
from tests.desk.desks import day_case, day_file, enter_practices, open_desk
from tests.desk.opened import CASE, parcel


@pytest.fixture
def folder(tmp_path, sqlite_place):
    place = DataFolder(tmp_path / "lab")
    place.path.mkdir()
    shutil.copy(demo("lab.toml"), place.setup)
    shutil.move(sqlite_place, place.store)
    return place


@pytest.fixture
def left(folder):
    """A store in which something of each kind is left over; gives it by kind."""
    store = Store.open(folder.store)
    enter_practices(store)
    desk = open_desk(store, folder.path)
    take_in(desk, [day_file("52")])
    parcel(desk, CASE)
    for name in ("02", "18", "62"):
        made = book(desk, day_case(name), f"form-{name}")
    issue_all(desk, made.tickets)
    key = next(thing.go.about for thing in left_over(desk) if thing.kind == "question")
    write_to(desk, key)
    found = {thing.kind: thing for thing in left_over(desk)}
    store.close()
    return found


@pytest.fixture
def start(folder, left, qtbot):
    def opened(place):
        return replace(open_desk(Store.open(place.store), place.path), folder=place.path)

    start = Start(QApplication.instance(), folder, opened, lambda place: read_setup(place.setup), lambda: ())
    with qtbot.waitActive(start.window):
        start.window.show()
        start.window.activateWindow()
    qtbot.waitUntil(lambda: start._desk is not None and start.jobs.under_way == 0, timeout=30_000)
    yield start
    start.window.close()
    for part in (start.window, start):
        part.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


@pytest.fixture
def gone(start, qtbot):
    """Goes somewhere from The day, and waits until it is shown."""

    def gone(go):
        start.window.show_place("day")
        start.places["day"].go.emit(go)
        qtbot.waitUntil(lambda: start.jobs.under_way == 0, timeout=20_000)
        QApplication.processEvents()
        return start.window.place

    return gone


def test_an_arrival_is_opened_in_the_form(start, left, gone):
    assert gone(left["arrival"].go) == "arrivals"
    assert start.places["arrivals"].writing.half.arrival_id == int(left["arrival"].go.about)


def test_a_job_is_shown_in_look_up(start, left, gone):
    assert gone(left["ticket"].go) == "look-up"
    shown = start.places["look-up"]._deeds.card
    assert shown.job.number == left["ticket"].go.about


def test_a_parcel_is_shown_in_parcels(start, left, gone):
    assert gone(left["parcel"].go) == "parcels"
    assert start.places["parcels"].shown_card.parcel_id == int(left["parcel"].go.about)


def test_a_practice_is_chosen_in_waiting(start, left, gone):
    assert gone(left["question"].go) == "waiting"
    assert start.places["waiting"].ring.current.key == left["question"].go.about


def test_a_letter_shows_its_practice_in_waiting(start, left, gone):
    letters = [row for row in start._desk.store.read.documents_sent() if row.kind == "letter"]
    assert gone(Go("waiting", letter=letters[0].document_id)) == "waiting"
    assert start.places["waiting"].ring.current.key == letters[0].practice_code


def test_what_has_gone_meanwhile_is_said(start, gone):
    assert gone(Go("waiting", "NOBODY")) == "waiting"
    assert start.window.news.words.text() == "Nothing is open for this practice any more."


def test_one_key_comes_back_to_where_the_day_was(start, left, gone, qtbot):
    gone(left["ticket"].go)
    assert "Shift+F4 goes back to the day." in start.window.news.words.text()
    start.room.keys.action("go-day").trigger()
    qtbot.waitUntil(lambda: start.jobs.under_way == 0, timeout=20_000)
    assert start.window.place == "day"
