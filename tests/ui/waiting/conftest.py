"""Waiting in a real window, at a desk with some cases of the demo's day, and a person who presses keys."""

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from intake.desk.book_in import book
from intake.store.opening import Store
from intake.ui.jobs import Jobs
from intake.ui.keys import Keys
from intake.ui.look import Look
from intake.ui.room import Room
from intake.ui.waiting import Waiting
from intake.ui.window import Place, Window
from tests.desk.desks import NOW, day_case, demo_lab, enter_practices, open_desk


class Clock:
    """The lab's wall clock, which the test moves."""

    def __init__(self):
        self.now = NOW

    def __call__(self):
        return self.now


class Person:
    """Works the place by its keys, and counts them."""

    def __init__(self, window, place, jobs, qtbot):
        self.window, self.place, self.jobs, self._qtbot = window, place, jobs, qtbot
        self.pressed = self.typed = 0

    def type(self, text):
        for sign in text:
            QTest.keyClick(self.window.windowHandle(), sign)
        self.typed += len(text)
        return self.wait()

    def press(self, *keys):
        for key in keys:
            self.press_at_once(key)
            self.wait()
        return self

    def press_at_once(self, key):
        """Presses a key, and waits for nothing."""
        combination = QKeySequence(key)[0]
        QTest.keyClick(self.window.windowHandle(), combination.key(), combination.keyboardModifiers())
        self.pressed += 1

    def wait(self):
        """Waits until everything that was asked for is done."""
        QApplication.processEvents()
        self._qtbot.waitUntil(lambda: not self.jobs.under_way)
        QApplication.processEvents()
        return self

    @property
    def news(self):
        return self.window.news.words.text()

    @property
    def listed(self):
        """The practices in the list, in order."""
        return [line.practice for line in self.place.ring.model.rows]

    @property
    def practice(self):
        """Whose card is shown."""
        return self.place.card.head.name.text()

    @property
    def asked(self):
        """What stands before the desk."""
        return self.place.card.to_say.words.text()

    @property
    def echo(self):
        return self.place.card.to_say.field.echo.text()

    @property
    def text(self):
        return self.place.card.to_say.field.text

    @property
    def card(self):
        """Every line of the card."""
        return "\n".join(f"{line.text} | {line.small} | {line.aside}" for line in self.place.card.script.lines)

    @property
    def at(self):
        """Where the keys go: `list`, `speaker`, `answer` or nothing of these."""
        parts = {
            "list": self.place.ring.field,
            "speaker": self.place.card.speaker.name.edit,
            "answer": self.place.card.to_say.field.edit,
        }
        return next((name for name, part in parts.items() if part.hasFocus()), None)


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
    """Books cases of the demo's day: `booked("02", "09")`."""

    def books(*names):
        return [book(desk, day_case(name), f"form-{name}") for name in names]

    return books


@pytest.fixture
def open_person(qtbot, qapp, tmp_path):
    """Opens the window on a desk, for a person to work it."""
    opened = []

    def open_one(desk, scale=100, size=(1366, 768)):
        settings = QSettings(str(tmp_path / "window.ini"), QSettings.Format.IniFormat)
        settings.setValue("look/scale", scale)
        settings.setValue("look/scheme", "light")
        look, keys = Look(qapp, settings), Keys(settings)
        jobs, places = Jobs(_raise), []
        opened.append((jobs, look, places))

        def make():
            places.append(Waiting(Room(look, keys, window.news, jobs, window.memory, settings), demo_lab()))
            return places[0]

        window = Window(
            [Place("waiting", "Waiting", "go-waiting", "", make), Place("other", "Other", "go-arrivals", "", QWidget)],
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
        window.show_place("waiting")
        person = Person(window, places[0], jobs, qtbot)
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
