"""The places Parcels and Arrivals in a real window, with a real store and desk, and a person who presses keys."""

from datetime import timedelta

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel

from intake.desk.parcels import NewContent, NewParcel, open_parcel
from intake.domain.practice import StandingInstruction
from intake.domain.scan_codes import ScanCode
from intake.store.opening import Store
from intake.ui.arrivals.place import Arrivals
from intake.ui.jobs import Jobs
from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.parcels.on_to_cases import OnToCases
from intake.ui.parcels.place import Parcels
from intake.ui.room import Room
from intake.ui.window import Place, Window
from tests.desk.desks import NOW, demo_lab, enter_practices, open_desk

LABEL = "RR123456785DE"
"""A sound postal number, not of any real parcel: its check digit is 5 (UPU S10)."""


class Clock:
    """The lab's wall clock, which the test moves."""

    def __init__(self):
        self.now = NOW

    def __call__(self):
        return self.now


class Person:
    """Works the two places by keys and by the gun."""

    def __init__(self, window, parcels, arrivals, room, qtbot):
        self.window, self.parcels, self.arrivals, self._qtbot = window, parcels, arrivals, qtbot
        self.jobs, self.keys, self.settings = room.jobs, room.keys, room.settings
        self.pressed = 0
        self.issued = []
        parcels.issued.connect(self.issued.extend)

    def type(self, text):
        for sign in text:
            QTest.keyClick(self.window.windowHandle(), sign)
        return self.wait()

    def press(self, *keys):
        for key in keys:
            combination = QKeySequence(key)[0]
            window = QApplication.activeModalWidget() or self.window
            if not window.isActiveWindow():  # a dialog has just opened or closed
                with self._qtbot.waitActive(window):
                    window.activateWindow()
            QTest.keyClick(window.windowHandle(), combination.key(), combination.keyboardModifiers())
            self.pressed += 1
            self.wait()
        return self

    def scan(self, kind, value):
        """What the window does when the gun has sent a code."""
        taken = self.window.in_view.take_code(ScanCode(kind, value))
        self.wait()
        return taken

    def wait(self):
        """Waits until everything that was asked for is done."""
        QApplication.processEvents()
        self._qtbot.waitUntil(lambda: not self.jobs.under_way)
        QApplication.processEvents()
        return self

    @property
    def place(self):
        return self.window.place

    @property
    def news(self):
        return self.window.news.words.text()

    @property
    def form(self):
        return self.parcels.form

    @property
    def lines(self):
        return self.parcels.list.model.lines

    @property
    def waiting(self):
        return self.arrivals.waiting.model.rows

    @property
    def page(self):
        return self.parcels.page

    @property
    def shown(self):
        """Every word that is in sight in the place."""
        labels = [part for part in self.parcels.findChildren(QLabel) if part.isVisible()]
        return "\n".join(part.text() for part in labels)

    @property
    def things(self):
        """What lies in it, as the form has it."""
        return [thing.kind for thing in self.form.things.things]

    @property
    def dialog(self):
        return QApplication.activeModalWidget()

    def asks(self, kind):
        """The dialog that is open, which has to be of a kind."""
        assert isinstance(self.dialog, kind)
        return self.dialog


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def desk(sqlite_place, tmp_path, clock):
    store = Store.open(sqlite_place)
    enter_practices(store)
    yield open_desk(store, tmp_path, now=clock)
    store.close()


@pytest.fixture
def empty_desk(sqlite_place, tmp_path, clock):
    """A desk with nothing in its store at all."""
    store = Store.open(sqlite_place)
    yield open_desk(store, tmp_path, now=clock)
    store.close()


@pytest.fixture
def statement(desk):
    """A practice of the directory that has stated that all it sends is disinfected."""
    row = desk.store.read.practice("MARLOW1")
    says = StandingInstruction(
        requirement="hygiene-status", says="All we send is disinfected", since=NOW.date(), source="letter of Dr L"
    )
    with desk.work() as work:
        work.practices.save(row.practice.model_copy(update={"standing": (says,)}), row.version)
        work.commit()
    return row.practice


@pytest.fixture
def open_person(qtbot, qapp, tmp_path):
    """Opens the window on a desk, for a person to work it."""
    opened = []

    def open_one(desk, scale=100, size=(1366, 768), scheme="light"):
        settings = QSettings(str(tmp_path / "window.ini"), QSettings.Format.IniFormat)
        settings.setValue("look/scale", scale)
        settings.setValue("look/scheme", scheme)
        look, keys = Look(qapp, settings), Keys(settings)
        jobs, places = Jobs(_raise), []

        def make(kind):
            def made():
                places.append(kind(room, demo_lab()))
                return places[-1]

            return made

        window = Window(
            [
                Place("arrivals", "Arrivals", "go-arrivals", "", make(Arrivals)),
                Place("parcels", "Parcels", "go-parcels", "", make(Parcels)),
            ],
            look,
            keys,
            settings,
        )
        room = Room(look, keys, window.news, jobs, window.memory, settings)
        opened.append((jobs, look, places, window))
        qtbot.addWidget(window)
        window.resize(*size)
        with qtbot.waitActive(window):
            window.show()
            window.activateWindow()
        window.fill()
        arrivals = next(place for place in places if isinstance(place, Arrivals))
        parcels = next(place for place in places if isinstance(place, Parcels))
        parcels.left.connect(lambda: window.show_place("arrivals"))
        window.on_to_cases = OnToCases(room, window, parcels, arrivals)
        window.show_place("parcels")
        person = Person(window, parcels, arrivals, room, qtbot)
        if desk is not None:
            arrivals.set_desk(desk)
            parcels.set_desk(desk)
            person.wait()
        return person

    yield open_one
    for jobs, look, places, _ in opened:
        look.choose_scale(100)
        for place in places:
            if isinstance(place, Parcels):
                place.forget()
            else:
                place.flush()
        jobs.close()


@pytest.fixture
def person(open_person, desk):
    return open_person(desk)


@pytest.fixture
def keep(desk, clock):
    """Keeps a parcel five minutes after the one before: `keep(CASE, PART, seen=("wet",))`."""

    def keep(*contents, **said):
        clock.now += timedelta(minutes=5)
        known = {"practice": "MARLOW1", "label": f"X{clock.now:%H%M}"} | said
        return open_parcel(desk, NewParcel(contents=contents or (NewContent("case"),), **known))

    return keep


@pytest.fixture
def at_card(person):
    """Opens the card of the first parcel in the list."""

    def at_card():
        person.parcels.read_again()
        person.wait()
        return person.press("F6", "Return")

    return at_card


def _raise(problem):
    raise problem
