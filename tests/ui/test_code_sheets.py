"""Stickers, bench codes and box labels from the menu, by keys and by the gun."""

from dataclasses import replace

import pytest
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QLineEdit

from intake.domain.bench_rules import BoxNumbers
from intake.domain.own_codes import own_code
from tests.ui.test_scanner_everywhere import Gunner
from tests.ui.test_start import begin, filled, folder, lab_in, opened

__all__ = ["begin", "filled", "folder", "opened"]


@pytest.fixture
def dialog_of(opened, qtbot):
    """Opens the dialog of an action."""

    def dialog_of(action):
        opened._keys.action(action).trigger()
        qtbot.waitUntil(lambda: QApplication.activeModalWidget() is not None)
        dialog = QApplication.activeModalWidget()
        qtbot.waitUntil(lambda: QGuiApplication.focusWindow() is dialog.windowHandle())
        return dialog

    return dialog_of


@pytest.fixture
def said(opened, qtbot):
    """Waits until the window says a text."""

    def said(text):
        qtbot.waitUntil(lambda: text in opened.window.news.words.text(), timeout=20_000)

    return said


def test_stickers_are_printed_by_keys(opened, dialog_of, said, folder, type_text, press, qtbot):
    dialog = dialog_of("stickers")
    type_text(dialog, "marlow")
    opened.scanner._last_look.timeout.emit()
    assert dialog.list.currentItem().text() == "Marlowe House Dental Practice  ·  MARLOW1"
    press(dialog, "Alt+S", "Up", "Up")
    with qtbot.waitSignal(opened.code_sheets.issued, timeout=20_000) as printed:
        press(dialog, "Return")
    ((issued,),) = printed.args
    assert (issued.document.kind, issued.document.practice_code) == ("stickers", "MARLOW1")
    assert (issued.document.about, issued.sent) == ({"sheets": 3}, True)
    said(f"Stickers {issued.document.document_id}")


def test_the_arrow_keys_choose_and_what_fits_nothing_prints_nothing(dialog_of, press, type_text, opened):
    dialog = dialog_of("stickers")
    count = dialog.list.count()
    press(dialog, "Down", "Down")
    assert (dialog.list.currentRow(), count > 2) == (2, True)
    type_text(dialog, "qqqq")
    opened.scanner._last_look.timeout.emit()
    assert not dialog.go_button.isEnabled()
    assert dialog.lacks.text() == "No practice of the directory fits."
    press(dialog, "Return")
    assert dialog.isVisible()
    dialog.reject()


def test_a_sticker_that_is_scanned_names_the_practice(opened, dialog_of):
    dialog = dialog_of("stickers")
    Gunner(opened).scan(own_code("practice", "QUILLB2").lower(), end=None)
    assert dialog.field.text() == "QUILLB2"
    assert dialog.list.currentItem().text().endswith("QUILLB2")
    dialog.reject()


def test_the_codes_of_the_benches_are_printed_at_once(opened, said):
    opened._keys.action("bench-codes").trigger()
    said("Bench codes ")


def test_without_numbered_boxes_it_is_said(begin, folder, filled, qtbot):
    start = begin(folder, read_lab=lambda place: lab_in(place).model_copy(update={"boxes": None}))
    qtbot.waitUntil(lambda: start._desk is not None, timeout=20_000)
    start._set_desk(replace(start._desk, lab=start._desk.lab.model_copy(update={"boxes": None})))
    start._keys.action("box-labels").trigger()
    assert "have no numbers" in start.window.news.words.text()
    assert QApplication.activeModalWidget() is None


def test_labels_of_boxes_are_printed_for_those_that_are_asked_for(opened, dialog_of, said, press, type_text):
    opened._set_desk(
        replace(opened._desk, lab=opened._desk.lab.model_copy(update={"boxes": BoxNumbers(first=1, last=60)}))
    )
    dialog = dialog_of("box-labels")
    assert dialog.count.text() == "60 labels"
    type_text(dialog, "31")
    opened.scanner._last_look.timeout.emit()
    dialog.last.setText("30")
    assert not dialog.go_button.isEnabled()
    dialog.last.setText("61")
    assert (dialog.go_button.isEnabled(), dialog.count.text()) == (False, "The boxes are 1 to 60.")
    dialog.last.setText("30")
    press(dialog, "Alt+L", "Up")
    assert dialog.count.text() == "1 label"
    press(dialog, "Return")
    said("Box labels ")


def test_more_sheets_than_can_be_printed_at_once_are_not_asked_for(dialog_of, press):
    dialog = dialog_of("stickers")
    dialog.sheets.setText("51")
    assert (dialog.go_button.isEnabled(), dialog.lacks.text()) == (False, "1 to 50 sheets can be printed at once.")
    press(dialog, "Alt+S", "Down")
    assert dialog.go_button.isEnabled()
    dialog.reject()


@pytest.mark.parametrize("action", ["stickers", "box-labels"])
def test_each_letter_chooses_one_thing_in_the_dialogs(opened, dialog_of, access_keys, action):
    opened._set_desk(
        replace(opened._desk, lab=opened._desk.lab.model_copy(update={"boxes": BoxNumbers(first=1, last=60)}))
    )
    dialog = dialog_of(action)
    assert all(len(words) == 1 for words in access_keys(dialog).values())
    assert all(field.accessibleName() for field in dialog.findChildren(QLineEdit))
    dialog.reject()
