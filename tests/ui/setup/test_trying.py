"""Trying a changed rule book by keys: what it would have done to the cases that are booked, before it counts."""

import pytest
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from intake.desk.book_in import book
from intake.ui.setup.rules.trying import SAME, TryDialog
from tests.desk.desks import day_case


@pytest.fixture
def person(open_setup, desk):
    for name in ("02", "36", "40", "51"):
        book(desk, day_case(name), f"form-{name}")
    return open_setup("setup-rules")


def softer(person, name="bite-record", level="asks"):
    """The draft with another level of each rule of a name."""

    def change(text):
        for at, rule in enumerate(text.get(("rules",))):
            if rule["id"] == name:
                text.put(("rules", at, "level"), level)

    person.draft.change(change)


def try_it(person, *keys):
    person.press("F7")
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, TryDialog)
    for key in (*keys, "Return"):
        pressed = QKeySequence(key)[0]
        QTest.keyClick(dialog.windowHandle(), pressed.key(), pressed.keyboardModifiers())
    person.wait()
    return dialog


def lines(dialog):
    return [dialog.cases.index(row, 0).data() for row in range(dialog.cases.rowCount())]


def test_what_would_no_longer_be_held_is_shown_case_by_case_with_the_reason(person, desk):
    softer(person)
    dialog = try_it(person)
    assert dialog.said.text().startswith(
        "4 cases booked from Tue 25 Aug 2026 to Wed 25 Nov 2026: of 3 it says the same,"
    )
    (line,) = lines(dialog)
    number = desk.store.read.jobs_of(1)[0].number
    shown = f"{number[:2]} {number[2:-2]} {number[-2:]}"
    assert line.startswith(f"{shown}   held → clear   D.W.   Wed 25 Nov 2026   Quillbury Street Surgery")
    assert "Asks: " in line
    assert "No longer stops: " in line
    assert desk.store.read.case(1).version == 1, "nothing is written"
    assert [dialog.kinds.itemText(row) for row in range(dialog.kinds.count())] == [
        "1 case: all that would be otherwise",
        "1 would no longer be held",
        "1 would be asked about something more",
    ]
    dialog.reject()


def test_the_kinds_of_change_are_listed_each_for_itself(person):
    softer(person, "thickness", "warns")
    dialog = try_it(person)
    assert len(lines(dialog)) == 3
    kinds = [dialog.kinds.itemText(row) for row in range(dialog.kinds.count())]
    assert kinds[1:] == [
        "1 would no longer be held",
        "2 would no longer be asked about something",
        "3 would carry another caution",
    ]
    dialog.kinds.setCurrentIndex(1)
    assert ["held → clear" in line for line in lines(dialog)] == [True]
    dialog.reject()


def test_where_nothing_that_judges_is_changed_that_is_said(person):
    dialog = try_it(person)
    assert dialog.said.text() == SAME
    assert not dialog.list.isVisible()
    dialog.reject()


def test_months_that_cannot_be_are_said_and_esc_leaves(person):
    softer(person)
    dialog = try_it(person, "9", "9")
    assert dialog.said.text() == "Write a number of months from 1 to 60."
    QTest.keyClick(dialog.windowHandle(), QKeySequence("Esc")[0].key())
    person.wait()
    assert QApplication.activeModalWidget() is None


def test_esc_stops_what_runs_and_what_was_looked_at_until_then_is_shown(person):
    softer(person)
    person.press("F7")
    dialog = QApplication.activeModalWidget()
    QTest.keyClick(dialog.windowHandle(), QKeySequence("Return")[0].key())
    assert dialog.progress.running
    QTest.keyClick(dialog.windowHandle(), QKeySequence("Esc")[0].key())
    person.wait()
    assert dialog.isVisible(), "Esc stopped the trial, and leaves when it is pressed again"
    assert not dialog.progress.running
    assert dialog.said.text()
    dialog.reject()
