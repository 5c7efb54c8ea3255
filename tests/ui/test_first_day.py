"""From an empty folder to the first ticket, by keys alone: the first questions, the lab's own list, one case."""

import csv
from functools import partial

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QLocale
from PySide6.QtGui import QGuiApplication, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from intake.app import open_desk, read_lab
from intake.desk.safekeeping import verify
from intake.setup.places import DataFolder
from intake.ui.first_run import FirstRun
from intake.ui.places import RAIL
from intake.ui.setup.directory.take_in_dialog import TakeInDialog
from intake.ui.start import Start
from tests.documents.reading import text_of

WAIT = 20_000
LIST = (
    ("Practice", "Address", "Town", "Post code", "Phone", "Dentist"),
    ("Wrenfield Dental", "1 Quay Lane", "Wrenfield", "XQ2 7GH", "01632 960171", "Dr L. Wren"),
    ("Saltmarsh Orthodontics", "8 Gull Street", "Saltmarsh", "XQ8 3BD", "01632 960172", "Dr S. Marsh"),
)


class Person:
    """Types and presses keys into whatever window of the program has them."""

    def __init__(self, start, qtbot):
        self.start, self._qtbot, self.keys, self._now = start, qtbot, 0, 1000

    def type(self, text):
        for sign in text:
            self._as_a_person()
            QTest.keyClick(self._window, sign)
        if self.start.scanner is not None:
            self.start.scanner._last_look.timeout.emit()
        return self.wait()

    def press(self, *keys):
        for key in keys:
            self._as_a_person()
            combination = QKeySequence(key)[0]
            QTest.keyClick(self._window, combination.key(), combination.keyboardModifiers())
            self.wait()
        return self

    def _as_a_person(self):
        """Slower than a scanner gun."""
        self.keys += 1
        self._now += 150
        if self.start.scanner is not None:
            self.start.scanner._clock = lambda event: self._now

    def wait(self):
        QApplication.processEvents()
        self._qtbot.waitUntil(lambda: not self.start.jobs.under_way, timeout=WAIT)
        QApplication.processEvents()
        return self

    @property
    def _window(self):
        return (QApplication.activeModalWidget() or self.start.window).windowHandle()


@pytest.fixture
def practices(tmp_path):
    path = tmp_path / "practices.csv"
    with path.open("w", encoding="cp1252", newline="") as file:
        csv.writer(file).writerows(LIST)
    return path


@pytest.fixture
def person(qtbot, tmp_path, monkeypatch):
    monkeypatch.setattr(QLocale, "system", lambda: QLocale("en_GB"))
    folder = DataFolder(tmp_path / "lab")
    start = Start(QApplication.instance(), folder, partial(open_desk, out=tmp_path / "printed"), read_lab, list)
    with qtbot.waitActive(start.window):
        start.window.show()
        start.window.activateWindow()
    qtbot.waitUntil(lambda: start.window.findChild(FirstRun) is not None, timeout=WAIT)
    yield Person(start, qtbot).wait()
    start.window.close()
    for part in (start.window, start):
        part.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def test_from_an_empty_folder_to_the_first_ticket_by_keys_alone(person, practices, qtbot, tmp_path):
    person.type("Harbour Road Laboratory").press("Return", "Return", "Return").type("Eng")
    person.press("Alt+F").type("nowhere.csv").press("Ctrl+Return")
    assert "There is no file nowhere.csv" in person.start.window.findChild(FirstRun).wrong.text()
    person.press("Ctrl+A").type(str(practices)).press("Ctrl+Return")
    qtbot.waitUntil(lambda: isinstance(QApplication.activeModalWidget(), TakeInDialog), timeout=WAIT)
    person.wait()
    assert QApplication.activeModalWidget().preview.counts == {"new": 2}
    person.press("Return")
    qtbot.waitUntil(lambda: len(person.start.places) == len(RAIL), timeout=WAIT)
    with qtbot.waitActive(person.start.window):
        person.start.window.activateWindow()
    assert "2 new practices" in person.start.window.news.words.text()
    person.type("wren").press("Return").type("J. T.").press("Return").type("hard splint upper 3mm").press("Return")
    person.type("2").press("Return", "Ctrl+Return")
    qtbot.waitUntil(lambda: any((tmp_path / "printed").glob("*Ticket*.pdf")), timeout=WAIT)
    person.wait()
    (ticket,) = (tmp_path / "printed").glob("*Ticket*.pdf")
    assert "Wrenfield Dental" in " ".join(text_of(ticket.read_bytes()))
    assert verify(person.start._desk).sound
    assert person.keys < 250, "a person who types two keys a second is done in a little over two minutes"


def test_where_no_list_is_named_it_is_said_how_practices_come_in_later(person, qtbot):
    person.type("Harbour Road Laboratory").press("Return", "Return", "Return").type("Eng").press("Ctrl+Return")
    qtbot.waitUntil(lambda: "from a spreadsheet" in person.start.window.news.words.text(), timeout=WAIT)
    assert QGuiApplication.modalWindow() is None
