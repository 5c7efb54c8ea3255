"""A case from the empty form to the disk, by keys alone."""

from threading import Event

import pytest

from intake.desk.book_in import amend
from intake.desk.drafts import kept
from intake.desk.look_up import find
from intake.store.complaints import StoreBusy


def type_usual_case(person):
    """The usual bag: a known practice with one prescriber, a retainer, one impression, an appointment."""
    person.type("qua").press("Return").type("JT").press("Return")
    person.type("ret u 1").press("Return").type("u").press("Return").type("d").press("Return")
    return person.type("10/12")


def test_a_usual_case_of_a_known_practice_takes_at_most_30_keys(person, desk, capsys):
    booked = []
    person.place.booked.connect(booked.append)
    type_usual_case(person).press("Ctrl+Return")
    person.wait()
    with capsys.disabled():
        print(f"\na usual case from the empty form to saved: {person.pressed} key presses")
    assert person.pressed <= 30
    (found,) = find(desk, "Quayside")
    assert (found.category, found.state) == ("Retainers", "clear")
    assert booked[0].tickets, "its ticket is to be printed"


def test_saved_is_said_with_number_box_and_state_once_it_is_on_the_disk(person, desk):
    type_usual_case(person).press("Ctrl+Return")
    assert "Saved" not in person.news
    person.wait()
    (found,) = find(desk, "Quayside")
    assert person.news == f"Saved: {found.shown}, Retainers, Yellow box: CLEAR."


@pytest.mark.parametrize("chord", ["Ctrl+Return", "Ctrl+Enter"], ids=["main Enter key", "number pad"])
def test_the_chord_for_saving_saves_from_the_notes_as_well(person, desk, chord):
    type_usual_case(person).press("Alt+N").type("a note").press(chord)
    person.wait()
    assert len(find(desk, "Quayside")) == 1


def test_after_saving_the_form_is_empty_and_the_keys_are_in_its_first_field(person):
    type_usual_case(person).press("Ctrl+Return")
    assert person.at == "practice"
    assert person.form.is_empty()
    person.wait()
    assert person.at == "practice"
    assert person.form.is_empty()


def test_what_is_typed_while_a_case_is_being_saved_goes_into_the_next(person, desk):
    type_usual_case(person).press("Ctrl+Return").type("oxm")
    person.wait()
    assert person.text("practice") == "oxm"
    assert len(find(desk, "Quayside")) == 1


def test_a_save_that_is_kept_waiting_says_so_until_it_is_done(person, refuse_saving, qtbot):
    type_usual_case(person).press("Ctrl+Return")
    qtbot.waitUntil(lambda: person.news == "Still saving the case before this one …")
    refuse_saving.set()
    person.wait()
    assert person.news == ""


def test_enter_and_moving_about_never_save(person, desk):
    type_usual_case(person).press("Return", "Return", "Return", "Tab", "Return", "Shift+Tab", "Down", "Up", "Return")
    person.wait()
    assert find(desk, "Quayside") == ()
    assert "saves" in person.news


def test_undo_brings_the_form_back_and_saving_again_keeps_the_numbers(person, desk):
    type_usual_case(person).press("Ctrl+Return")
    person.wait()
    (before,) = find(desk, "Quayside")
    person.press("F8")
    person.wait()
    assert find(desk, "Quayside")[0].state == "withdrawn"
    assert (person.text("practice"), person.text("patient.label")) == ("QUAY1", "JT")
    person.press("Alt+F").type("20418").press("Ctrl+Return")
    person.wait()
    (again,) = find(desk, "Quayside")
    assert (again.number, again.state) == (before.number, "clear")
    assert "20418" in again.patient


def test_undo_sets_down_what_was_begun_meanwhile(person):
    type_usual_case(person).press("Ctrl+Return")
    person.wait()
    person.type("oxm").press("F8")
    person.wait()
    assert person.text("practice") == "QUAY1"
    assert [row.practice for row in person.rows] == ["Oxmere Orthodontics"]


def test_a_case_of_two_kinds_has_two_boxes_and_two_numbers(person, desk):
    person.type("qua").press("Return").type("JT").press("Return")
    person.type("ret l 1 + hs u 3").press("Tab")
    assert person.text("appliances[0]") == "ret l 1"
    assert person.text("appliances[1]") == "hs u 3"
    assert "Retainers, Yellow box, " in person.place.verdict.box.accessibleDescription()
    assert "Splints, Blue box, " in person.place.verdict.box.accessibleDescription()
    person.press("Alt+W").type("u l b").press("Alt+T").type("10 dec").press("Ctrl+Return")
    person.wait()
    found = {row.category: row for row in find(desk, "Quayside")}
    assert set(found) == {"Retainers", "Splints"}
    assert all(row.shown in person.news for row in found.values())


def test_an_incomplete_case_is_saved_and_held(person, desk):
    person.type("qua").press("Alt+A").type("hard splint").press("Ctrl+Return")
    person.wait()
    assert find(desk, "Quayside")[0].state == "held"
    assert person.news.endswith("Splints, Blue box: HOLD.")


def test_a_save_that_fails_brings_everything_back(person, refuse_saving):
    type_usual_case(person)
    typed = person.form.typed()
    refuse_saving.set()
    person.press("Ctrl+Return")
    person.wait()
    assert person.form.typed() == typed
    assert "Not saved. Another desk" in person.window.news.trouble_words.text()
    person.type("oxm")
    assert person.form.typed() == typed


def test_a_save_that_fails_waits_until_the_hands_are_done_with_the_next_form(person, refuse_saving):
    type_usual_case(person)
    person.press("Ctrl+Return").type("oxm")
    refuse_saving.set()
    person.wait()
    assert person.text("practice") == "oxm"
    person.press("Ctrl+N")
    person.wait()
    assert person.text("practice") == "QUAY1"
    assert [row.practice for row in person.rows] == ["Oxmere Orthodontics"]


def test_a_save_that_failed_can_be_done_again(person, desk, refuse_saving, monkeypatch):
    type_usual_case(person)
    refuse_saving.set()
    person.press("Ctrl+Return")
    person.wait()
    monkeypatch.undo()
    person.press("Ctrl+Return")
    person.wait()
    assert len(find(desk, "Quayside")) == 1
    assert not person.window.news.trouble_words.isVisible()


@pytest.fixture
def refuse_saving(monkeypatch):
    """The store refuses to save, as soon as this event is set."""
    may_answer = Event()

    def refuse(*_):
        may_answer.wait(10)
        raise StoreBusy("Another desk is writing; nothing was saved. Do it again in a moment.")

    monkeypatch.setattr("intake.desk.book_in.book", refuse)
    return may_answer


def test_nothing_is_kept_for_a_restart_once_it_is_saved(person, desk):
    type_usual_case(person)
    person.place.keeping.keep_now()
    person.wait()
    assert kept(desk).typed["patient.label"] == "JT"
    person.press("Ctrl+Return")
    person.wait()
    assert kept(desk) is None


def test_a_booked_case_is_opened_changed_and_put_back(person, desk):
    type_usual_case(person).press("Ctrl+Return")
    person.wait()
    (before,) = find(desk, "Quayside")
    case_id = desk.store.read.job(before.number).case_id
    person.place.open_case(case_id)
    person.wait()
    assert person.text("patient.label") == "JT"
    person.press("Alt+F").type("77").press("Ctrl+Return")
    person.wait()
    assert "77" in find(desk, "Quayside")[0].patient
    assert person.window.news.undo_button.text() == f"Undo: change of {before.shown}  F8"
    person.press("F8")
    person.wait()
    assert "77" not in find(desk, "Quayside")[0].patient
    assert find(desk, "Quayside")[0].state == "clear"
    assert person.text("patient.reference") == "77"


def test_a_change_that_another_desk_was_quicker_with_is_told_and_keeps_what_was_typed(person, desk):
    type_usual_case(person).press("Ctrl+Return")
    person.wait()
    (before,) = find(desk, "Quayside")
    case_id = desk.store.read.job(before.number).case_id
    person.place.open_case(case_id)
    person.wait()
    _changed_elsewhere(desk, case_id)
    person.press("Alt+F").type("77").press("Ctrl+Return")
    person.wait()
    assert person.text("patient.reference") == "77"
    assert "from the other desk" in person.window.news.trouble_words.text()
    person.press("Ctrl+Return")
    person.wait()
    assert "77" in find(desk, "Quayside")[0].patient


def _changed_elsewhere(desk, case_id):
    row = desk.store.read.case(case_id)
    amend(desk, case_id, row.version, row.case.model_copy(update={"notes": "from the other desk"}))
