"""The day in a real window, at a desk with some cases of the demo's day, and a person who presses keys."""

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from intake.desk.arrivals import take_in
from intake.desk.book_in import book
from intake.desk.issue import issue_all
from intake.store.opening import Store
from intake.ui.day.place import Day
from intake.ui.jobs import Jobs
from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.room import Room
from intake.ui.window import Place, Window
from tests.desk.desks import NOW, day_case, day_file, demo_lab, enter_practices, open_desk


class Clock:
    """The lab's wall clock, which the test moves."""

    def __init__(self):
        self.now = NOW

    def __call__(self):
        return self.now


class Person:
    """Works the place by its keys."""

    def __init__(self, window, place, jobs, look, qtbot):
        self.window, self.place, self.jobs, self.look, self._qtbot = window, place, jobs, look, qtbot
        self.issued, self.gone, self.lefts = [], [], 0
        place.issued.connect(self.issued.extend)
        place.go.connect(self.gone.append)
        place.left.connect(self._on_left)

    def _on_left(self):
        self.lefts += 1

    def type(self, text):
        for sign in text:
            QTest.keyClick(self.window.windowHandle(), sign)
        return self.wait()

    def press(self, *keys):
        for key in keys:
            combination = QKeySequence(key)[0]
            QTest.keyClick(self.window.windowHandle(), combination.key(), combination.keyboardModifiers())
            self.wait()
        return self

    def wait(self):
        """Waits until everything that was asked for is done."""
        QApplication.processEvents()
        self._qtbot.waitUntil(lambda: not self.jobs.under_way, timeout=20_000)
        QApplication.processEvents()
        return self

    @property
    def news(self):
        return self.window.news.words.text()

    @property
    def listed(self):
        """The list of what is not finished: headings and lines."""
        return [row if isinstance(row, str) else row.title for row in self.place.today.things.things.rows]

    @property
    def numbers(self):
        """The day's numbers by their words."""
        return {
            words.text(): number.text()
            for words, number in zip(self.place.today.figures._words, self.place.today.figures._numbers, strict=True)
        }

    @property
    def page(self):
        names = {"today": self.place.today, "closing": self.place.closing}
        names |= {"load": self.place.load, "pour": self.place.pour}
        return next(name for name, page in names.items() if page is self.place.pages.currentWidget())


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def empty_desk(sqlite_place, tmp_path, clock):
    store = Store.open(sqlite_place)
    enter_practices(store)
    yield open_desk(store, tmp_path, now=clock)
    store.close()


@pytest.fixture
def desk(empty_desk):
    """Two cases booked in, of which one is held and its ticket is not printed; two files wait."""
    book(empty_desk, day_case("02"), "form-02")
    issue_all(empty_desk, book(empty_desk, day_case("36"), "form-36").tickets)
    take_in(empty_desk, [day_file("52"), day_file("66")])
    return empty_desk


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
        opened.append((jobs, look, places))

        def make():
            places.append(Day(Room(look, keys, window.news, jobs, window.memory, settings), demo_lab()))
            return places[0]

        window = Window(
            [Place("day", "The day", "go-day", "", make), Place("other", "Other", "go-arrivals", "", QWidget)],
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
        window.show_place("day")
        person = Person(window, places[0], jobs, look, qtbot)
        if desk is not None:
            places[0].set_desk(desk)
            person.wait()
        return person

    yield open_one
    for jobs, look, places in opened:
        look.choose_scale(100)
        for place in places:
            place.forget()
        jobs.close()


@pytest.fixture
def person(open_person, desk):
    return open_person(desk)


def _raise(problem):
    raise problem
