"""The place Arrivals in the real window, with a real store and desk, and a person who presses keys."""

from datetime import datetime

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from intake.desk.arrivals import take_in
from intake.desk.desk import Desk
from intake.domain.practice import Practice
from intake.inbox.scan_files import ScanFiles
from intake.outbox.folder_queue import FolderQueue
from intake.resources import demo
from intake.setup.reading import read_practices, read_setup
from intake.store.opening import Store
from intake.ui.arrivals.place import Arrivals
from intake.ui.jobs import Jobs
from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.room import Room
from intake.ui.window import Place, Window

NOW = datetime(2026, 11, 25, 9, 0)
ALONE = Practice(
    code="QUAY1",
    name="Quayside Dental Practice",
    address=("1 Chandler Row", "Ellerquay"),
    telephone="01632 960111",
    prescribers=("Dr R. Ashdown",),
)
"""A practice with one prescriber."""


class Person:
    """Works the place by its keys, and counts them."""

    def __init__(self, window, place, jobs, qtbot):
        self.window, self.place, self.jobs, self._qtbot = window, place, jobs, qtbot
        self.pressed = 0

    def type(self, text):
        for sign in text:
            QTest.keyClick(self.window.windowHandle(), sign)
            self.pressed += 1
        return self

    def press(self, *keys):
        for key in keys:
            combination = QKeySequence(key)[0]
            QTest.keyClick(self.window.windowHandle(), combination.key(), combination.keyboardModifiers())
            self.pressed += 1
            QApplication.processEvents()
        return self

    def wait(self):
        """Waits until everything that was asked for is done."""
        self._qtbot.waitUntil(lambda: not self.jobs.under_way)
        QApplication.processEvents()
        return self

    @property
    def form(self):
        return self.place.form

    @property
    def at(self):
        """The field that has the keys."""
        QApplication.processEvents()
        return self.form.place

    @property
    def news(self):
        return self.window.news.words.text()

    @property
    def rows(self):
        return self.place.waiting.model.rows

    def text(self, field):
        return self.form.field(field).text

    def said(self, field):
        """What stands in small print under a field."""
        QApplication.processEvents()
        return self.form.field(field).small_print.text()


@pytest.fixture(scope="session")
def lab():
    return read_setup(demo("lab.toml"))


@pytest.fixture(scope="session")
def practices():
    return (*read_practices(demo("practices.toml")), ALONE)


@pytest.fixture
def store(sqlite_place):
    opened = Store.open(sqlite_place)
    yield opened
    opened.close()


@pytest.fixture
def desk(store, lab, practices, tmp_path):
    made = Desk(store, lab, FolderQueue(tmp_path / "out"), lambda: NOW, "AB", scan_store=ScanFiles(tmp_path / "scans"))
    with made.work() as work:
        for practice in practices:
            work.practices.save(practice)
        work.commit()
    return made


@pytest.fixture
def take_in_files(desk):
    """Lets files of the demo's day wait: `take_in_files("02", "64")`."""

    def taken(*numbers):
        files = [file for number in numbers for file in demo("day").glob(f"{number}-*.json")]
        return take_in(desk, files)

    return taken


@pytest.fixture
def open_person(qtbot, qapp, lab, tmp_path):
    """Opens the window on a desk, for a person to work it."""
    opened = []

    def open_one(desk=None, scale=100, size=(1366, 768)):
        settings = QSettings(str(tmp_path / "window.ini"), QSettings.Format.IniFormat)
        settings.setValue("look/scale", scale)
        settings.setValue("look/scheme", "light")
        look, keys = Look(qapp, settings), Keys(settings)
        jobs = Jobs(_raise)
        places = []
        opened.append((jobs, look, places))

        def make():
            room = Room(look, keys, window.news, jobs, window.memory, settings)
            places.append(Arrivals(room, lab))
            return places[0]

        window = Window(
            [
                Place("arrivals", "Arrivals", "go-arrivals", "", make),
                Place("other", "Other", "go-look-up", "", QWidget),
            ],
            look,
            keys,
            settings,
        )
        qtbot.addWidget(window)
        window.resize(*size)
        with qtbot.waitActive(window):
            window.show()
            window.activateWindow()
        window.fill()
        person = Person(window, places[0], jobs, qtbot)
        if desk is not None:
            places[0].set_desk(desk)
            person.wait()
        return person

    yield open_one
    for jobs, look, places in opened:
        look.choose_scale(100)
        places[0].flush()
        jobs.close()


@pytest.fixture
def person(open_person, desk):
    return open_person(desk)


def _raise(problem):
    raise problem
