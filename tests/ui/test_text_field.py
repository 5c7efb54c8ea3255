"""A field is as it was: text, cursor, selection, and what Ctrl+Z takes back."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QLineEdit, QPlainTextEdit, QPushButton, QSpinBox

from intake.ui.text_field import as_it_is, text_field


def _text(field):
    return field.toPlainText() if isinstance(field, QPlainTextEdit) else field.text()


@pytest.fixture(params=[QLineEdit, QPlainTextEdit], ids=["line", "page"])
def field(request, qtbot):
    field = request.param()
    qtbot.addWidget(field)
    field.show()
    return field


def test_one_character_is_taken_back_and_what_was_typed_before_stays(field):
    QTest.keyClicks(field, "Jones")
    restore = as_it_is(field)
    QTest.keyClicks(field, "2")
    restore()
    assert _text(field) == "Jones"


def test_undo_takes_back_what_the_person_typed_and_knows_nothing_of_the_scan(field):
    QTest.keyClicks(field, "Jones")
    restore = as_it_is(field)
    QTest.keyClicks(field, "2")
    restore()
    seen = []
    for _ in range(8):
        field.undo()
        seen.append(_text(field))
    assert not any("2" in text for text in seen)
    assert seen[-1] == ""


def test_a_selection_that_the_character_replaced_is_back_and_selected():
    field = QLineEdit("Marlow Dental")
    field.setSelection(0, 6)
    restore = as_it_is(field)
    QTest.keyClicks(field, "2")
    assert field.text() == "2 Dental"
    restore()
    assert (field.text(), field.selectedText()) == ("Marlow Dental", "Marlow")


def test_a_selection_on_a_page_is_back_and_selected():
    page = QPlainTextEdit("Marlow Dental")
    cursor = page.textCursor()
    cursor.setPosition(0)
    cursor.setPosition(6, cursor.MoveMode.KeepAnchor)
    page.setTextCursor(cursor)
    restore = as_it_is(page)
    QTest.keyClicks(page, "2")
    restore()
    assert (page.toPlainText(), page.textCursor().selectedText()) == ("Marlow Dental", "Marlow")


def test_the_cursor_stands_where_it_stood(field):
    QTest.keyClicks(field, "Jones")
    QTest.keyClick(field, Qt.Key.Key_Left)
    restore = as_it_is(field)
    QTest.keyClicks(field, "2")
    restore()
    QTest.keyClicks(field, "!")
    assert _text(field) == "Jone!s"


def test_a_character_that_the_field_refused_is_not_taken_back_twice():
    field = QLineEdit("ab")
    field.setMaxLength(2)
    restore = as_it_is(field)
    QTest.keyClicks(field, "2")
    restore()
    assert field.text() == "ab"


def test_a_field_that_is_gone_is_left_alone(qtbot):
    field = QLineEdit("ab")
    restore = as_it_is(field)
    field.deleteLater()
    with qtbot.waitSignal(field.destroyed):
        pass
    restore()


def test_what_takes_typing_is_known(qtbot):
    combo, box, shut = QComboBox(), QSpinBox(), QLineEdit()
    for widget in (combo, box, shut):
        qtbot.addWidget(widget)
    shut.setReadOnly(True)
    assert text_field(combo) is None
    combo.setEditable(True)
    assert text_field(combo) is combo.lineEdit()
    assert isinstance(text_field(box), QLineEdit)
    assert text_field(shut) is None
    assert text_field(QPushButton()) is None
    assert text_field(None) is None
