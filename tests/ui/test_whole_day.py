"""A whole day of 1,000 cases, half of them in parcels: booked, handed over and closed while the window is open."""

from collections import Counter
from functools import partial
from time import perf_counter

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from intake.desk.closing import left_over
from intake.desk.safekeeping import verify
from intake.domain.day_counts import count_events
from intake.domain.job_number import JobNumber
from intake.domain.own_codes import own_code
from intake.setup.places import DataFolder
from intake.store.opening import Store
from intake.store.tables import EventTable
from intake.ui.places import DAY, HAND_OVER, LOOK_UP
from intake.ui.start import Start
from tests.desk.desks import enter_practices, open_desk
from tests.ui import whole_day as day

CASES = 1000
WAIT = 180_000
FROZEN_MS = 2000
"""Beside a desk that works as fast as the machine can, and other tests: more is no chance any more."""


class Person:
    """Presses keys and pulls the trigger of the gun, in the real window."""

    def __init__(self, start, qtbot):
        self.start, self.qtbot, self.handle, self.now = start, qtbot, start.window.windowHandle(), 1000
        start.scanner._clock = lambda event: self.now
        start.scanner._timer.start = lambda *interval: None  # a busy machine would end a burst by its own clock

    def press(self, *keys):
        for key in keys:
            self.now += 500
            combination = QKeySequence(key)[0]
            QTest.keyClick(self.handle, combination.key(), combination.keyboardModifiers())
            self.wait()

    def scan(self, code):
        self.now += 3000
        for key in (*code, Qt.Key.Key_Return):
            self.now += 4
            QTest.keyClick(self.handle, key)
        self.wait()

    def wait(self):
        QApplication.processEvents()
        self.qtbot.waitUntil(lambda: not self.start.jobs.under_way, timeout=WAIT)
        QApplication.processEvents()


class Heart:
    """Beats on the window's thread, and remembers the longest time between two beats."""

    def __init__(self, parent):
        self.longest, self._last = 0.0, perf_counter()
        self._timer = QTimer(parent)
        self._timer.setInterval(10)
        self._timer.timeout.connect(self._beat)
        self._timer.start()

    def _beat(self):
        now = perf_counter()
        self.longest, self._last = max(self.longest, now - self._last), now


@pytest.fixture
def clock():
    return day.Clock()


@pytest.fixture
def desk(tmp_path, clock):
    store = Store.open(tmp_path / "intake.db")
    enter_practices(store)
    yield open_desk(store, tmp_path, now=clock.now)
    store.close()


@pytest.fixture
def start(qtbot, desk, tmp_path):
    start = Start(QApplication.instance(), DataFolder(tmp_path), lambda _: desk, lambda _: desk.lab, list)
    with qtbot.waitSignal(start.opened, timeout=WAIT):
        start.window.show()
        start.window.activateWindow()
    qtbot.waitUntil(lambda: not start.jobs.under_way, timeout=WAIT)
    yield start
    start.window.close()


@pytest.mark.timeout(400)
def test_a_whole_day_of_a_thousand_cases_is_booked_handed_over_and_closed(qtbot, start, desk, clock, record_property):
    person, done, heart = Person(start, qtbot), day.Done(), Heart(start.window)
    cases = day.prescriptions(CASES // 2)

    def work(act, *what):
        start.jobs.run(partial(act, desk, *what))
        person.wait()

    begin = perf_counter()
    work(day.open_the_post, clock, done, cases["post"])
    work(day.take_the_scans_in, clock, done, cases["scan"])
    work(day.hand_boxes_over, clock, done)
    record_property("cases_a_second", round(CASES / (perf_counter() - begin), 1))
    record_property("longest_stand_still_ms", round(heart.longest * 1000))
    assert heart.longest * 1000 < FROZEN_MS
    assert (done.cases["post"], done.cases["scan"]) == (CASES // 2, CASES // 2)
    assert not done.refused

    # The last boxes go by the gun: a bench, then its tickets, whatever is in view.
    for number in done.for_the_gun:
        job = desk.store.read.job(number)
        person.scan(own_code("bench", desk.lab.category_by_id[job.category].route[0].bench))
        assert start.window.place == HAND_OVER
        person.scan(JobNumber(number).barcode(job.copy))
        assert desk.store.read.job(number).state == "gone"
    person.press("Shift+F4")
    person.scan(JobNumber(done.for_the_gun[0]).barcode(1))
    assert start.window.place == LOOK_UP, "a ticket that is scanned in The day is looked up"

    work(day.leave_a_parcel_open_and_refuse_another, done)
    work(day.write_the_letters, clock)
    _close(person, start, desk)
    _agrees_with_what_was_done(desk, clock, done)
    _agrees_with_the_history(desk, clock)
    assert verify(desk).sound


def _close(person, start, desk):
    """What is left over gets its usual reason by a digit, all of a kind by one key; then the day is closed by a key."""
    left = Counter(each.kind for each in left_over(desk))
    assert left["parcel"] == 1, "the parcel of the evening is open"
    person.press("Shift+F4", "F4")
    assert start.window.place == DAY
    for count in left.values():
        person.press("1")
        if count > 1:
            person.press("Ctrl+L")
    person.press("F4")


def _agrees_with_what_was_done(desk, clock, done):
    closing = desk.store.read.closing_of(clock.now().date())
    assert closing is not None
    assert closing.who == desk.person
    assert all(each["reason"] for each in closing.left), "nothing is open without a reason"
    counts = desk.store.read.day_counts(clock.now().date())
    states = list(done.jobs.values())
    gone = len(done.handed_over) + len(done.for_the_gun)
    assert (counts.whole.booked, counts.whole.jobs) == (done.cases.total(), len(states))
    assert {name: share.booked for name, share in counts.streams} == dict(done.cases)
    assert counts.whole.handed_over == counts.whole.gone == gone == states.count("clear")
    assert counts.whole.held == states.count("held")
    assert counts.whole.arrived == done.arrived.total()
    assert counts.standing.parcels == 1
    assert counts.standing.tickets == done.unprinted


def _agrees_with_the_history(desk, clock):
    """The independent count: from the events alone, which know nothing of the tables."""
    today, events = clock.now().date(), desk.store.read._events(EventTable.seq > 0)
    assert count_events(events, today) == desk.store.read.day_counts(today)
