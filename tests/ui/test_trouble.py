import logging
import sys
import threading

import pytest
from PySide6.QtGui import QGuiApplication

from intake import __version__
from intake.ui.trouble import LastResort, report

PATIENT = "Wilhelmina Testperson"


def _error():
    def deep(patient):
        raise ValueError(f"no such patient: {patient}")

    try:
        try:
            deep(PATIENT)
        except ValueError as first:
            raise RuntimeError(f"while booking {PATIENT}") from first
    except RuntimeError as error:
        return error


@pytest.fixture
def last_resort(qapp, look, monkeypatch):
    last_resort = LastResort(look)
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    last_resort.install()
    yield last_resort
    if last_resort.dialog is not None:
        last_resort.dialog.close()


def test_the_report_has_versions_places_and_causes_and_no_patient():
    text = report(_error())
    assert f"Intake {__version__}" in text
    assert "builtins.RuntimeError" in text
    assert "builtins.ValueError" in text
    assert "test_trouble.py" in text
    assert "in deep" in text
    assert PATIENT not in text
    assert "Testperson" not in text


def test_a_person_sees_a_calm_dialog_and_can_copy_the_report(last_resort):
    error = _error()
    sys.excepthook(type(error), error, error.__traceback__)
    dialog = last_resort.dialog
    assert dialog.isVisible()
    dialog.copy_button.click()
    assert QGuiApplication.clipboard().text() == report(error)
    dialog.close_button.click()
    assert last_resort.dialog is None


def test_a_second_error_opens_no_second_dialog(last_resort):
    last_resort.tell(_error())
    first = last_resort.dialog
    last_resort.tell(_error())
    assert last_resort.dialog is first
    assert first.report.toPlainText().count("builtins.RuntimeError") == 2


def test_an_error_of_another_thread_is_shown_on_the_windows(last_resort, qtbot):
    def fail():
        raise ValueError(PATIENT)

    thread = threading.Thread(target=fail)
    thread.start()
    thread.join()
    qtbot.waitUntil(lambda: last_resort.dialog is not None)
    assert "builtins.ValueError" in last_resort.dialog.report.toPlainText()


def test_it_is_logged(last_resort, caplog):
    with caplog.at_level(logging.ERROR, "intake"):
        last_resort.tell(_error())
    assert [record.exc_info[0] for record in caplog.records] == [RuntimeError]


def test_access_keys_are_unique_in_the_dialog(last_resort, access_keys):
    last_resort.tell(_error())
    assert all(len(words) == 1 for words in access_keys(last_resort.dialog).values())
