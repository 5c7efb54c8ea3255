"""The gun in the whole program: whatever has the keys, every ticket is taken and no character is left in a field."""

from dataclasses import replace
from itertools import cycle, product

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QDialog, QLineEdit, QPlainTextEdit, QTextEdit, QWidget

from intake.desk.boxes import put_in_box
from intake.domain.bench_rules import BoxNumbers
from intake.domain.own_codes import own_code
from intake.domain.reply_number import reply_number
from intake.domain.scan_codes import ScanCode
from intake.ui.places import HAND_OVER, LOOK_UP, PARCELS, RAIL, WAITING
from intake.ui.plain import Words
from intake.ui.set_aside import NOTE
from tests.ui.test_start import begin, filled, folder, opened

__all__ = ["begin", "filled", "folder", "opened"]

GAP_OF_A_GUN, GAP_OF_A_TYPIST = 7, 150
FIELDS = (QLineEdit, QPlainTextEdit, QTextEdit)
SENT = [
    (prefix, end, flips)
    for prefix, end, flips in product(
        ("", "~", "in7", "]C1"), (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab, None), (False, True)
    )
]
"""What a gun may be set up to send before and after a code, and whether Caps Lock is on."""


class Gunner:
    """Sends keys to whatever window has them, with the times of a clock that the test holds."""

    def __init__(self, start):
        self.start, self.now, self.taken, self.refused = start, 1000, [], []
        self.scanner = start.gun.scanner
        self.scanner._clock = lambda event: self.now
        self.scanner._timer.timeout.disconnect()  # time passes by the test's clock alone, however busy the machine is
        self.scanner._beep = lambda: None
        self.scanner.scanned.connect(self.taken.append)
        self.scanner.bad_scan.connect(lambda code, why: self.refused.append(code))

    def scan(self, code, prefix="", end=Qt.Key.Key_Return, flips=False, set_up=True):
        self.scanner.prefix = prefix if set_up else ""
        text = prefix + code
        self.send(text.swapcase() if flips else text, GAP_OF_A_GUN, end)
        self.quiet()

    def send(self, text, gap, end=None):
        for key in (*text, *([] if end is None else [end])):
            self.now += gap
            QTest.keyClick(QGuiApplication.focusWindow() or self.start.window.windowHandle(), key)

    def quiet(self):
        """Lets the time pass in which nothing comes; also that in which the same code twice is one scan."""
        self.scanner._conclude()
        self.now += 3000

    def settle(self, qtbot):
        qtbot.waitUntil(lambda: self.start.jobs.under_way == 0, timeout=20_000)


@pytest.fixture
def gunner(opened):
    opened.window.resize(1366, 768)
    return Gunner(opened)


def with_focus(place):
    """The parts of a place that can have the keys now, in their order."""
    return [
        part
        for part in place.findChildren(QWidget)
        if part.focusPolicy() & Qt.FocusPolicy.TabFocus and part.isVisible() and part.isEnabled()
    ]


def written(place):
    """What stands in the fields of a place; Look up writes the number that was scanned into its own."""
    texts = {}
    for field in (part for kind in FIELDS for part in place.findChildren(kind)):
        texts[field] = field.text() if isinstance(field, QLineEdit) else field.toPlainText()
    return texts


@pytest.mark.parametrize("name", RAIL)
def test_in_every_place_every_ticket_is_taken_and_no_field_is_written_in(gunner, filled, qtbot, name):
    start, ways, scans = gunner.start, cycle(SENT), 0
    place, codes = start.places[name], [number.barcode(1) for number in filled]
    start.window.show_place(name)
    gunner.settle(qtbot)
    parts = with_focus(place) or [place]
    first_field = next((part for part in parts if isinstance(part, QLineEdit)), parts[0])
    for part, (prefix, end, flips) in [*((part, next(ways)) for part in parts), *((first_field, way) for way in SENT)]:
        start.window.show_place(name)
        part.setFocus()
        before = written(place)
        scans += 1
        code = codes[scans % 2]
        gunner.scan(code, prefix, end, flips, set_up=scans % 3 > 0 or prefix in ("~", "in7"))
        assert [taken.upper().removeprefix("]C1") for taken in gunner.taken[scans - 1 :]] == [code], (part, prefix, end)
        after = written(place)
        if name == LOOK_UP:
            shown = filled[scans % 2].shown
            assert place.field.text() == shown, (part, prefix, end)
            before[place.field] = after[place.field]
        assert {field: text for field, text in after.items() if field in before} == before, (part, prefix, end)
    gunner.settle(qtbot)
    assert len(gunner.taken) == scans >= len(SENT)
    assert gunner.refused == []
    if name not in (HAND_OVER, PARCELS):
        assert start.window.place == LOOK_UP
        assert start.places[LOOK_UP].field.text() == filled[scans % 2].shown


@pytest.mark.parametrize("name", RAIL)
@pytest.mark.sampled(4)
def test_in_every_place_what_is_typed_is_never_a_scan(gunner, filled, qtbot, name, often):
    start, place = gunner.start, gunner.start.places[name]
    for at, end in product(range(often(2)), (None, Qt.Key.Key_Return, Qt.Key.Key_Tab)):
        start.window.show_place(name)
        parts = [part for part in with_focus(place) if not isinstance(part, QAbstractButton)] or [place]
        parts[at % len(parts)].setFocus()
        gunner.send(filled[0].barcode(1), GAP_OF_A_TYPIST, end)
        gunner.quiet()
        gunner.settle(qtbot)
        while (dialog := QApplication.activeModalWidget()) is not None:  # what Enter opened
            dialog.close()
        assert (gunner.taken, gunner.refused) == ([], [])


def test_what_is_typed_reaches_its_field_whole(gunner, filled):
    start = gunner.start
    field = start.places[LOOK_UP].field
    start.window.show_place(LOOK_UP)
    gunner.send(filled[0].barcode(1), GAP_OF_A_TYPIST)
    gunner.quiet()
    assert field.text() == filled[0].barcode(1)


@pytest.mark.qt_log_ignore("grabbing the keyboard", extend=True)  # as the screenless platform says of every menu
def test_a_ticket_is_taken_while_a_menu_is_open_and_the_menu_closes(gunner, filled, qtbot):
    start = gunner.start
    menu = start.window.menuBar().actions()[0].menu()
    menu.popup(start.window.mapToGlobal(start.window.rect().center()))
    assert QApplication.activePopupWidget() is menu
    QApplication.processEvents()
    gunner.scan(filled[0].barcode(1))
    assert gunner.taken == [filled[0].barcode(1)]
    assert QApplication.activePopupWidget() is None
    assert start.window.place == LOOK_UP


def test_a_ticket_is_taken_while_a_list_of_practices_hangs_open(gunner, filled, qtbot):
    start = gunner.start
    start.window.show_place("arrivals")
    field = QApplication.focusWidget()
    gunner.send("Ho", GAP_OF_A_TYPIST)
    gunner.quiet()
    gunner.settle(qtbot)
    gunner.scan(filled[0].barcode(1), end=None)
    assert gunner.taken == [filled[0].barcode(1)]
    assert field.text() == "Ho"
    assert start.window.place == LOOK_UP


@pytest.fixture
def keys_dialog(gunner, qtbot):
    """The dialog of the keys, open over the window."""
    gunner.start._keys.action("keys").trigger()
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, QDialog)
    qtbot.waitUntil(lambda: QGuiApplication.focusWindow() is dialog.windowHandle())
    return dialog


def test_a_ticket_scanned_into_a_dialog_is_told_there_and_shown_when_it_closes(gunner, keys_dialog, filled, qtbot):
    start, (first, second) = gunner.start, filled
    for part in with_focus(keys_dialog):
        part.setFocus()
        gunner.scan(first.barcode(1), end=None)
    gunner.scan(second.barcode(1))
    assert keys_dialog.isVisible()
    assert start.window.place != LOOK_UP
    assert keys_dialog.key.keySequence().isEmpty()
    note = keys_dialog.findChild(Words, NOTE)
    assert note.isVisible()
    assert note.text().startswith(f"Ticket {second.shown} was scanned. It is shown when this is closed.")
    keys_dialog.accept()
    qtbot.waitUntil(lambda: start.window.place == LOOK_UP)
    gunner.settle(qtbot)
    assert start.places[LOOK_UP].field.text() == second.shown


def test_what_was_set_aside_waits_for_the_dialog_that_opens_next(gunner, keys_dialog, filled, qtbot):
    start, following = gunner.start, QDialog(gunner.start.window)
    keys_dialog.finished.connect(following.open)
    gunner.scan(filled[0].barcode(1))
    keys_dialog.accept()
    qtbot.waitUntil(lambda: QApplication.activeModalWidget() is following)
    QApplication.processEvents()
    assert start.window.place != LOOK_UP
    following.reject()
    qtbot.waitUntil(lambda: start.window.place == LOOK_UP)


def test_a_dialog_that_asks_for_a_ticket_gets_it(gunner, filled, qtbot):
    class Asking(QDialog):
        def take_code(self, code):
            self.code = code
            return True

    dialog = Asking(gunner.start.window)
    dialog.open()
    qtbot.waitUntil(lambda: QGuiApplication.focusWindow() is dialog.windowHandle())
    gunner.scan(filled[0].barcode(1))
    assert dialog.code == ScanCode("ticket", filled[0].digits, 1)
    dialog.close()
    QApplication.processEvents()
    assert gunner.start.window.place != LOOK_UP


def test_a_bad_scan_in_a_dialog_is_told_in_it(gunner, keys_dialog, filled):
    gunner.scan("260041277601")
    assert keys_dialog.findChild(Words, NOTE).text().startswith("The scan was not taken. ")
    keys_dialog.accept()


@pytest.fixture
def asked(gunner, monkeypatch):
    """What each place was asked to take; none takes it."""
    heard = []
    for name in (PARCELS, HAND_OVER):
        monkeypatch.setattr(
            gunner.start.places[name], "take_code", lambda code, name=name: heard.append((name, code)) or True
        )
    return heard


@pytest.mark.parametrize(
    ("text", "place", "code"),
    [
        (own_code("bench", "Casting"), HAND_OVER, ScanCode("bench", "Casting")),
        (own_code("practice", "MARLOW1"), PARCELS, ScanCode("practice", "MARLOW1")),
        ("RB473124829GB", PARCELS, ScanCode("parcel", "RB473124829GB")),
        ("]c100376104250021234569", PARCELS, ScanCode("parcel", "376104250021234569")),
    ],
)
def test_a_code_goes_to_the_place_that_is_meant(gunner, asked, text, place, code):
    gunner.start.window.show_place(WAITING)
    gunner.scan(text.lower())
    assert asked == [(place, code)]
    assert gunner.start.window.place == place


def test_a_reply_form_goes_to_waiting(gunner, monkeypatch):
    letters = []
    monkeypatch.setattr(gunner.start.places["waiting"], "show_letter", letters.append)
    gunner.scan(reply_number(187))
    assert letters == [187]
    assert gunner.start.window.place == "waiting"


def test_the_place_in_view_is_asked_first(gunner, asked, filled):
    gunner.start.window.show_place(HAND_OVER)
    gunner.scan(filled[0].barcode(1))
    assert asked == [(HAND_OVER, ScanCode("ticket", filled[0].digits, 1))]
    assert gunner.start.window.place == HAND_OVER


def test_any_label_is_taken_while_parcels_are_opened_and_nowhere_else(gunner, asked):
    gunner.start.window.show_place(LOOK_UP)
    gunner.scan("ZZ99-0017/4")
    assert gunner.refused == ["ZZ99-0017/4"]
    gunner.start.window.show_place(PARCELS)
    gunner.scan("ZZ99-0017/4")
    assert asked == [(PARCELS, ScanCode("parcel", "ZZ990017/4"))]


@pytest.fixture
def numbered(gunner):
    """A lab whose boxes have numbers."""
    start, boxes = gunner.start, {"boxes": BoxNumbers(first=1, last=60)}
    start.gun._lab = start.gun._lab.model_copy(update=boxes)
    start._set_desk(replace(start._desk, lab=start._desk.lab.model_copy(update=boxes)))
    return start


def test_the_code_of_a_box_shows_the_job_that_lies_in_it(gunner, numbered, filled, qtbot):
    put_in_box(numbered._desk, 17, ScanCode("ticket", filled[1].digits))
    gunner.scan(own_code("box", "17"))
    qtbot.waitUntil(lambda: numbered.window.place == LOOK_UP)
    gunner.settle(qtbot)
    assert numbered.places[LOOK_UP].field.text() == filled[1].shown


def test_the_code_of_a_free_box_says_so(gunner, numbered, qtbot):
    gunner.scan(own_code("box", "18"))
    qtbot.waitUntil(lambda: numbered.window.news.words.text() == "Box 18 is free: no job lies in it.")


@pytest.fixture
def gun_dialog(gunner, qtbot):
    """The dialog that sets the gun up."""
    gunner.start._keys.action("scanner-gun").trigger()
    dialog = QApplication.activeModalWidget()
    qtbot.waitUntil(lambda: QGuiApplication.focusWindow() is dialog.windowHandle())
    return dialog


@pytest.mark.parametrize("end", [Qt.Key.Key_Return, None])
def test_a_gun_is_set_up_by_scanning_a_ticket(gunner, gun_dialog, filled, end):
    gunner.send("in" + filled[0].barcode(1), GAP_OF_A_GUN, end)
    gunner.quiet()
    assert gun_dialog.field.text() == "in"
    gun_dialog.go_button.click()
    assert gunner.scanner.prefix == "in"
    assert "“in” before each code" in gunner.start.window.news.words.text()
    gunner.start.window.show_place(LOOK_UP)
    gunner.send("in" + filled[1].barcode(1), 90)
    gunner.quiet()
    assert gunner.taken[-1] == filled[1].barcode(1)


@pytest.mark.parametrize("end", [Qt.Key.Key_Return, None])
def test_a_prefix_with_figures_is_learnt_too(gunner, gun_dialog, filled, qtbot, end):
    gunner.send("in7" + filled[0].barcode(1), GAP_OF_A_GUN, end)
    gunner.quiet()
    qtbot.waitUntil(lambda: gun_dialog.field.text() == "in7")
    gun_dialog.reject()


def test_a_gun_that_is_tried_out_is_answered(gunner, gun_dialog, filled):
    gunner.scan(filled[0].barcode(1))
    assert gun_dialog.answer.text() == f"Ticket {filled[0].shown} was read. The gun works."
    gunner.scan("260041277601")
    assert "one digit is wrong" in gun_dialog.answer.text()
    assert gun_dialog.field.text() == ""
    gun_dialog.reject()
