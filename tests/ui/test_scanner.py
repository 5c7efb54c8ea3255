"""A scanner gun beside a typist: real key events, with the times of a clock that the test holds."""

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as examples
from hypothesis import strategies as st
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QListWidget, QPlainTextEdit, QPushButton, QVBoxLayout, QWidget

from intake.ui.scanner import Scanner

GOOD, BAD = "260041237601", "260041237602"


def _refusal(code):
    return None if code == GOOD else "Its check digits are wrong. Scan it again."


class Desk(QWidget):
    """A line, a page, a list and a button; and the gun."""

    def __init__(self, prefix=""):
        super().__init__()
        self.line, self.page, self.list = QLineEdit(self), QPlainTextEdit(self), QListWidget(self)
        self.button = QPushButton("Save", self)
        self.list.addItems(["10 Elm", "26 Oak", "30 Ash"])
        self.list.setCurrentRow(0)
        column = QVBoxLayout(self)
        for part in (self.line, self.page, self.list, self.button):
            column.addWidget(part)
        self.now, self.beeps, self.heard = 1000, 0, []
        self.scanner = Scanner(_refusal, prefix, clock=lambda event: self.now, beep=self._beep, parent=self)
        self.scanner.scanned.connect(self._on_scan)
        self.scanner.bad_scan.connect(self._on_bad)

    def _beep(self):
        self.beeps += 1

    def _on_scan(self, code):
        self.heard.append(code)

    def _on_bad(self, code, why):
        self.heard.append((code, why))

    def keys(self, text, gap, end=Qt.Key.Key_Return):
        """Types with this many milliseconds between characters; the end key after as many."""
        for sign in text:
            self.now += gap
            QTest.keyClick(self.windowHandle(), sign)
        if end is not None:
            self.now += gap
            QTest.keyClick(self.windowHandle(), end)

    def wait(self):
        """Lets the time pass after which held characters go to their field."""
        self.now += 1000
        self.scanner._timer.timeout.emit()


@pytest.fixture
def make(qtbot, qapp):
    def make(prefix=""):
        desk = Desk(prefix)
        qtbot.addWidget(desk)
        with qtbot.waitActive(desk):
            desk.show()
            desk.activateWindow()
        desk.scanner.start(qapp)
        return desk

    return make


@pytest.fixture
def desk(make):
    return make()


@pytest.mark.parametrize("end", [Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab], ids=["CR", "Enter", "TAB"])
@pytest.mark.parametrize("part", ["line", "page", "list", "button"])
@pytest.mark.parametrize("gap", [0, 5, 50])
def test_a_scan_works_whatever_has_the_focus(desk, part, gap, end):
    focused = getattr(desk, part)
    focused.setFocus()
    desk.keys(GOOD, gap, end)
    assert desk.heard == [GOOD]
    assert QApplication.focusWidget() is focused


def test_a_scan_leaves_no_character_in_a_line(desk):
    desk.line.setFocus()
    desk.keys("Jones", 150, end=None)
    desk.now += 400
    desk.keys(GOOD, 5)
    assert desk.line.text() == "Jones"
    desk.line.undo()
    assert "2" not in desk.line.text()


def test_a_scan_leaves_no_character_on_a_page_nor_a_line_break(desk):
    desk.page.setFocus()
    desk.keys("Two lines", 150)
    desk.now += 400
    desk.keys(GOOD, 5)
    assert desk.page.toPlainText() == "Two lines\n"


def test_a_scan_leaves_the_choice_of_a_list_alone(desk):
    desk.list.setFocus()
    desk.keys(GOOD, 5)
    assert desk.list.currentRow() == 0


def test_a_scan_presses_no_button(desk, qtbot):
    desk.button.setDefault(True)
    desk.button.setFocus()
    with qtbot.assertNotEmitted(desk.button.clicked):
        desk.keys(GOOD, 5)


@pytest.mark.parametrize("text", ["260041237601", "hello 12", "UR5 16 26"])
def test_typing_at_150_ms_a_character_with_enter_is_never_a_scan(desk, qtbot, text):
    desk.line.setFocus()
    with qtbot.waitSignal(desk.line.returnPressed):
        desk.keys(text, 150)
    assert desk.heard == []
    assert desk.line.text() == text


@examples(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(typed=st.lists(st.tuples(st.sampled_from("0123456789abcXYZ -.,"), st.integers(0, 400)), min_size=1, max_size=20))
def test_whatever_is_typed_arrives_whole_and_in_order(desk, typed):
    """Any rhythm, with rolls faster than a gun: without an end key nothing may be lost."""
    desk.line.clear()
    desk.line.setFocus()
    for sign, gap in typed:
        desk.keys(sign, gap, end=None)
    desk.wait()
    assert desk.line.text() == "".join(sign for sign, _ in typed)
    assert desk.heard == []


def test_a_fast_short_entry_with_enter_is_typing(desk, qtbot):
    """“16” and Enter rolled on a number pad."""
    desk.line.setFocus()
    with qtbot.waitSignal(desk.line.returnPressed):
        desk.keys("16", 20)
    assert desk.line.text() == "16"
    assert desk.heard == []


def test_fast_words_without_a_figure_are_typing(desk):
    desk.line.setFocus()
    desk.keys("retainer", 10)
    assert desk.line.text() == "retainer"
    assert desk.heard == []


def test_a_key_that_is_held_down_is_typing(desk):
    from PySide6.QtCore import QCoreApplication, QEvent
    from PySide6.QtGui import QKeyEvent

    desk.line.setFocus()
    no = Qt.KeyboardModifier.NoModifier
    for at in range(9):
        desk.now += 30
        event = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_0, no, "0", autorep=at > 0)
        QCoreApplication.sendEvent(desk.windowHandle(), event)
    desk.keys("", 30)
    assert desk.line.text() == "000000000"
    assert desk.heard == []


def test_a_bad_scan_says_so_by_sound_and_text_and_changes_nothing(desk):
    desk.line.setFocus()
    desk.keys("Jones", 150, end=None)
    desk.now += 400
    desk.keys(BAD, 5)
    assert desk.beeps == 1
    assert desk.heard == [(BAD, "Its check digits are wrong. Scan it again.")]
    assert desk.line.text() == "Jones"


def test_a_good_scan_makes_no_sound(desk):
    desk.line.setFocus()
    desk.keys(GOOD, 5)
    assert desk.beeps == 0


def test_the_same_code_twice_within_2_seconds_is_one_scan(desk):
    desk.line.setFocus()
    desk.keys(GOOD, 5)
    desk.now += 500
    desk.keys(GOOD, 5)
    assert desk.heard == [GOOD]
    assert desk.line.text() == ""
    desk.now += 2100
    desk.keys(GOOD, 5)
    assert desk.heard == [GOOD, GOOD]


def test_a_prefix_lets_a_slow_gun_through_and_is_no_part_of_the_code(make):
    desk = make(prefix="~")
    desk.line.setFocus()
    desk.keys("~" + GOOD, 90)
    assert desk.heard == [GOOD]
    assert desk.line.text() == ""


def test_the_prefix_typed_by_hand_is_a_character(make):
    desk = make(prefix="~")
    desk.line.setFocus()
    desk.keys("~5 mm", 150, end=None)
    desk.wait()
    assert desk.line.text() == "~5 mm"


def test_with_a_prefix_typing_at_150_ms_is_still_never_a_scan(make):
    desk = make(prefix="~")
    desk.line.setFocus()
    desk.keys("~" + GOOD, 150)
    assert desk.heard == []
    assert desk.line.text() == "~" + GOOD


def test_held_characters_go_to_their_field_by_themselves(desk, qtbot):
    desk.line.setFocus()
    desk.keys("26", 5, end=None)
    qtbot.waitUntil(lambda: desk.line.text() == "26")


def test_a_key_of_editing_ends_a_burst_in_order(desk):
    desk.line.setFocus()
    desk.keys("267", 5, end=None)
    desk.now += 5
    QTest.keyClick(desk.windowHandle(), Qt.Key.Key_Backspace)
    assert desk.line.text() == "26"


def test_a_scan_works_in_a_window_that_opens_later(desk, qtbot):
    other = QLineEdit()
    qtbot.addWidget(other)
    with qtbot.waitActive(other):
        other.show()
        other.activateWindow()
    for sign in GOOD:
        desk.now += 5
        QTest.keyClick(other.windowHandle(), sign)
    QTest.keyClick(other.windowHandle(), Qt.Key.Key_Return)
    assert desk.heard == [GOOD]
    assert other.text() == ""


@pytest.mark.parametrize("part", ["line", "page"])
def test_letters_typed_just_before_the_gun_began_stay_and_the_number_is_taken(desk, part):
    getattr(desk, part).setFocus()
    desk.keys("Dr ", 150, end=None)
    desk.wait()
    desk.keys("No" + GOOD, 20)
    assert desk.heard == [GOOD]
    text = desk.line.text() if part == "line" else desk.page.toPlainText()
    assert text == "Dr No"


def test_digits_before_a_number_are_no_typing_but_a_bad_scan(desk):
    desk.line.setFocus()
    desk.keys("N1" + GOOD, 20)
    assert desk.heard == [("N1" + GOOD, "Its check digits are wrong. Scan it again.")]
    assert desk.line.text() == ""
