"""Something in a parcel can hurt: it is stopped, and nothing else is done to it until that is written down."""

import pytest

from intake.desk.arrivals import waiting
from intake.desk.incidents import open_incidents
from intake.desk.parcels import open_parcels, parcel_card
from tests.ui.parcels.conftest import LABEL


@pytest.fixture
def stopped(person, desk):
    """A parcel with a case and a needle in it, stopped in the form."""
    person.scan("parcel", LABEL)
    person.scan("practice", "MARLOW1")
    person.press("1", "F7")
    return open_parcels(desk)[0].parcel_id


def write(person, **said):
    for place, words in said.items():
        field = person.parcels.stop.fields[place]
        field.edit.setFocus()
        field.edit.selectAll()
        person.type(words)


def test_one_key_stops_it_keeps_it_and_shows_the_steps(person, desk, stopped):
    assert person.page == "stop"
    assert parcel_card(desk, stopped).state == "stopped"
    for at, step in enumerate(desk.lab.parcels.sharps, start=1):
        assert f"{at}.  {step}" in person.shown
    assert person.parcels.stop.fields["what"].edit.hasFocus()
    assert person.form.draft.is_empty


def test_the_single_key_stops_it_too(person, desk):
    person.scan("practice", "MARLOW1")
    person.press("X")
    assert person.page == "stop"
    assert open_parcels(desk)[0].state == "stopped"


def test_an_unclear_practice_does_not_keep_anybody_from_stopping(person, desk):
    person.press("Alt+P").type("dental")
    person.press("F7")
    assert open_parcels(desk)[0].state == "stopped"


def test_nothing_else_is_done_to_it_until_it_is_written_down(person, desk, stopped):
    before = parcel_card(desk, stopped)
    for key in (
        "Ctrl+2",
        "Ctrl+Shift+H",
        "Ctrl+Shift+W",
        "Ctrl+I",
        "Ctrl+Shift+R",
        "Ctrl+R",
        "Ctrl+G",
        "F4",
        "Ctrl+Shift+V",
    ):
        person.press(key)
        assert person.dialog is None, key
        assert (person.page, person.place) == ("stop", "parcels"), key
    assert parcel_card(desk, stopped) == before
    assert waiting(desk) == ()
    assert not person.window.news.undo_button.isVisible()


def test_an_incident_without_a_word_is_not_written_down(person, desk, stopped):
    person.press("Ctrl+Return")
    assert person.parcels.stop.fields["what"].small_print.text() == "Say in a few words what happened."
    assert open_incidents(desk) == ()


def test_written_down_to_its_end_the_parcel_can_go_on_with_a_reason(person, desk, stopped):
    write(person, what="A needle under the tray", done="Container closed", told="Safety officer")
    person.press("Ctrl+Return")
    assert open_incidents(desk) == ()
    assert person.page == "card"
    assert parcel_card(desk, stopped).state == "stopped"
    person.press("Ctrl+2")
    assert "stopped" in person.news
    person.press("Ctrl+G", "Return")
    card = parcel_card(desk, stopped)
    assert card.state == "open"
    assert [line.settled for line in card.contents] == [False, False, True]
    assert len(waiting(desk)) == 2


def test_what_was_done_and_who_was_told_may_follow_later(person, desk, stopped):
    write(person, what="A needle under the tray")
    person.press("Ctrl+Return")
    assert "stays open" in person.news
    assert person.page == "stop"
    (incident,) = open_incidents(desk)
    write(person, done="Container closed", told="Safety officer")
    person.press("Ctrl+Return")
    assert person.page == "card"
    (line,) = parcel_card(desk, stopped).incidents
    assert (line.incident_id, line.done, line.told) == (incident.incident_id, "Container closed", "Safety officer")


def test_enter_goes_through_the_fields_and_writes_it_down_at_the_end(person, desk, stopped):
    for words in ("A blade", "Set apart", "Safety officer"):
        person.type(words)
        person.press("Return")
    assert parcel_card(desk, stopped).incidents[0].what == "A blade"
    assert person.page == "card"


def test_what_kind_it_is_is_chosen_with_the_arrow_keys(person, desk, stopped):
    person.press("Shift+Tab", "Right")
    write(person, what="Soaked through")
    person.press("Ctrl+Return")
    assert parcel_card(desk, stopped).incidents[0].kind == "blood"


def test_the_page_comes_back_with_what_is_half_typed(person, desk, stopped):
    write(person, what="A needle")
    person.press("Esc")
    assert person.page == "form"
    person.scan("parcel", "X2")
    person.press("F6", "Return")
    assert person.page == "stop"
    assert person.parcels.stop.fields["what"].text == "A needle"
    assert person.form.draft.label == "X2"


def test_two_stopped_parcels_keep_their_words_apart(person, desk, stopped):
    write(person, what="First")
    person.press("Esc")
    person.scan("parcel", "X2")
    person.press("F7")
    assert person.parcels.stop.fields["what"].text == ""
    write(person, what="Second")
    person.press("F6", "Home")
    assert person.parcels.stop.fields["what"].text == "First"


def test_a_label_scanned_meanwhile_is_not_taken_for_anything_else(person, desk, stopped):
    assert person.scan("parcel", "X2")
    assert person.page == "stop"
    assert "write the incident down first" in person.news
    assert person.form.draft.is_empty


def test_something_dangerous_found_later_stops_a_parcel_that_is_kept(person, desk):
    person.scan("parcel", LABEL)
    person.press("Ctrl+D", "F6", "Return", "F7")
    assert person.page == "stop"
    assert open_parcels(desk)[0].state == "stopped"
