"""A practice that is not in the directory, put there while its first bag is booked, by keys alone."""

import pytest
from PySide6.QtWidgets import QApplication

from intake.desk.look_up import find
from intake.domain.practice import Practice
from tests.ui.sizes import SIZES

NEW = "Hollowbrook Dental Care"


def enter_directory(desk, practice):
    with desk.work() as work:
        work.practices.save(practice)
        work.commit()


def type_new_practice(person, code="+"):
    """The first bag of a practice that nobody knows, as far as who ordered it."""
    person.type(NEW).press("Return").type("9 Mill Row, Hollowbrook").press("Return")
    assert person.at == "practice.code"
    return person.type(code).press("Return").type("Dr N. Else").press("Return")


def type_rest(person):
    person.type("JT").press("Return").type("ret u 1").press("Return").type("u").press("Return")
    return person.type("d").press("Return").type("10/12")


def test_one_key_takes_the_suggested_code_and_saving_puts_the_practice_in_the_directory(person, desk):
    type_rest(type_new_practice(person)).press("Ctrl+Return")
    person.wait()
    saved = desk.store.read.practice("HOLLOW1").practice
    assert saved == Practice(
        code="HOLLOW1", name=NEW, address=("9 Mill Row", "Hollowbrook"), prescribers=("Dr N. Else",)
    )
    (found,) = find(desk, "Hollowbrook")
    assert desk.store.read.case_of_job(found.number).practice_code == "HOLLOW1"
    assert person.news.endswith(f"{NEW} is in the directory now as HOLLOW1.")


def test_the_next_bag_from_it_is_found_by_three_letters(person):
    type_rest(type_new_practice(person)).press("Ctrl+Return")
    person.wait()
    person.type("hol").press("Return")
    assert (person.text("practice"), person.text("prescriber")) == ("HOLLOW1", "Dr N. Else")
    assert person.at == "patient.label"


def test_the_suggestion_is_said_under_the_field_and_written_out_when_it_is_taken(person):
    person.type(NEW).press("Return", "Alt+O")
    assert person.at == "practice.code"
    assert person.said("practice.code") == "+ adds it as HOLLOW1"
    person.type("+")
    assert person.said("practice.code") == "will be added as HOLLOW1"
    person.press("Tab")
    assert person.text("practice.code") == "HOLLOW1"


def test_without_a_code_nothing_comes_into_the_directory(person, desk):
    before = desk.practices()
    type_rest(type_new_practice(person, code="")).press("Ctrl+Return")
    person.wait()
    assert desk.practices() == before
    assert len(find(desk, "Hollowbrook")) == 1


def test_the_verdict_knows_the_practice_as_soon_as_it_has_a_code(person):
    type_new_practice(person)
    assert "practice" not in {finding.requirement for finding in person.place.writing.verdict.findings}


@pytest.mark.parametrize(("code", "said"), [("HOL/1", "2 to 12 letters and digits"), ("marlow1", "is Marlowe House")])
def test_a_code_that_cannot_be_is_refused_beside_its_field_and_keeps_what_was_typed(person, desk, code, said):
    type_rest(type_new_practice(person, code)).press("Ctrl+Return")
    assert person.place.summary.list.hasFocus()
    assert said in person.said("practice.code")
    assert person.text("practice.code") == code
    assert find(desk, "Hollowbrook") == ()


def test_a_code_that_another_desk_gave_away_meanwhile_is_told_and_nothing_typed_is_lost(person, desk):
    type_rest(type_new_practice(person))
    typed = person.form.typed()
    enter_directory(desk, Practice(code="HOLLOW1", name="Hollow Lane Surgery"))
    person.press("Ctrl+Return")
    person.wait()
    assert "The code HOLLOW1 is Hollow Lane Surgery’s now" in person.window.news.trouble_words.text()
    assert person.form.typed() == typed
    assert person.said("practice.code") == "HOLLOW1 is Hollow Lane Surgery’s. HOLLOW2 is free."
    assert find(desk, NEW) == ()
    person.press("Alt+O").type("+").press("Ctrl+Return")
    person.wait()
    assert desk.store.read.practice("HOLLOW2").practice.name == NEW


def test_a_case_taken_back_leaves_the_practice_and_is_saved_again_with_it(person, desk):
    type_rest(type_new_practice(person)).press("Ctrl+Return")
    person.wait()
    (before,) = find(desk, "Hollowbrook")
    person.press("F8")
    person.wait()
    assert person.news.endswith("HOLLOW1 stays in the directory.")
    assert person.said("practice") == f"{NEW}, Hollowbrook"
    assert "practice.code" not in person.form.places
    person.press("Ctrl+Return")
    person.wait()
    (again,) = find(desk, "Hollowbrook")
    assert (again.number, again.state) == (before.number, "clear")


def test_a_new_prescriber_is_remembered_only_when_a_plus_says_so(person, desk):
    person.type("mar").press("Return").type("Dr N. Else")
    assert person.said("prescriber") == "New there; + behind adds it"
    person.type("+")
    assert person.said("prescriber") == "New there; will be remembered"
    person.press("Return")
    type_rest(person).press("Ctrl+Return")
    person.wait()
    (found,) = find(desk, "JT")
    assert desk.store.read.case_of_job(found.number).case.prescriber == "Dr N. Else"
    assert "Dr N. Else" in desk.store.read.practice("MARLOW1").practice.prescribers
    assert person.news.endswith("Dr N. Else is on file there now.")


@pytest.mark.parametrize("scale", SIZES)
@pytest.mark.sampled(2)
def test_nothing_of_a_new_practice_is_cut(open_person, desk, scale):
    person = open_person(desk, scale=scale)
    type_new_practice(person)
    QApplication.processEvents()
    for place in person.form.places:
        field = person.form.field(place)
        words = field.label.text().replace("&", "")
        assert field.label.fontMetrics().horizontalAdvance(words) <= field.label.width(), place
        said = field.small_print
        assert said.heightForWidth(said.width()) <= said.height() + 1, place
    rows = {}
    for place in person.form.places:
        field = person.form.field(place)
        rows.setdefault(field.y(), []).append(field.edit.y())
    assert all(len(set(tops)) == 1 for tops in rows.values()), "the fields of a row stand at one height"


def test_the_tab_key_goes_to_the_first_field_that_opens_for_a_new_practice(person):
    person.type(NEW).press("Tab")
    assert person.at == "practice.address"
    person.press("Shift+Tab")
    assert person.at == "practice"
