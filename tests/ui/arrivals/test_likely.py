"""What may be here already is said in a quiet line while somebody types, and keeps nobody from saving."""

import pytest
from PySide6.QtWidgets import QApplication

from intake.desk import likeness
from intake.desk.book_in import book
from intake.ui.arrivals.likely import NOTHING
from tests.desk.desks import day_case
from tests.desk.waiting import booked
from tests.ui.arrivals.test_joining import promise
from tests.ui.sizes import SIZES

KEY = "QUILLB2"


@pytest.fixture
def here(desk):
    """A hard splint that is booked in."""
    return booked(desk, "02")


@pytest.fixture
def patient(here, desk):
    return desk.store.read.case(here.case_id).case.patient


@pytest.fixture
def typed(person, here, patient):
    """A person who has typed practice and patient of it once more."""
    person.type(KEY).press("Tab", "Alt+L").type(patient.label).press("Alt+F").type(patient.reference)
    return person.wait()


def line(person):
    QApplication.processEvents()
    likely = person.place.verdict.likely
    return likely.words.text() if likely.isVisible() else ""


def test_it_is_said_as_soon_as_the_patient_is_typed_with_its_keys(typed, here, patient):
    said = line(typed)
    assert said.startswith(f"Here already? {patient.label} of Quillbury Street Surgery came on Wed 25 Nov")
    assert here.jobs[0].shown in said
    assert f"reference {patient.reference}" in said
    likely = typed.place.verdict.likely
    assert likely.open_button.text() == "Look at it  Ctrl+Shift+O"
    assert likely.not_button.text() == "Not the same  Ctrl+Shift+N"


def test_nothing_is_said_of_another_patient(person, here):
    person.type(KEY).press("Tab", "Alt+L").type("Z.Q.").press("Alt+F").type("QS 001").wait()
    assert line(person) == ""
    person.press("Ctrl+Shift+O")
    assert person.news == NOTHING
    person.press("Ctrl+Shift+N")
    assert person.news == NOTHING


def test_one_key_opens_it_in_look_up_and_the_form_stays(typed, here, qtbot):
    before = typed.form.typed()
    with qtbot.waitSignal(typed.place.look_up_wanted) as wanted:
        typed.press("Ctrl+Shift+O")
    assert wanted.args == [here.jobs[0].number]
    assert typed.form.typed() == before


def test_one_key_says_that_it_is_not_the_same_and_the_line_stays_away(typed):
    typed.press("Ctrl+Shift+N")
    assert line(typed) == ""
    typed.press("Alt+L").type(" ").wait()
    assert line(typed) == ""


def test_of_several_the_next_is_shown(person, desk, here, patient):
    second = book(desk, day_case("02"), "twice")
    person.type(KEY).press("Tab", "Alt+L").type(patient.label).press("Alt+F").type(patient.reference).wait()
    assert "1 more may be the same." in line(person)
    shown = person.place.verdict.likely.shown
    assert {each.case_id for each in shown} == {here.case_id, second.case_id}
    person.press("Ctrl+Shift+N")
    assert shown[1].numbers[0] in line(person)
    assert "more may be the same" not in line(person)


def test_what_was_said_of_one_form_is_not_said_of_the_next(typed, patient):
    typed.press("Ctrl+Shift+N", "Ctrl+N").wait()
    assert line(typed) == ""
    typed.type(KEY).press("Tab", "Alt+L").type(patient.label).press("Alt+F").type(patient.reference).wait()
    assert line(typed) != ""


def test_a_case_that_waits_for_the_form_is_offered_and_not_told_of_twice(person, desk, here, patient):
    promise(desk, here.case_id)
    person.type(KEY).press("Tab", "Alt+L").type(patient.label).press("Alt+F").type(patient.reference).wait()
    assert here.jobs[0].shown in person.place.verdict.promised.words.text()
    assert line(person) == ""


def test_it_never_keeps_anybody_from_saving(desk, here, take_in_files, person):
    take_in_files("02")
    person.place.arriving.read()
    person.wait()
    person.place.arriving.open(person.rows[0].arrival_id)
    person.wait()
    assert line(person) != ""
    person.press("Ctrl+Return").wait()
    assert person.news.startswith("Saved: ")
    assert desk.store.read.case(here.case_id + 1).state == "open"


def test_a_case_that_is_changed_is_not_like_itself(person, desk, here):
    person.place.open_case(here.case_id)
    person.wait()
    assert line(person) == ""


def test_it_is_looked_for_again_only_where_something_of_it_changed(typed, monkeypatch):
    asked = []
    monkeypatch.setattr(likeness, "likely_same", lambda *about: asked.append(about) or ())
    typed.press("Alt+N").type("ring first").wait()
    assert asked == []
    typed.press("Alt+L").type("x").wait()
    assert len(asked) == 1


def test_a_trouble_of_the_store_is_told_and_nothing_stays_shown(typed, monkeypatch):
    from intake.errors import IntakeError

    def fails(*about):
        raise IntakeError("The data cannot be read just now.")

    monkeypatch.setattr(likeness, "likely_same", fails)
    typed.press("Alt+L").type("x").wait()
    assert typed.news == "The data cannot be read just now."
    assert line(typed) == ""


@pytest.mark.parametrize("scale", SIZES)
def test_the_line_and_its_buttons_are_cut_nowhere(open_person, desk, here, patient, scale):
    person = open_person(desk, scale)
    person.type(KEY).press("Tab", "Alt+L").type(patient.label).press("Alt+F").type(patient.reference).wait()
    likely = person.place.verdict.likely
    assert line(person)
    for part in (likely.words, likely.open_button, likely.not_button):
        assert likely.rect().contains(part.geometry())
        assert part.width() >= part.minimumSizeHint().width()
    assert likely.words.height() >= likely.words.heightForWidth(likely.words.width())
    assert not likely.words.visibleRegion().isEmpty()
