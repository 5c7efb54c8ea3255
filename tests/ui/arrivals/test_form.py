"""The form, line by line of what a person may expect of it."""

import itertools

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QPlainTextEdit

from intake.ui.help_panel import help_of
from tests.ui.sizes import SIZES


def test_the_tab_key_goes_by_the_paper_and_back_the_same_way(person):
    person.press("Alt+A").type("hs u").press("Alt+P")
    forth = []
    for _ in person.form.places:
        forth.append(person.at)
        person.press("Tab")
    assert forth == list(person.form.places)
    back = []
    for _ in person.form.places:
        person.press("Shift+Tab")
        back.append(person.at)
    assert back == forth[::-1]


def test_enter_goes_on_to_what_matters_and_passes_what_may_stay_empty(person):
    person.type("qua").press("Return")
    assert person.at == "patient.label"
    person.type("JT").press("Return")
    assert person.at == "appliances[0]"
    person.type("ret u 1").press("Return")
    assert person.at == "items"
    person.type("u").press("Return")
    assert person.at == "hygiene"
    person.type("d").press("Return")
    assert person.at == "appointment"


def test_the_only_prescriber_is_put_in_where_it_can_be_seen(person):
    person.type("qua").press("Tab")
    assert person.text("prescriber") == "Dr R. Ashdown"


def test_a_prescriber_that_was_typed_stays(person):
    person.press("Alt+R").type("Dr Else").press("Alt+P").type("qua").press("Tab")
    assert person.text("prescriber") == "Dr Else"


def test_three_letters_find_a_practice_and_leaving_the_field_takes_it(person):
    person.type("mar")
    assert person.place.choices.isVisible()
    person.press("Tab")
    assert person.text("practice") == "MARLOW1"
    assert person.said("practice") == "Marlowe House Dental Practice, Tarnbeck"
    assert not person.place.choices.isVisible()


def test_among_several_practices_the_arrow_keys_choose(person):
    person.type("oxm")
    person.press("Down", "Down")
    chosen = person.place.choices.current.text
    person.press("Return")
    assert person.text("practice") == chosen
    assert person.at != "practice"


def test_letters_that_fit_several_practices_are_not_guessed(person):
    person.type("dental").press("Tab")
    assert person.text("practice") == "dental"
    assert "practices fit" in person.said("practice")


def test_escape_closes_the_list_and_loses_nothing(person):
    person.type("oxm").press("Escape")
    assert not person.place.choices.isVisible()
    assert (person.text("practice"), person.at) == ("oxm", "practice")


def test_a_new_practice_whose_name_is_like_a_known_one_can_be_entered_as_written(person):
    person.type("Oxmere Dental")
    person.press("Up", "Down", "Down", "Down", "Down", "Down")
    assert person.place.choices.current.text == "“Oxmere Dental”"
    person.press("Return")
    assert "practice.address" in person.form.places
    assert person.place.writing.read.case.practice.name == "Oxmere Dental"


def test_a_practice_that_nobody_knows_opens_its_details_once_its_name_is_typed(person):
    person.type("Hollowbrook Dental")
    assert "practice.address" not in person.form.places
    person.press("Return")
    assert person.at == "practice.address"
    person.type("9 Row, Hollowbrook").press("Return")
    assert person.at == "practice.code"
    person.press("Return")
    assert person.at == "prescriber"
    assert "practice.address" in person.form.places
    assert "Not in the directory" in person.said("practice")


def test_fields_come_and_go_with_the_words_and_the_cursor_stays(person):
    person.press("Alt+A").type("wire retainer")
    assert "appliances[0].options.clasps" in person.form.places
    edit = person.form.field("appliances[0]").edit
    edit.setCursorPosition(3)
    person.type("x")
    assert (edit.text(), edit.cursorPosition()) == ("wirxe retainer", 4)
    assert person.at == "appliances[0]"


def test_a_field_goes_when_the_words_say_what_it_asks(person):
    person.press("Alt+A").type("hard splint u")
    assert "appliances[0].options.thickness_mm" in person.form.places
    person.type(" 3mm")
    assert "appliances[0].options.thickness_mm" not in person.form.places
    assert person.said("appliances[0]") == "Hard occlusal splint · upper · 3 mm"


def test_text_in_a_field_outlives_the_words_that_brought_it(person):
    person.press("Alt+A").type("wire retainer u").press("Alt+O").type("clear").press("Alt+A")
    person.press("Home", "Shift+End", "Delete")
    person.type("hard splint u")
    assert person.text("appliances[0].options.colour") == "clear"


def test_another_appliance_has_a_line_by_one_key_and_an_empty_line_goes_again(person):
    person.press("Alt+A").type("ret u 1").press("Ctrl+J")
    assert person.at == "appliances[1]"
    person.press("Tab")
    assert "appliances[1]" not in person.form.places
    assert person.at == "items"


def test_several_appliances_in_one_line_become_lines(person):
    person.press("Alt+A").type("ret u 1; ret l 1 + mouthguard").press("Tab")
    assert [person.text(f"appliances[{line}]") for line in range(3)] == ["ret u 1", "ret l 1", "mouthguard"]


@pytest.mark.parametrize("word", ["grbl", "31 feb"])
def test_nothing_is_called_wrong_before_the_field_has_been_left(person, word):
    letter, field = ("A", "appliances[0]") if word == "grbl" else ("T", "appointment")
    person.press(f"Alt+{letter}").type(word)
    assert person.said(field) == ""
    person.press("Tab")
    assert person.said(field) != ""
    assert person.form.field(field).edit.property("wrong")


def test_what_cannot_be_read_is_not_saved_and_said_alike_beside_the_field_and_in_the_summary(person):
    person.type("qua").press("Alt+A").type("ret u").press("Alt+T").type("31 feb").press("Ctrl+Return")
    summary = person.place.summary
    assert summary.list.hasFocus()
    assert summary.list.item(0).text() == f"Appointment: {person.said('appointment')}"
    assert "February" in person.said("appointment")
    person.press("Return")
    assert person.at == "appointment"
    assert person.text("appointment") == "31 feb"
    person.press("Backspace", "Backspace", "Backspace").type("jan")
    assert not summary.isVisible()


def test_without_an_appliance_there_is_nothing_to_save_and_the_field_says_so(person):
    person.type("qua").press("Ctrl+Return")
    assert person.place.summary.list.hasFocus()
    assert "at least one appliance" in person.said("appliances[0]")
    person.press("Return")
    assert person.at == "appliances[0]"


def test_a_key_takes_you_to_the_field_of_each_finding(person):
    person.press("Alt+A").type("hard splint")
    findings = person.place.writing.verdict.findings
    at = next(n for n, finding in enumerate(findings, 1) if finding.requirement == "practice")
    person.press(f"Alt+{at}")
    assert person.at == "practice"


def test_enter_goes_on_from_the_notes_and_shift_enter_begins_a_line(person):
    person.press("Alt+N").type("a").press("Shift+Return").type("b")
    assert person.text("notes") == "a\nb"
    person.press("Tab")
    assert person.at is None
    assert person.text("notes") == "a\nb"


def test_each_visible_label_has_a_letter_of_its_own(person, access_keys):
    person.type("Hollowbrook Dental").press("Tab", "Alt+A").type("partial plate u; wire ret; bonded ret").press("Tab")
    doubled = {key: words for key, words in access_keys(person.window).items() if len(words) > 1}
    assert doubled == {}


def test_each_field_is_called_what_its_label_says_and_has_help(person):
    person.type("Hollowbrook Dental").press("Tab", "Alt+A").type("partial plate u").press("Tab")
    for label in person.form.findChildren(QLabel):
        if label.buddy() is None or not label.isVisible():
            continue
        plain = label.text().split(" (&")[0].replace("&", "")
        assert label.buddy().accessibleName() == plain
        assert help_of(label.buddy())[0] == plain


def test_what_was_understood_is_told_to_those_who_hear_it(person):
    person.press("Alt+T").type("10 dec 9.30")
    assert person.form.field("appointment").edit.accessibleDescription() == "Thu 10 Dec 2026, 09:30"


def test_a_letter_never_does_anything_but_write(person):
    person.press("Alt+N").type("abcdefghijklmnopqrstuvwxyz0123456789")
    assert person.text("notes") == "abcdefghijklmnopqrstuvwxyz0123456789"


def test_a_field_shows_where_the_keys_are(person):
    for place in person.form.places:
        person.form.take_keys(place)
        edit = person.form.field(place).edit
        shot = edit.grab().toImage()
        other = next(p for p in person.form.places if p != place)
        person.form.take_keys(other)
        QApplication.processEvents()
        assert edit.grab().toImage() != shot, place


def test_why_these_dates_is_told_by_a_key_and_left_by_escape(person):
    person.type("qua").press("Alt+A").type("ret u 1").press("Alt+T").type("10 dec").press("F7")
    assert person.place.verdict.why.hasFocus()
    assert "Must leave on Tue 8 Dec 2026" in person.place.verdict.why.toPlainText()
    person.press("Escape")
    assert person.at == "appointment"


def test_a_year_beyond_the_known_holidays_is_told_and_nothing_breaks(person):
    person.press("Alt+A").type("ret u 1").press("Alt+T").type("10 dec 9999")
    person.press("Tab")
    assert person.said("appointment") != ""


def test_the_field_in_use_is_always_in_sight(person):
    person.press("Alt+A").type("partial plate u; wire ret; bonded ret; hs u; ret l").press("Tab")
    for place in person.form.places:
        person.form.take_keys(place)
        QApplication.processEvents()
        edit = person.form.field(place).edit
        top = edit.mapTo(person.form.viewport(), edit.rect().topLeft()).y()
        bottom = edit.mapTo(person.form.viewport(), edit.rect().bottomLeft()).y()
        assert top >= 0, place
        assert bottom <= person.form.viewport().height(), place


@pytest.mark.parametrize("scale", SIZES)
def test_nothing_is_cut_on_a_small_screen(open_person, desk, scale):
    person = open_person(desk, scale=scale)
    person.type("mar").press("Return").type("ash").press("Return").type("J.T.").press("Return")
    person.type("hard splint u; ret l 1").press("Tab")
    person.press("Alt+W").type("u l add sil 24 nov").press("Alt+T").type("10 dec 9.30").press("Tab")
    QApplication.processEvents()
    assert person.window.width() <= 1366
    assert person.window.height() <= 768
    assert person.form.horizontalScrollBar().maximum() == 0
    for place in person.form.places:
        field = person.form.field(place)
        edit, room = field.edit, field.edit.contentsRect().width()
        shown = field.text or edit.placeholderText()
        if isinstance(edit, QLineEdit):
            assert edit.fontMetrics().horizontalAdvance(shown) <= room, (place, shown)
        else:
            assert isinstance(edit, QPlainTextEdit)
        label = field.label
        assert label.fontMetrics().horizontalAdvance(label.text().replace("&", "")) <= label.width(), place
        print_ = field.small_print
        assert print_.heightForWidth(print_.width()) <= print_.height() + 1, place


def test_at_100_per_cent_the_verdict_is_whole(person):
    person.type("mar").press("Return").type("ash").press("Return").type("J.T.").press("Return")
    person.type("hard splint u").press("Tab", "Alt+T").type("10 dec 9.30").press("Tab")
    QApplication.processEvents()
    days = person.place.verdict.days
    bottom = days.mapTo(person.place, days.rect().bottomLeft()).y()
    assert bottom <= person.place.height()
    assert days.height() >= days.heightForWidth(days.width())
    box = person.place.verdict.box
    assert abs(box.height() - person.place.verdict.height() / 3) < 12


def test_at_100_per_cent_the_form_of_a_usual_case_is_whole_and_its_rows_stand_apart(person):
    person.type("mar").press("Return").type("ash").press("Return").type("J.T.").press("Return")
    person.type("hard splint u 3").press("Tab", "Alt+W").type("u l add sil 24 nov 15.30, bite centric")
    person.press("Alt+Y").type("d").press("Alt+T").type("10 dec 9.30").press("Tab")
    QApplication.processEvents()
    form = person.form
    assert form.verticalScrollBar().maximum() == 0
    fields = [form.field(place) for place in form.places]
    for field, other in itertools.product(fields, fields):
        if field.y() < other.y():
            said = field.y() + field.small_print.geometry().bottom()
            under = field.small_print.y() - field.edit.geometry().bottom()
            assert other.y() - said >= under + 4, (field.place, other.place)


@pytest.mark.parametrize("scale", SIZES)
def test_the_button_that_saves_is_in_sight_however_long_the_form(open_person, desk, scale):
    person = open_person(desk, scale=scale)
    person.press("Alt+A").type("partial plate u; wire ret; bonded ret; hs u; ret l").press("Tab")
    button = person.place.columns.buttons["save"]
    assert button.visibleRegion().boundingRect() == button.rect()


def test_a_scan_of_a_ticket_leaves_the_form_alone(person, desk, qapp):
    from intake.ui.scanner import Scanner

    person.press("Alt+N").type("abc")
    now = [0]
    scanner = Scanner(lambda code: None, clock=lambda event: now[0])
    scans = []
    scanner.scanned.connect(scans.append)
    scanner.start(qapp)
    for sign in "2600412376":
        now[0] += 10
        QTest.keyClick(person.window.windowHandle(), sign)
    QTest.keyClick(person.window.windowHandle(), Qt.Key.Key_Return)
    assert scans == ["2600412376"]
    assert person.text("notes") == "abc"


@pytest.mark.parametrize("scale", [100, 200])
def test_what_is_wrong_is_told_without_the_window_growing(open_person, desk, scale):
    person = open_person(desk, scale=scale)
    person.press("Alt+A").type("grbl").press("Alt+T").type("31 feb").press("Ctrl+Return")
    QApplication.processEvents()
    assert person.place.summary.list.hasFocus()
    assert (person.window.width(), person.window.height()) == (1366, 768)


@pytest.mark.parametrize("scale", [100, 200])
def test_every_field_can_be_seen_and_hit_and_none_covers_another(open_person, desk, scale):
    person = open_person(desk, scale=scale)
    person.type("Hollowbrook Dental").press("Tab", "Alt+A").type("partial plate u; whitening tray l").press("Tab")
    QApplication.processEvents()
    fields = [person.form.field(place) for place in person.form.places]
    for field in fields:
        assert field.isVisible()
        assert field.rect().contains(field.edit.geometry()), field.place
        assert field.edit.height() >= 24 * scale / 100, "targets of 24 x 24 at least: WCAG 2.2, 2.5.8"
        assert field.edit.width() >= 24
    for one, other in itertools.combinations(fields, 2):
        assert not one.geometry().intersects(other.geometry()), (one.place, other.place)


def test_the_edges_of_the_fields_line_up_whatever_is_in_them(person):
    places = ("prescriber", "patient.label", "patient.reference", "hygiene", "patient.allergies")

    def edges():
        QApplication.processEvents()
        return [person.form.field(place).x() for place in places]

    person.press("Alt+A").type("ret u; ret l; ret u 1").press("Tab", "Alt+T")
    before = edges()
    person.press("Alt+A", "End").type("; wire retainer u; partial plate u").press("Tab")
    assert edges() == before


def test_at_the_end_a_field_that_keeps_the_form_from_being_saved_is_named(person):
    person.press("Alt+A").type("hard splint u 3").press("Alt+T").type("32 dec").press("Return")
    assert person.news == "Not to be saved yet: “Appointment” has to be put right first."


def test_that_nothing_is_missing_is_said_no_longer_once_something_is_typed(person):
    person.press("Alt+A").type("hard splint u 3").press("Alt+T").type("10 dec").press("Return")
    while "saves and prints" not in person.news:
        person.press("Return")
    person.press("Alt+W").type("u")
    assert "saves and prints" not in person.news


@pytest.mark.parametrize("scale", [100, 200])
def test_nothing_of_the_verdict_is_cut_at_its_side(open_person, desk, scale):
    person = open_person(desk, scale=scale, size=(1280, 700))
    person.press("Alt+A").type("hard splint u 3").press("Alt+T").type("10 dec").press("Tab")
    QApplication.processEvents()
    verdict = person.place.verdict
    right = verdict.findings.mapTo(verdict, verdict.findings.rect().topRight()).x()
    assert right < verdict.width()
    assert verdict.findings.width() <= verdict.findings.parentWidget().parentWidget().width()
    assert person.window.width() <= 1366
