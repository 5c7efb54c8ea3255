"""Trying a changed rule book by keys: what it would have done to the cases that are booked, before it counts."""

import pytest
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from intake.desk.book_in import book
from intake.domain.job_number import JobNumber
from intake.ui.setup.rules.trying import SAME, SLOW, WRONG_MONTHS, TryDialog
from tests.desk.desks import day_case


@pytest.fixture
def person(open_setup, desk):
    for name in ("02", "36", "40", "51"):
        book(desk, day_case(name), f"form-{name}")
    return open_setup("setup-rules")


def change_level(person, name, level):
    """The draft with another level of each rule of a name."""

    def change(text):
        for at, rule in enumerate(text.get(("rules",))):
            if rule["id"] == name:
                text.put(("rules", at, "level"), level)

    person.draft.change(change)


def opened(person):
    person.press("F7")
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, TryDialog)
    return dialog


def press(dialog, *keys):
    for key in keys:
        pressed = QKeySequence(key)[0]
        QTest.keyClick(dialog.windowHandle(), pressed.key(), pressed.keyboardModifiers())


def try_it(person, *keys):
    dialog = opened(person)
    press(dialog, *keys, "Return")
    person.wait()
    return dialog


def lines(dialog):
    return [dialog.cases.index(row, 0).data() for row in range(dialog.cases.rowCount())]


def kinds(dialog):
    return [dialog.kinds.itemText(row) for row in range(dialog.kinds.count())]


def test_what_would_no_longer_be_held_is_shown_case_by_case_with_the_reason(person, desk):
    change_level(person, "bite-record", "asks")
    dialog = try_it(person)
    assert dialog.said.text() == (
        "4 cases booked from Tue 25 Aug 2026 to Wed 25 Nov 2026: it says something else of 1, and the same of 3."
    )
    number = JobNumber(desk.store.read.jobs_of(1)[0].number).shown
    assert lines(dialog) == [
        f"{number}   D.W.   Wed 25 Nov 2026   Quillbury Street Surgery. held → clear. Bite record: stops → asks"
    ]
    assert kinds(dialog) == ["All 1 case", "1 would no longer be held", "1 would be asked something more"]
    why = dialog.reasons.toPlainText().split("\n")
    assert why[0] == "It is held, and would be clear."
    assert why[1].startswith("This would be asked; now the work waits for it: ")
    assert "Please send a bite record" in why[1]
    assert dialog.list.hasFocus(), "the arrow keys go on from here"
    press(dialog, "Return")
    assert not dialog.progress.running, "whoever reads on does not begin anew"
    assert desk.store.read.case(1).version == 1, "nothing is written"
    press(dialog, "Esc")
    person.wait()
    assert QApplication.activeModalWidget() is None


def test_each_kind_of_change_is_listed_for_itself_and_each_case_tells_why(person):
    change_level(person, "thickness", "warns")
    dialog = try_it(person)
    assert kinds(dialog) == [
        "All 3 cases",
        "1 would no longer be held",
        "2 would no longer be asked something",
        "3 would carry a caution more",
    ]
    first = dialog.reasons.toPlainText()
    press(dialog, "Down")
    person.wait()
    assert dialog.reasons.toPlainText() != first
    press(dialog, "Shift+Tab")
    assert dialog.kinds.hasFocus()
    press(dialog, "Down")
    person.wait()
    assert ["held → clear" in line for line in lines(dialog)] == [True]
    assert dialog.reasons.toPlainText().startswith("It is held, and would be clear.")
    dialog.reject()


def test_where_nothing_that_judges_is_changed_that_is_said(person):
    dialog = try_it(person)
    assert dialog.said.text() == SAME
    assert not dialog.list.isVisible()
    dialog.reject()


def test_other_dates_are_tried_too_and_a_draft_that_cannot_be_read_is_said(person):
    person.draft.put(("deadlines", "transit_days"), 9)
    person.draft.put(("deadlines", "slack_days"), -1)
    dialog = opened(person)
    assert dialog.said.text().startswith("The changed setup cannot be read as it stands")
    press(dialog, "Return")
    person.wait()
    assert dialog.said.text().endswith(SLOW)
    assert any("Appointment feasible: nothing → " in line for line in lines(dialog))
    dialog.reject()


def test_months_that_cannot_be_are_said_and_esc_leaves(person):
    change_level(person, "bite-record", "asks")
    dialog = try_it(person, "9", "9")
    assert dialog.said.text() == WRONG_MONTHS
    press(dialog, "Esc")
    person.wait()
    assert QApplication.activeModalWidget() is None


def test_esc_stops_what_runs_and_only_then_leaves(person):
    change_level(person, "bite-record", "asks")
    dialog = opened(person)
    press(dialog, "Return")
    assert dialog.progress.running
    press(dialog, "Esc")
    person.wait()
    assert dialog.isVisible()
    assert not dialog.progress.running
    assert dialog.said.text()
    press(dialog, "Esc")
    person.wait()
    assert QApplication.activeModalWidget() is None
