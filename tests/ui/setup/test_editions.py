"""Lab setup by keys: changed, put in force with a word on why, compared, put back; nothing is lost."""

from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from intake.desk.lab_setup import editions
from intake.desk.setup_drafts import kept_draft
from intake.setup.reading import read_setup
from intake.ui.setup.in_force_dialog import InForceDialog


def slack(person, days):
    person.draft.put(("deadlines", "slack_days"), days)
    return person.wait()


def dialog_of(person):
    person.wait()
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, InForceDialog), person.news
    return dialog


def answer(person, *names, typed=""):
    """Types into the dialog, and comes back to the window, which no window manager does here."""
    dialog = dialog_of(person)
    for sign in typed:
        QTest.keyClick(dialog.windowHandle(), sign)
    for name in names:
        QTest.keyClick(dialog.windowHandle(), QKeySequence(name)[0].key())
    person.wait()
    person.window.activateWindow()
    return person.wait()


def in_force(person, days, why=""):
    """Changes a number of days and puts it in force by keys."""
    slack(person, days).press("Ctrl+Return")
    answer(person, "Return", typed=why)
    person.place.set_desk(person.in_force[-1])
    return person.wait()


@pytest.fixture
def person(open_setup):
    return open_setup("setup-editions")


def test_a_changed_setup_is_put_in_force_with_what_changes_and_a_word_on_why(person, desk, in_file, tmp_path):
    assert person.place.said.text() == "As it is in force."
    slack(person, 3)
    assert person.place.said.text() == "Changed, and not in force yet."
    person.press("Ctrl+Return")
    dialog = dialog_of(person)
    assert dialog.differences.toPlainText() == "Deadlines, slack days: 2 → 3"
    answer(person, "Return", typed="winter")
    assert [(row.edition, row.source, row.note, row.who) for row in editions(desk)] == [(1, "window", "winter", "AB")]
    assert read_setup(tmp_path / "setup.toml").deadlines.slack_days == 3
    assert "# fewer spare working days than these are called tight" in in_file()
    assert person.in_force[0].lab.deadlines.slack_days == 3
    assert person.in_force[0].edition == 1
    assert person.place.said.text() == "As it is in force."


def test_editions_are_compared_and_an_older_one_is_put_back_and_the_way_back_is_one_key(person, desk, tmp_path):
    for days, why in ((3, "winter"), (4, "more of it")):
        in_force(person, days, why)
    page = person.page
    assert [page.list.item(at).text().split("\n")[1] for at in range(page.list.count())] == ["More of it", "Winter"]
    assert page.found.toPlainText() == "Deadlines, slack days: 3 → 4"
    person.press("Down")
    assert page.found.toPlainText().startswith("This is the first edition")
    person.press("Ctrl+B")
    answer(person, "Return")
    newest = editions(desk)[0]
    assert (newest.edition, newest.source, newest.of, newest.note) == (3, "put-back", 1, "Edition 1 put back")
    assert read_setup(tmp_path / "setup.toml").deadlines.slack_days == 3
    person.press("F8")
    assert editions(desk)[0].of == 2
    assert read_setup(tmp_path / "setup.toml").deadlines.slack_days == 4


def test_what_is_left_as_it_was_comes_back_by_one_key_and_so_does_each_change(person):
    slack(person, 3)
    slack(person, 5)
    person.press("F8")
    assert person.draft.lab.deadlines.slack_days == 3
    person.press("Ctrl+Shift+X")
    assert not person.draft.is_changed
    person.press("F8")
    assert person.draft.lab.deadlines.slack_days == 3


def test_what_is_wrong_is_told_with_its_line_and_cannot_be_put_in_force(person):
    person.draft.put(("types", 0, "category"), "bleaching")
    person.press("Ctrl+Return")
    assert QApplication.activeModalWidget() is None
    assert person.place.said.text().startswith("Line ")
    assert "there is no category “bleaching”" in person.place.said.text()
    assert "there is no category “bleaching”" in person.page.found.toPlainText()


def test_a_setup_of_another_place_is_taken_into_the_draft_or_refused_with_its_lines(person, tmp_path):
    other = tmp_path / "other.toml"
    text = person.draft.text
    other.write_text(text.replace(person.draft.lab.name, "Harbour Road Laboratory"), encoding="utf-8")
    person.page.take_file(str(other))
    person.wait()
    assert person.draft.lab.name == "Harbour Road Laboratory"
    assert "It is the setup of “Harbour Road Laboratory”" in person.news
    person.press("Ctrl+Return")
    assert dialog_of(person).differences.toPlainText().endswith(" → Harbour Road Laboratory")
    answer(person, "Escape")
    other.write_text(text.replace('format = "intake-lab/1"', 'format = "intake-lab/2"'), encoding="utf-8")
    person.page.take_file(str(other))
    person.wait()
    assert "that of another version of Intake; this one reads “intake-lab/1”" in person.page.found.toPlainText()
    kept = tmp_path / "kept.toml"
    person.page.write_file(None, str(kept))
    person.wait()
    assert kept.read_text(encoding="utf-8") == person.draft.text


def test_a_changed_setup_survives_the_end_of_the_program(open_setup, desk, qtbot):
    person = open_setup("setup-editions")
    slack(person, 3)
    timer = person.place.keeping.findChild(QTimer)
    assert timer.isActive()
    timer.timeout.emit()
    person.wait()
    assert "slack_days = 3" in kept_draft(desk).text
    again = open_setup("setup-editions")
    assert again.draft.lab.deadlines.slack_days == 3
    assert again.news.startswith("What was being changed in Lab setup when Intake ended is back there")
    again.press("F8")
    again.place.keeping.keep_now()
    again.wait()
    assert kept_draft(desk) is None


def test_what_another_desk_put_in_force_meanwhile_is_told_before_it_is_taken_back(person, desk, open_setup):
    slack(person, 3)
    other = Path(desk.folder / "other")
    other.mkdir()
    from dataclasses import replace

    from intake.desk.lab_setup import put_in_force

    text = person.draft.text.replace("transit_days = 1", "transit_days = 2").replace("slack_days = 3", "slack_days = 2")
    put_in_force(replace(desk, folder=other, person="CD"), text, "", None)
    person.press("Ctrl+Return")
    shown = dialog_of(person).differences.toPlainText()
    assert "Deadlines, transit days: 2 → 1" in shown
    answer(person, "Return")
    assert editions(desk)[0].edition == 2
