"""Bench load and the pour list at a desk with a few cases, in a room of its own."""

from dataclasses import replace
from datetime import datetime

import pytest
from PySide6.QtWidgets import QVBoxLayout, QWidget

from intake.desk.book_in import book
from intake.store.opening import Store
from intake.ui.jobs import Jobs
from intake.ui.memory import Memory
from intake.ui.news import News
from intake.ui.room import Room
from tests.desk.desks import NOW, day_case, enter_practices, open_desk
from tests.desk.labs import lab_with


@pytest.fixture
def desk(sqlite_place, tmp_path):
    """A desk whose benches finish two jobs a day; of Splints nobody has said."""
    store = Store.open(sqlite_place)
    enter_practices(store)
    opened = open_desk(store, tmp_path)
    named = opened.lab.bench_by_name.values()
    benches = tuple(bench.model_copy(update={"capacity": 2 if bench.name != "Splints" else None}) for bench in named)
    yield replace(opened, lab=lab_with(opened.lab, benches=benches))
    store.close()


@pytest.fixture
def splints(desk):
    """Books so many splints for an appointment; Casting has to be done with them on Wed 2 Dec."""

    def splints(count, appointment=datetime(2026, 12, 10, 9, 30)):
        case = day_case("01").model_copy(update={"appointment": appointment, "arrived": NOW})
        tokens = range(count)
        return [book(desk, case.model_copy(update={"notes": f"{n}"}), f"{appointment}-{n}") for n in tokens]

    return splints


@pytest.fixture
def room(look, keys, settings):
    problems = []
    jobs = Jobs(problems.append)
    yield Room(look, keys, News(look, keys), jobs, Memory(settings), settings)
    jobs.close()
    assert problems == []


@pytest.fixture
def shell(qtbot, room):
    """A window with the news under whatever page is put in it, as the place in view."""

    def shell(page):
        window = QWidget()
        column = QVBoxLayout(window)
        column.addWidget(page, 1)
        column.addWidget(room.news)
        for action in (room.keys.action(row.id) for row in room.keys.table):
            window.addAction(action)
        room.keys.enter_place("day")
        qtbot.addWidget(window)
        window.resize(1269, 680)
        with qtbot.waitActive(window):
            window.show()
            window.activateWindow()
        return window

    return shell


@pytest.fixture
def settled(qtbot, room):
    """Waits until every job has come back."""

    def settled():
        qtbot.waitUntil(lambda: room.jobs.under_way == 0)

    return settled
