"""Parcels on a small screen, at every size of text, light and dark; its keys, its names and its help."""

from collections import Counter

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QLineEdit

from intake.desk.parcels import NewContent, NewParcel, open_parcel
from intake.ui.help_panel import NO_HELP, help_of
from tests.ui.parcels.conftest import LABEL
from tests.ui.sizes import SIZES

LONG = "Fernhallow and Greater Quillbury Community Dental and Orthodontic Care Centre"
CONTENTS = (NewContent("case", "J. T."), NewContent("repair"), NewContent("other", note="a long letter about nothing"))


def inside(person, part):
    """Whether a part is cut off at the right, and its words fit it."""
    right = part.mapTo(person.parcels, part.rect().topRight()).x()
    return right <= person.parcels.width() and part.width() >= min(part.minimumSizeHint().width(), part.width())


def check(person):
    QApplication.processEvents()
    assert (person.window.width(), person.window.height()) == (1366, 768)
    parts = [*person.parcels.findChildren(QAbstractButton), *person.parcels.findChildren(QLineEdit)]
    for part in (each for each in parts if each.isVisible()):
        assert inside(person, part), part
        assert part.height() >= 24, "targets of 24 x 24 at least: WCAG 2.2, 2.5.8"
        if isinstance(part, QAbstractButton) and part.text():
            assert part.width() >= part.sizeHint().width(), part.text()
    for page in (person.parcels.form, person.parcels.card, person.parcels.stop):
        if page.isVisible():
            assert page.horizontalScrollBar().maximum() == 0
            assert page.widget().width() <= page.viewport().width()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("scale", SIZES)
@pytest.mark.sampled(3)
def test_nothing_is_cut_off_at_1366_by_768(open_person, desk, scale, scheme, statement):
    open_parcel(desk, NewParcel("A1", practice=LONG, seen=("crushed", "blood"), contents=CONTENTS))
    open_parcel(desk, NewParcel("A2", practice=LONG, contents=(NewContent("danger"),)))
    person = open_person(desk, scale=scale, scheme=scheme)
    check(person)
    person.scan("parcel", LABEL)
    person.scan("practice", statement.code)
    person.press("1", "2", "3", "W", "C", "T", "B", "U")
    check(person)
    person.press("F6")
    check(person)
    person.press("Return")
    assert person.page == "stop"
    check(person)
    person.press("F6", "Down", "Return")
    assert person.page == "card"
    check(person)


@pytest.mark.parametrize("scale", SIZES)
def test_whatever_has_the_keys_is_in_sight(open_person, desk, scale):
    person = open_person(desk, scale=scale)
    person.scan("practice", "MARLOW1")
    person.press("1", "2", "C")
    person.press("Alt+L")
    for _ in range(30):
        at = QApplication.focusWidget()
        if person.form.isAncestorOf(at):
            top = at.mapTo(person.form.viewport(), at.rect().topLeft()).y()
            assert top >= 0, at.accessibleName()
            assert top + at.height() <= person.form.viewport().height(), at.accessibleName()
        person.press("Tab")


def test_tab_goes_through_the_form_in_the_order_of_the_page_and_back(person):
    person.scan("practice", "MARLOW1")
    person.press("2", "3", "C", "Alt+L")
    seen = []
    while not seen or QApplication.focusWidget() is not person.form.label.edit:
        at = QApplication.focusWidget()
        if person.form.isAncestorOf(at):
            place = at.mapTo(person.form.widget(), at.rect().topLeft())
            seen.append((at, place.y() // 12, place.x()))
        person.press("Tab")
        assert len(seen) < 60
    order = [part for part, _, _ in seen]
    assert [part for part, *_ in sorted(seen, key=lambda each: each[1:])] == order
    person.press("Shift+Tab")
    assert QApplication.focusWidget() is not person.form.label.edit


def test_where_there_is_no_room_list_and_card_take_turns(open_person, desk):
    open_parcel(desk, NewParcel("A1", practice="MARLOW1", contents=CONTENTS))
    person = open_person(desk, scale=200)
    assert not person.parcels.list.isVisible()
    person.press("F6")
    assert person.parcels.list.list.hasFocus()
    assert not person.parcels.card.isVisible()
    person.press("Return")
    assert person.parcels.card.isVisible()
    assert not person.parcels.list.isVisible()
    person.press("Esc")
    assert person.page == "form"
    assert person.parcels.form.isVisible()


def test_access_keys_are_unique_on_every_page(person, desk):
    open_parcel(desk, NewParcel("A2", practice="MARLOW1", contents=(NewContent("danger"),)))
    person.parcels.read_again()
    person.wait()

    def twice():
        parts = [label for label in person.window.findChildren(QLabel) if label.buddy() is not None]
        parts += person.window.findChildren(QAbstractButton)
        words = [part.text() for part in parts if part.isVisible()]
        words += [action.text() for action in person.window.menuBar().actions()]
        letters = [key for each in words if (key := QKeySequence.mnemonic(each).toString())]
        return [letter for letter, count in Counter(letters).items() if count > 1]

    person.scan("practice", "MARLOW1")
    person.press("C")
    assert person.form.accepted.isVisible()
    assert twice() == []
    person.press("F6", "Return")
    assert person.page == "stop"
    assert twice() == []


def test_everything_that_takes_the_keys_has_a_name_and_help(person, desk):
    person.scan("practice", "MARLOW1")
    person.press("C", "Alt+L")
    for _ in range(40):
        at = QApplication.focusWidget()
        if person.parcels.isAncestorOf(at) and not (isinstance(at, QAbstractButton) and "Ctrl" in at.text()):
            name, text = help_of(at)
            assert at.accessibleName(), at
            assert text != NO_HELP, (name, at)
        person.press("Tab")


def test_a_row_of_the_list_says_in_words_what_it_shows(person, desk):
    open_parcel(desk, NewParcel(LABEL, practice="MARLOW1", contents=(NewContent("danger"),)))
    person.parcels.read_again()
    person.wait()
    said = person.parcels.list.model.index(0, 0).data(Qt.ItemDataRole.AccessibleTextRole)
    for words in ("STOPPED", "Marlowe House Dental Practice", LABEL, "Signed-for post", "Wed 25 Nov 2026"):
        assert words in said


def test_text_from_outside_is_shown_as_it_is_written(person, desk):
    wild = "<b>bold</b> & <img src=x>"
    open_parcel(desk, NewParcel(wild, practice=wild, note=wild, seen=("wet",), contents=(NewContent("case", wild),)))
    person.parcels.read_again()
    person.wait().press("F6", "Return")
    for label in person.parcels.findChildren(QLabel):
        assert label.textFormat() == Qt.TextFormat.PlainText
    assert wild in person.parcels.card.things.item(0).text()


def test_the_list_holds_as_a_model(qtmodeltester, person, desk):
    for label in ("A1", "A2", "A3"):
        open_parcel(desk, NewParcel(label, contents=CONTENTS))
    person.parcels.read_again()
    person.wait()
    qtmodeltester.check(person.parcels.list.model)
    assert len(person.lines) == 3
