"""Who is at the desk: signed in at the start, changed over, locked out after a time without a key."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from intake.desk.people import enter_person, set_pin, sign_in, with_people
from intake.domain.people import PeopleRules
from intake.ui.places import LOOK_UP
from intake.ui.sign_in import NOT_WHILE
from tests.ui.test_start import begin, desk_on, filled, folder, lab_in

__all__ = ["begin", "filled", "folder"]
RULES = PeopleRules(lock_minutes=5)


@pytest.fixture
def staffed(folder, filled):
    """A lead and somebody at the desk, with PINs."""
    desk = desk_on(folder)
    enter_person(desk, "HW", "Hilde Warrender", "lead")
    enter_person(desk, "JT", "Jun Tanaka", "desk")
    set_pin(desk, "HW", "4711", "4711")
    set_pin(sign_in(desk, "HW", "4711"), "JT", "80535", "80535")
    desk.store.close()
    return folder


def open_staffed(folder):
    desk = desk_on(folder)
    return with_people(replace(desk, lab=desk.lab.model_copy(update={"people": RULES})))


class Person:
    def __init__(self, start, qtbot):
        self.start, self.qtbot = start, qtbot

    def type(self, *texts):
        for text in texts:
            for sign in text:
                QTest.keyClick(self.handle, sign)
            self.press("Return")
        return self

    def press(self, *keys):
        for key in keys:
            pressed = QKeySequence(key)[0]
            QTest.keyClick(self.handle, pressed.key(), pressed.keyboardModifiers())
            self.wait()
        return self

    def wait(self):
        QApplication.processEvents()
        self.qtbot.waitUntil(lambda: not self.start.jobs.under_way, timeout=20_000)
        QApplication.processEvents()
        if QApplication.activeModalWidget() is None:
            self.start.window.activateWindow()  # as every window manager does, and the screenless platform does not
            self.qtbot.waitUntil(lambda: QApplication.activeWindow() is self.start.window)

    @property
    def handle(self):
        return (QApplication.activeModalWidget() or self.start.window).windowHandle()

    @property
    def dialog(self):
        return self.start.lock.dialog


@pytest.fixture
def person(begin, staffed, qtbot):
    start = begin(staffed, open_staffed, lab_in)
    qtbot.waitUntil(lambda: start.lock is not None and start.lock.dialog is not None, timeout=10_000)
    qtbot.waitUntil(lambda: QGuiApplication.focusWindow() is start.lock.dialog.windowHandle())
    return Person(start, qtbot)


def test_nothing_of_a_patient_is_shown_before_somebody_has_signed_in(person):
    start = person.start
    assert start.lock.locked
    assert start.lock.curtain.size() == start.window.size()
    person.press("Esc", "F3")
    assert start.lock.locked
    assert start.places[LOOK_UP]._desk is None
    person.type("jt", "80535")
    assert not start.lock.locked
    assert start._desk.person == "JT"
    assert start.window.desk_line.person_button.text() == "JT  Ctrl+Shift+I"
    assert not start.window.desk_line.initials_field.isVisible()
    assert start.places[LOOK_UP]._desk.person == "JT"


def test_a_wrong_pin_is_said_and_the_right_one_goes_on(person):
    person.type("hw", "1111")
    assert person.dialog.refused.text() == "This is not the PIN of HW. 4 tries are left."
    person.type("4711")
    assert person.start._desk.person == "HW"


def test_another_person_comes_to_the_desk_in_a_moment_and_what_is_typed_stays(person):
    person.type("jt", "80535").press("F3")
    field = person.start.places[LOOK_UP].field
    field.setText("marlow")
    person.press("Ctrl+Shift+I")
    assert not person.start.lock.locked, "to change over hides nothing"
    person.press("Esc")
    assert person.dialog is None
    person.press("Ctrl+Shift+I").type("hw", "4711")
    assert person.start._desk.person == "HW"
    assert field.text() == "marlow"


def test_after_a_time_without_a_key_the_window_is_locked_and_then_as_it_was(person, qtbot):
    start = person.type("jt", "80535").start
    assert start.lock._idle.interval() == 5 * 60_000
    start._keys.action("keys").trigger()
    dialog = QApplication.activeModalWidget()
    start.lock._idle.timeout.emit()  # the five minutes are over
    assert start.lock.locked
    assert not dialog.isVisible(), "a dialog may show a patient too"
    qtbot.waitUntil(lambda: QGuiApplication.focusWindow() is person.dialog.windowHandle())
    person.type("jt", "80535")
    assert dialog.isVisible()
    dialog.close()


def test_a_key_begins_the_time_anew_and_one_key_locks_at_once(person, qtbot):
    start = person.type("jt", "80535").start
    left = start.lock._idle.remainingTime()
    begun = []
    start.lock._idle.start = lambda: begun.append(left)
    person.press("F2")
    QTest.mouseClick(start.window.rail, Qt.MouseButton.LeftButton)
    assert len(begun) >= 2
    del start.lock._idle.start
    person.press("Shift+F9")
    assert start.lock.locked


def test_a_scan_at_a_locked_window_is_not_taken_and_leaves_no_character(person, filled):
    scanner = person.start.gun.scanner
    scanner.scanned.emit(filled[0].barcode(1))
    assert person.dialog.refused.text() == NOT_WHILE
    assert person.dialog.initials.text() == ""
    person.type("jt", "80535")
    assert person.start.places[LOOK_UP].field.text() == ""


def test_whoever_is_at_the_desk_chooses_another_pin(person, staffed):
    start = person.type("jt", "80535").start
    start._keys.action("my-pin").trigger()
    person.type("2468", "1357")
    assert QApplication.activeModalWidget().refused.text() == "The two are not the same. Type the PIN twice."
    person.type("2468", "2468")
    assert QApplication.activeModalWidget() is None
    assert sign_in(start._desk, "JT", "2468").person == "JT"


def test_as_long_as_nobody_has_a_pin_initials_are_typed(begin, folder, filled, qtbot):
    start = begin(folder)
    qtbot.waitUntil(lambda: start._desk is not None, timeout=10_000)
    Person(start, qtbot).press("Shift+F9")
    assert not start.lock.locked
    assert start.window.desk_line.initials_field.isVisible()
