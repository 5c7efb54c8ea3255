"""The page People by keys: somebody is entered, gets a PIN, changes; the rules of signing in go into the draft."""

from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from intake.desk.people import people
from intake.ui.pin_dialog import PinDialog


def enter(person, initials, name, *role):
    return person.press("Ctrl+N").type(initials).press("Tab").type(name).press("Tab", *role, "Return")


def give_pin(person, pin, again=None):
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, PinDialog)
    for text in (pin, again or pin):
        for sign in text:
            QTest.keyClick(dialog.windowHandle(), sign)
        QTest.keyClick(dialog.windowHandle(), QKeySequence("Return")[0].key())
    return person.wait()


def test_a_lead_is_entered_and_gets_the_first_pin_and_the_desk_hears_of_it(open_setup, desk):
    person, heard = open_setup("setup-people"), []
    person.place.people_changed.connect(heard.append)
    assert person.page.told.text().startswith("Nobody has to sign in as long as nobody has a PIN")
    enter(person, "hw", "Hilde Warrender", "Down")
    assert person.page.list.item(0).text() == "HW  ·  Hilde Warrender  ·  lead  ·  no PIN yet"
    person.press("Space")  # the keys are on the button for the PIN
    give_pin(person, "1234")
    dialog = QApplication.activeModalWidget()
    assert dialog.refused.text() == "This PIN is guessed first. Choose another."
    give_pin(person, "4711")
    assert QApplication.activeModalWidget() is None
    assert person.page.list.item(0).text().endswith("PIN")
    assert person.page.told.text().startswith("Whoever works at the desk signs in by initials and PIN")
    assert [each.initials for each in heard[-1].people] == ["HW"]
    assert people(desk)[0].has_pin


def test_what_cannot_be_is_said_beside_the_form_and_stays_typed(open_setup):
    person = open_setup("setup-people")
    enter(person, "hw", " ")
    assert person.page.wrong.text() == "Give the name beside the initials."
    assert person.page.initials.text() == "hw"
    person.press("Esc")
    assert person.page.initials.text() == ""


def test_who_leaves_works_here_no_more_and_undo_brings_them_back(open_setup, desk, qtbot):
    person = open_setup("setup-people")
    enter(person, "JT", "Jun Tanaka")
    person.press("Alt+K")
    qtbot.waitUntil(lambda: not person.page.active.isChecked())
    person.press("Return")
    assert person.page.list.item(0).text() == "JT  ·  Jun Tanaka  ·  desk  ·  works here no more"
    person.press("F8")
    assert people(desk)[0].active


def test_the_rules_of_signing_in_go_into_the_draft(open_setup, qtbot):
    person = open_setup("setup-people")
    person.press("Alt+L").press("Ctrl+A").type("10").press("Return")
    assert person.draft.lab.people.lock_minutes == 10
    person.press("Ctrl+A").type("5000").press("Return")
    assert person.page.rules.wrong.text() == "Write a number from 0 to 1440."
    assert person.draft.lab.people.lock_minutes == 10
    person.press("Alt+M")
    qtbot.waitUntil(lambda: "merge" not in person.draft.lab.people.lead_only)
    assert "lock_minutes = 10" in person.draft.text
