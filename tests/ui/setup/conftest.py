"""Lab setup in a real window, at a desk with the demo's setup in its folder, and a person who presses keys."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtGui import QGuiApplication, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from intake.desk.lab_setup import setup_file
from intake.store.opening import Store
from intake.ui.jobs import Jobs
from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.room import Room
from intake.ui.setup.place import LabSetup
from intake.ui.window import Place, Window
from tests.desk.desks import enter_practices, open_desk

DEMO_SETUP = Path(__file__).parents[3] / "demo" / "lab.toml"


class Person:
    """Works Lab setup by its keys."""

    def __init__(self, window, place, jobs, look, qtbot):
        self.window, self.place, self.jobs, self.look, self._qtbot = window, place, jobs, look, qtbot
        self.issued, self.in_force = [], []
        place.issued.connect(self.issued.extend)
        place.in_force.connect(self.in_force.append)

    def type(self, text):
        for sign in text:
            QTest.keyClick(self._handle, sign)
        return self.wait()

    def press(self, *keys):
        for key in keys:
            combination = QKeySequence(key)[0]
            QTest.keyClick(self._handle, combination.key(), combination.keyboardModifiers())
            self.wait()
        return self

    def wait(self):
        """Waits until everything that was asked for is done."""
        QApplication.processEvents()
        self._qtbot.waitUntil(lambda: not self.jobs.under_way, timeout=20_000)
        QApplication.processEvents()
        return self

    @property
    def _handle(self):
        return QGuiApplication.focusWindow() or self.window.windowHandle()

    @property
    def page(self):
        return self.place.page

    @property
    def draft(self):
        return self.place.draft

    @property
    def news(self):
        return self.window.news.words.text()


@pytest.fixture
def desk(sqlite_place, tmp_path):
    """A desk with the demo's practices, and the demo's setup as a file in its folder."""
    store = Store.open(sqlite_place)
    enter_practices(store)
    shutil.copy(DEMO_SETUP, tmp_path / "setup.toml")
    yield replace(open_desk(store, tmp_path), folder=tmp_path)
    store.close()


@pytest.fixture
def open_setup(qtbot, tmp_path, desk):
    """Opens a page of Lab setup: `open_setup("setup-colours")`."""
    opened = []

    def open_one(page, scale=100, scheme="light"):
        app = QApplication.instance()
        settings = QSettings(str(tmp_path / "window.ini"), QSettings.Format.IniFormat)
        look, keys = Look(app, settings), Keys(settings)
        look.choose_scale(scale)
        look.choose_scheme(scheme)
        problems = []
        jobs = Jobs(problems.append)
        made = {}

        def make():
            made["place"] = LabSetup(room, desk.lab)
            return made["place"]

        window = Window([Place("setup", "Lab setup", "go-setup", "Lab setup", make)], look, keys, settings)
        room = Room(look, keys, window.news, jobs, window.memory, settings)
        qtbot.addWidget(window)
        window.fill()
        window.resize(1366, 768)
        with qtbot.waitActive(window):
            window.show()
            window.activateWindow()
        person = Person(window, made["place"], jobs, look, qtbot)
        person.place.set_desk(desk)
        person.wait()
        person.place.show_page(page)
        person.page.setFocus()
        person.wait()
        opened.append((person, jobs, problems))
        return person

    yield open_one
    for person, jobs, problems in opened:
        person.place.forget()
        jobs.close()  # the window is closed by then, by who made it known to the runner of the tests
        assert problems == []


@pytest.fixture
def in_file(desk):
    """What the setup in force says."""
    return lambda: setup_file(desk).text
