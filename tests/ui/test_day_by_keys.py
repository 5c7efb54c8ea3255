"""The demo's whole day, booked by keyboard alone in the real window on a real screen."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from intake.desk.safekeeping import verify
from intake.invented_lab import DAY_ENDS, DemoClock, day_files, fill, open_demo
from intake.outbox.folder_queue import FolderQueue
from intake.setup.places import DataFolder
from intake.ui.places import ARRIVALS
from intake.ui.start import Start

WAIT = 20_000


@pytest.fixture
def demo_desk(tmp_path):
    desk = open_demo(DataFolder(tmp_path), FolderQueue(tmp_path / "printed"), DemoClock(stands=DAY_ENDS))
    fill(desk)
    yield desk
    desk.store.close()


@pytest.fixture
def start(qtbot, demo_desk, tmp_path):
    start = Start(QApplication.instance(), DataFolder(tmp_path), lambda _: demo_desk, lambda _: demo_desk.lab, list)
    with qtbot.waitSignal(start.opened, timeout=WAIT):
        start.window.show()
        start.window.activateWindow()
    qtbot.waitUntil(lambda: not start.jobs.under_way, timeout=WAIT)
    yield start
    start.window.close()


@pytest.mark.xserver
@pytest.mark.timeout(240)
def test_the_demos_day_is_booked_by_keyboard_alone(qtbot, start, demo_desk, tmp_path):
    place = start.places[ARRIVALS]
    window = start.window.windowHandle()
    unreadable = sum(path.parent.name == "day-unreadable" for path in day_files())

    def quiet():
        qtbot.waitUntil(lambda: not start.jobs.under_way, timeout=WAIT)

    while place.waiting.chosen is not None and place.waiting.chosen.state != "unreadable":
        before = len(demo_desk.store.read.arrivals())
        QTest.keyClick(window, Qt.Key.Key_F4)
        qtbot.waitUntil(lambda: not place.writing.is_empty, timeout=WAIT)
        QTest.keyClick(window, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
        qtbot.waitUntil(lambda count=before: len(demo_desk.store.read.arrivals()) == count - 1, timeout=WAIT)
        quiet()

    left = demo_desk.store.read.arrivals()
    booked = demo_desk.store.read.counts(DAY_ENDS.date()).booked
    jobs = demo_desk.store.read.find("26", limit=500)
    kept = list((tmp_path / "printed").glob("*Ticket*.pdf"))
    assert len(left) == unreadable
    assert all(row.problem for row in left)
    assert booked == len(day_files()) - unreadable
    assert len(jobs) > booked
    assert len(kept) == len(jobs)
    assert demo_desk.store.read.documents_waiting() == ()
    assert verify(demo_desk).sound
