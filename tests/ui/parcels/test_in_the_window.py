"""Parcels in the whole window: the gun from any place, on to Arrivals and back, and what is dropped."""

import pytest
from PySide6.QtCore import QEvent, QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent, QImage, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from intake.desk.parcels import open_parcels, parcel_card
from intake.domain.own_codes import own_code
from intake.resources import demo
from intake.setup.places import DataFolder
from intake.ui.places import ARRIVALS, PARCELS
from intake.ui.start import Start
from tests.ui.parcels.conftest import LABEL


class Hands:
    """Keys and a gun at the window; the gun's keys follow one another fast."""

    def __init__(self, start, qtbot):
        self.start, self.window, self._qtbot = start, start.window, qtbot
        self._now = 1000
        start.scanner._clock = lambda event: self._now

    def scan(self, code):
        for sign in code:
            self._now += 5
            QTest.keyClick(self.window.windowHandle(), sign)
        QTest.keyClick(self.window.windowHandle(), Qt.Key.Key_Return)
        self._now += 5000
        return self.wait()

    def press(self, *keys):
        for key in keys:
            self._now += 1000
            combination = QKeySequence(key)[0]
            QTest.keyClick(self.window.windowHandle(), combination.key(), combination.keyboardModifiers())
            self.wait()
        return self

    def drop(self, path):
        mime = QMimeData()
        mime.setUrls([QUrl.fromLocalFile(str(path))])
        copy, left, none = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
        handle = self.window.windowHandle()
        for event in (
            QDragEnterEvent(QPoint(400, 300), copy, mime, left, none),
            QDragMoveEvent(QPoint(400, 300), copy, mime, left, none),
            QDropEvent(QPointF(400, 300), copy, mime, left, none),
        ):
            QApplication.sendEvent(handle, event)
        return self.wait()

    def wait(self):
        QApplication.processEvents()
        # A single key waits a moment in the gun's filter: it could be the first of a code.
        self._qtbot.waitUntil(lambda: not self.start.scanner._timer.isActive())
        self._qtbot.waitUntil(lambda: not self.start.jobs.under_way, timeout=20_000)
        QApplication.processEvents()
        return self


@pytest.fixture
def hands(qtbot, desk, tmp_path):
    start = Start(QApplication.instance(), DataFolder(tmp_path), lambda _: desk, lambda _: desk.lab, list)
    with qtbot.waitActive(start.window):
        start.window.show()
        start.window.activateWindow()
    qtbot.waitUntil(lambda: start._desk is not None and not start.jobs.under_way, timeout=20_000)
    yield Hands(start, qtbot)
    start.window.close()
    for part in (start.window, start):
        part.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def test_a_bag_is_opened_with_the_gun_and_one_key_and_so_is_the_next(hands, desk):
    hands.window.show_place(ARRIVALS)
    hands.scan(LABEL)
    assert hands.window.place == PARCELS
    hands.scan(own_code("practice", "MARLOW1"))
    hands.press("W", "Ctrl+Return")
    assert hands.window.place == ARRIVALS
    assert hands.start.places[ARRIVALS].form.field("practice").text == "MARLOW1"
    card = parcel_card(desk, open_parcels(desk)[0].parcel_id)
    assert (card.label, card.practice_code, card.seen) == (LABEL, "MARLOW1", ("wet",))
    hands.scan("RR223456788DE")
    assert hands.window.place == PARCELS
    assert hands.start.places[PARCELS].form.draft.label == "RR223456788DE"
    hands.press("F2", "F12")
    assert hands.window.place == PARCELS


def test_any_code_counts_as_a_label_while_parcels_is_in_view(hands):
    hands.press("Shift+F2")
    hands.scan("KURIER-77-X/4411")
    assert hands.start.places[PARCELS].form.draft.label == "KURIER77X/4411"


def test_a_dropped_photograph_goes_to_the_parcel_and_a_prescription_among_what_waits(hands, desk, tmp_path):
    picture = QImage(30, 20, QImage.Format.Format_RGB32)
    picture.fill(Qt.GlobalColor.darkGreen)
    assert picture.save(str(tmp_path / "bag.png"))
    hands.press("Shift+F2").drop(tmp_path / "bag.png")
    assert [each.name for each in hands.start.places[PARCELS].form.draft.pictures] == ["bag.png"]
    hands.drop(next(demo("day").glob("01-*.json")))
    assert len(desk.store.read.arrivals("waiting")) == 1
    assert len(hands.start.places[PARCELS].form.draft.pictures) == 1
