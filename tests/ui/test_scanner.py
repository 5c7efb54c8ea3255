"""A scanner gun beside a typist: real key events, with the times of a clock that the test holds."""

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as examples
from hypothesis import strategies as st
from PySide6.QtCore import QCoreApplication, QElapsedTimer, QEvent, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QKeySequenceEdit,
    QLineEdit,
    QListWidget,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from intake.ui.scanner import Scanner

GOOD, BAD = "260041237601", "260041237602"


SHAPED = "LPRMARLOWO"
"""A sound code without a figure."""


def _refusal(code):
    sound = code.upper().removeprefix("]C1") in (GOOD, SHAPED)
    return None if sound else "Its check digits are wrong. Scan it again."


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
        self.scanner._last_look.timeout.emit()


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


@pytest.mark.parametrize("text", ["260041237601", SHAPED, "hello 12", "UR5 16 26"])
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


@pytest.mark.parametrize("part", ["line", "page", "list", "button"])
@pytest.mark.parametrize("code", [GOOD, SHAPED, SHAPED.lower(), "]C1" + GOOD, "]c1" + GOOD])
def test_a_scan_without_an_end_key_is_taken_when_its_code_is_sound(desk, part, code):
    getattr(desk, part).setFocus()
    desk.keys(code, 5, end=None)
    desk.wait()
    assert desk.heard == [code]
    assert (desk.line.text(), desk.page.toPlainText(), desk.list.currentRow()) == ("", "", 0)


def test_a_scan_without_an_end_key_is_taken_by_itself(desk, qtbot):
    desk.line.setFocus()
    with qtbot.waitSignal(desk.scanner.scanned):
        desk.keys(GOOD, 5, end=None)
    assert desk.line.text() == ""


def test_without_an_end_key_a_code_that_is_not_sound_is_typing(desk):
    desk.line.setFocus()
    desk.keys(BAD, 5, end=None)
    desk.wait()
    assert (desk.heard, desk.line.text()) == ([], BAD)


@pytest.mark.parametrize("gap", [120, 150, 400])
@pytest.mark.parametrize("code", [GOOD, SHAPED])
def test_a_sound_code_that_is_typed_is_never_a_scan(desk, code, gap):
    desk.line.setFocus()
    desk.keys(code, gap, end=None)
    desk.wait()
    assert (desk.heard, desk.line.text()) == ([], code)


def test_what_is_typed_right_after_a_scan_without_an_end_key_stays(desk):
    desk.line.setFocus()
    desk.keys(GOOD, 5, end=None)
    desk.keys("ab", 150, end=None)
    desk.wait()
    assert (desk.heard, desk.line.text()) == ([GOOD], "ab")


@pytest.mark.parametrize("prefix", ["~", "]C1", "in"])
@pytest.mark.parametrize("flips", [False, True])
@pytest.mark.parametrize("end", [Qt.Key.Key_Return, Qt.Key.Key_Tab, None])
@pytest.mark.parametrize("gap", [5, 90])
def test_a_prefix_of_any_length_works_with_caps_lock_and_with_any_end(make, prefix, flips, end, gap):
    desk = make(prefix)
    desk.line.setFocus()
    desk.keys(prefix.swapcase() + SHAPED.swapcase() if flips else prefix + SHAPED, gap, end)
    desk.wait()
    assert desk.heard == [SHAPED.swapcase() if flips else SHAPED]
    assert desk.line.text() == ""


@pytest.mark.parametrize("end", [Qt.Key.Key_Return, None])
@pytest.mark.parametrize("sign", ["~", "#", "%%"])
def test_signs_that_the_gun_sends_and_nobody_set_up_are_left_in_no_field(desk, sign, end):
    desk.line.setFocus()
    desk.keys(sign + GOOD, 5, end)
    desk.wait()
    assert (desk.heard, desk.line.text()) == ([GOOD], "")


def test_a_bad_code_behind_a_prefix_is_told_without_an_end_key_too(make):
    desk = make("~")
    desk.line.setFocus()
    desk.keys("~" + BAD, 90, end=None)
    desk.wait()
    assert (desk.beeps, desk.line.text()) == (1, "")


def test_the_keys_of_a_gun_that_holds_shift_for_capitals_are_one_scan(desk):
    """As a keyboard does, it sends Shift before each capital letter."""
    desk.line.setFocus()
    for sign in SHAPED:
        desk.now += 4
        QTest.keyPress(desk.windowHandle(), Qt.Key.Key_Shift)
        QTest.keyClick(desk.windowHandle(), sign, Qt.KeyboardModifier.ShiftModifier)
        QTest.keyRelease(desk.windowHandle(), Qt.Key.Key_Shift)
    desk.keys("", 4)
    desk.now += 4
    QTest.keyClick(desk.windowHandle(), Qt.Key.Key_Return)
    assert desk.heard == [SHAPED]
    assert desk.line.text() == ""


def test_caps_lock_that_is_pressed_by_the_gun_itself_breaks_no_scan(desk):
    desk.line.setFocus()
    desk.keys(GOOD[:5], 4, end=None)
    QTest.keyClick(desk.windowHandle(), Qt.Key.Key_CapsLock)
    desk.keys(GOOD[5:], 4)
    assert (desk.heard, desk.line.text()) == ([GOOD], "")


@pytest.mark.parametrize("ends", [(Qt.Key.Key_Return, Qt.Key.Key_Return), (Qt.Key.Key_Return, Qt.Key.Key_Tab)])
def test_a_second_end_key_presses_no_button_and_moves_nowhere(desk, qtbot, ends):
    desk.button.setDefault(True)
    desk.button.setFocus()
    with qtbot.assertNotEmitted(desk.button.clicked):
        desk.keys(GOOD, 5, ends[0])
        desk.keys("", 5, ends[1])
    assert desk.heard == [GOOD]
    assert QApplication.focusWidget() is desk.button


def test_an_end_key_that_comes_late_still_belongs_to_the_scan(desk, qtbot):
    desk.line.setFocus()
    desk.keys(GOOD, 5, end=None)
    desk.scanner._last_look.timeout.emit()
    with qtbot.assertNotEmitted(desk.line.returnPressed):
        desk.keys("", 70)
    assert desk.heard == [GOOD]


def test_enter_that_a_person_presses_after_a_scan_is_theirs(desk, qtbot):
    desk.line.setFocus()
    desk.keys(GOOD, 5)
    with qtbot.waitSignal(desk.line.returnPressed):
        desk.keys("", 150)


def test_a_window_that_was_busy_in_the_middle_of_a_scan_loses_nothing(desk):
    """The timer is late, and what was sent meanwhile comes after it, with the times at which the gun sent it."""
    desk.line.setFocus()
    desk.keys(GOOD[:7], 5, end=None)
    busy = QElapsedTimer()
    busy.start()
    while busy.elapsed() < 150:
        pass
    desk.scanner._timer.timeout.emit()
    desk.keys(GOOD[7:], 5)
    assert (desk.heard, desk.line.text()) == ([GOOD], "")


def test_a_scan_goes_on_while_another_window_takes_the_keys(desk, qtbot):
    other = QLineEdit()
    qtbot.addWidget(other)
    desk.line.setFocus()
    desk.keys(GOOD[:5], 5, end=None)
    with qtbot.waitActive(other):
        other.show()
        other.activateWindow()
    for key in (*GOOD[5:], Qt.Key.Key_Return):
        desk.now += 5
        QTest.keyClick(other.windowHandle(), key)
    assert desk.heard == [GOOD]
    assert (desk.line.text(), other.text()) == ("", "")


def test_typing_goes_to_the_window_where_it_began(desk, qtbot):
    other = QLineEdit()
    qtbot.addWidget(other)
    desk.line.setFocus()
    desk.keys("abc", 5, end=None)
    with qtbot.waitActive(other):
        other.show()
        other.activateWindow()
    desk.wait()
    assert (desk.line.text(), other.text()) == ("abc", "")


def test_a_scan_while_a_new_key_is_asked_for_is_no_key(desk, qtbot):
    edit = QKeySequenceEdit(QKeySequence("Ctrl+K"), desk)
    desk.layout().addWidget(edit)
    edit.setFocus()
    desk.keys(GOOD, 5)
    assert desk.heard == [GOOD]
    assert edit.keySequence().toString() == "Ctrl+K"


def test_a_separator_inside_a_barcode_breaks_no_scan(desk):
    desk.line.setFocus()
    desk.keys("0037610425", 4, end=None)
    desk.now += 4
    event = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_BracketRight, Qt.KeyboardModifier.ControlModifier, "\x1d")
    QCoreApplication.sendEvent(desk.windowHandle(), event)
    desk.keys("12345", 4)
    assert desk.heard == [("0037610425\x1d12345", "Its check digits are wrong. Scan it again.")]
    assert desk.line.text() == ""


def test_a_bracket_typed_with_alt_gr_is_part_of_a_scan(desk):
    desk.line.setFocus()
    held = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
    desk.now += 400
    QCoreApplication.sendEvent(desk.windowHandle(), QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_BracketRight, held, "]"))
    desk.keys("C1" + GOOD, 4)
    assert (desk.heard, desk.line.text()) == (["]C1" + GOOD], "")


def test_digits_before_a_number_are_no_typing_but_a_bad_scan(desk):
    desk.line.setFocus()
    desk.keys("N1" + GOOD, 20)
    assert desk.heard == [("N1" + GOOD, "Its check digits are wrong. Scan it again.")]
    assert desk.line.text() == ""
