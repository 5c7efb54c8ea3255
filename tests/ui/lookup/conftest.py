"""Look up at a desk with a few cases of the demo's day, in a room of its own."""

import pytest
from PySide6.QtWidgets import QVBoxLayout, QWidget

from intake.desk.book_in import book
from intake.desk.issue import issue_all
from intake.store.opening import Store
from intake.ui.jobs import Jobs
from intake.ui.lookup import LookUp
from intake.ui.memory import Memory
from intake.ui.news import News
from intake.ui.room import Room
from tests.desk.desks import day_case, demo_lab, enter_practices, open_desk

CASES = ("01", "02", "18", "52", "62", "66")


@pytest.fixture
def desk(sqlite_place, tmp_path):
    store = Store.open(sqlite_place)
    enter_practices(store)
    yield open_desk(store, tmp_path)
    store.close()


@pytest.fixture
def booked(desk):
    """The demo's cases by their number in the day."""
    made = {}
    for name in CASES:
        made[name] = book(desk, day_case(name), f"form-{name}")
        issue_all(desk, made[name].tickets)
    return made


@pytest.fixture
def room(look, keys, settings):
    problems = []
    jobs = Jobs(problems.append)
    yield Room(look, keys, News(look, keys), jobs, Memory(settings), settings)
    jobs.close()
    assert problems == []


@pytest.fixture
def shell(qtbot, room):
    """A window with the news under whatever place is put in it."""

    def shell(place):
        window = QWidget()
        column = QVBoxLayout(window)
        column.addWidget(place, 1)
        column.addWidget(room.news)
        for action in (room.keys.action(row.id) for row in room.keys.table):
            window.addAction(action)
        room.keys.enter_place("look-up")
        qtbot.addWidget(window)
        window.resize(1366, 768)
        with qtbot.waitActive(window):
            window.show()
            window.activateWindow()
        place.setFocus()
        return window

    return shell


@pytest.fixture
def look_up(room, shell, qtbot):
    place = LookUp(room, demo_lab())
    window = shell(place)
    yield place
    window.close()


@pytest.fixture
def settled(qtbot, room):
    """Waits until every job has come back."""

    def settled():
        qtbot.waitUntil(lambda: room.jobs.under_way == 0)

    return settled


@pytest.fixture
def found(look_up, desk, booked, type_text, settled):
    """Types something and waits for what was found."""
    look_up.set_desk(desk)

    def found(text):
        look_up.field.clear()
        type_text(look_up, text)
        settled()
        model = look_up.results.model()
        return [model.index(row, 0).data() for row in range(model.rowCount())]

    return found
