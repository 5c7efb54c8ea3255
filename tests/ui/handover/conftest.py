"""Hand over in a real window, with a gun and a typist, at a desk with some cases of the demo's day."""

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from intake.desk.book_in import book
from intake.domain.job_number import JobNumber
from intake.store.opening import Store
from intake.ui.handover.place import HandOver
from intake.ui.jobs import Jobs
from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.room import Room
from intake.ui.scanned import Gun
from intake.ui.window import Place, Window
from tests.desk.desks import NOW, day_case, demo_lab, enter_practices, open_desk


class Clock:
    """The lab's wall clock, which the test moves."""

    def __init__(self):
        self.now = NOW

    def __call__(self):
        return self.now


class Person:
    """Works the place by its keys and by the gun, and hears its beeps."""

    def __init__(self, window, place, jobs, gun, beeps, qtbot):
        self.window, self.place, self.jobs, self.gun, self.beeps = window, place, jobs, gun, beeps
        self.board, self._qtbot, self._now = place.board, qtbot, 1000
        gun.scanner._clock = lambda event: self._now
        gun.scanner._timer.start = lambda *interval: None  # a busy machine would end a burst by its own clock

    def scan_at_once(self, code):
        """The gun's characters, four milliseconds apart, in the real window; waits for nothing."""
        for key in (*code, Qt.Key.Key_Return):
            self._key(key, 4)

    def scan(self, code):
        self._now += 3000
        self.scan_at_once(code)
        return self.wait()

    def scan_ticket(self, job, copy=1):
        return self.scan(JobNumber(job.number).barcode(copy))

    def type(self, text):
        for sign in text:
            self._key(sign, 150)
        self.gun.scanner._last_look.timeout.emit()
        return self.wait()

    def press(self, *keys):
        for key in keys:
            combination = QKeySequence(key)[0]
            self._key(combination.key(), 500, combination.keyboardModifiers())
            self.wait()
        return self

    def wait(self):
        """Waits until everything that was asked for is done."""
        QApplication.processEvents()
        self._qtbot.waitUntil(lambda: not self.jobs.under_way)
        QApplication.processEvents()
        return self

    def hear(self):
        """The beeps since the last time, once no more is to come."""
        self._qtbot.waitUntil(lambda: not self.place._sounds._due)
        heard, self.beeps[:] = len(self.beeps), []
        return heard

    def passes(self, seconds):
        """Lets time pass between two scans of the same code."""
        self._now += seconds * 1000

    def _key(self, key, gap, *held):
        self._now += gap
        QTest.keyClick(self.window.windowHandle(), key, *held)

    @property
    def word(self):
        return self.board.answer.word.text()

    @property
    def said(self):
        return self.board.answer.said.text()

    @property
    def way_on(self):
        return self.board.answer.way_on.text()

    @property
    def news(self):
        return self.window.news.words.text()

    @property
    def lines(self):
        """The last scans, newest first: word and number."""
        return [f"{line.shown.word} {line.shown.number}".strip() for line in self.board.last.lines.lines]


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
def booked(desk):
    """Books clear splints: `booked(3)` gives three jobs."""

    def books(count=1):
        return [book(desk, day_case("36"), f"form-{number}").jobs[0] for number in range(count)]

    return books


@pytest.fixture
def open_person(qtbot, qapp, tmp_path):
    """Opens the window on a desk, for a person to work it."""
    opened = []

    def open_one(desk, scale=100, size=(1366, 768), scheme="light"):
        settings = QSettings(str(tmp_path / "window.ini"), QSettings.Format.IniFormat)
        settings.setValue("look/scale", scale)
        settings.setValue("look/scheme", scheme)
        look, keys = Look(qapp, settings), Keys(settings)
        jobs, places, beeps = Jobs(_raise), {}, []

        def make():
            room = Room(look, keys, window.news, jobs, window.memory, settings)
            places["hand-over"] = HandOver(room, demo_lab(), beep=lambda: beeps.append(1))
            return places["hand-over"]

        window = Window(
            [
                Place("hand-over", "Hand over", "go-hand-over", "", make),
                Place("other", "Other", "go-arrivals", "", QWidget),
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
        window.show_place("hand-over")
        room = Room(look, keys, window.news, jobs, window.memory, settings)
        gun = Gun(room, window, demo_lab(), places)
        gun.start(qapp)
        gun.scanner._beep = lambda: beeps.append(1)
        opened.append((jobs, look, places, gun))
        person = Person(window, places["hand-over"], jobs, gun, beeps, qtbot)
        if desk is not None:
            places["hand-over"].set_desk(desk)
            person.wait()
        return person

    yield open_one
    for jobs, look, places, gun in opened:
        gun.stop(qapp)
        look.choose_scale(100)
        look.choose_scheme("light")
        for place in places.values():
            place.forget()
        jobs.close()


@pytest.fixture
def person(open_person, desk):
    return open_person(desk)


def _raise(problem):
    raise problem
