"""What is done with a kept parcel: disinfected, accepted, refused, corrected; each by keys, and taken back by one."""

import pytest

from intake.desk.issue import issue_all
from intake.desk.parcels import NewContent, accept, open_parcels, parcel_card
from intake.ui.parcels.disinfect_dialog import DisinfectDialog
from intake.ui.reason_dialog import ReasonDialog
from tests.desk.desks import printed
from tests.ui.parcels.conftest import LABEL

CASE = NewContent("case")


def book_arrival_by_keys(person):
    """Books what stands first among what waits; gives its tickets."""
    tickets = []
    person.arrivals.booked.connect(lambda booked: tickets.extend(booked.tickets))
    person.arrivals.arriving.read()
    person.wait().press("F2", "F4", "Ctrl+Return")
    return tickets


def test_a_disinfection_here_is_entered_with_the_labs_agent_and_its_minutes_and_undone(keep, at_card, person, desk):
    opened = keep()
    at_card()
    assert person.parcels.card.card.to_disinfect
    person.press("Ctrl+Shift+H")
    asks = person.asks(DisinfectDialog)
    first = desk.lab.parcels.agents[0]
    assert (asks.agent.currentText(), asks.minutes.text(), asks.who.text()) == (first.name, str(first.minutes), "AB")
    assert not asks.warning.isVisible()
    person.press("Return")
    assert len(parcel_card(desk, opened.parcel_id).disinfections) == 1
    assert not person.parcels.card.card.to_disinfect
    person.press("F8")
    assert parcel_card(desk, opened.parcel_id).disinfections == ()


def test_a_second_disinfection_warns_before_it_is_entered(keep, at_card, person):
    keep()
    at_card()
    person.press("Ctrl+Shift+H", "Return", "Ctrl+Shift+H")
    asks = person.asks(DisinfectDialog)
    assert asks.warning.isVisible()
    assert asks.warning.text()
    person.press("Esc")


@pytest.mark.parametrize(
    ("minutes", "who", "says"), [("", "AB", "Minutes are"), ("0", "AB", "Minutes are"), ("10", " ", "Say who did it")]
)
def test_a_disinfection_without_minutes_or_initials_is_not_entered(keep, at_card, person, desk, minutes, who, says):
    opened = keep()
    at_card()
    person.press("Ctrl+Shift+H")
    asks = person.asks(DisinfectDialog)
    asks.minutes.setText(minutes)
    asks.who.setText(who)
    person.press("Return")
    assert asks.isVisible()
    assert says in asks.wrong.text()
    person.press("Esc")
    assert parcel_card(desk, opened.parcel_id).disinfections == ()


def test_what_was_seen_is_accepted_later_and_taken_back(keep, at_card, person, desk):
    opened = keep(CASE, seen=("crushed",))
    at_card()
    person.press("Ctrl+I")
    assert parcel_card(desk, opened.parcel_id).accepted_by == "AB"
    person.press("F8")
    assert parcel_card(desk, opened.parcel_id).accepted_by == ""


def test_accepting_a_parcel_whose_case_is_booked_prints_its_next_ticket(keep, person, desk):
    opened = keep(NewContent("repair"), seen=("crushed",))
    booked = book_arrival_by_keys(person)
    issue_all(desk, booked)
    person.press("Shift+F2")
    person.parcels.show_parcel(opened.parcel_id)
    person.wait().press("Ctrl+I")
    assert [(each.document.kind, each.document.copy) for each in person.issued] == [("ticket", 2)]


def test_a_refused_parcel_goes_back_with_a_printed_note_and_is_taken_back_by_a_key(
    keep, at_card, person, desk, tmp_path
):
    opened = keep()
    at_card()
    person.press("Ctrl+Shift+R")
    person.asks(ReasonDialog)
    person.press("Down", "Return")
    card = parcel_card(desk, opened.parcel_id)
    assert (card.state, card.why) == ("refused", "too damaged to work with")
    assert [each.document.kind for each in person.issued] == ["return-note"]
    assert len(printed(tmp_path)) == 1
    assert person.waiting == ()
    person.press("F8")
    assert parcel_card(desk, opened.parcel_id).state == "open"
    assert len(person.waiting) == 1


def test_a_parcel_that_is_still_in_the_form_is_refused_in_one_go(person, desk, tmp_path):
    person.scan("parcel", LABEL)
    person.scan("practice", "MARLOW1")
    person.press("C", "Ctrl+Shift+R", "Return")
    assert open_parcels(desk) == ()
    assert "Refused" in person.news
    assert len(printed(tmp_path)) == 1


def test_leaving_the_question_why_it_is_refused_refuses_nothing(person, desk):
    person.scan("parcel", LABEL)
    person.press("Ctrl+Shift+R", "Esc")
    assert person.form.draft.label == LABEL
    assert open_parcels(desk) == ()


def test_what_is_said_of_a_kept_parcel_is_corrected(keep, at_card, person, desk):
    opened = keep(CASE, seen=("dry",))
    at_card()
    person.press("Ctrl+R")
    assert person.page == "form"
    assert person.form.of_kept.isVisible()
    assert not person.form.things.isVisible()
    person.form.take_keys()
    person.press("W", "Ctrl+H", "Ctrl+Return")
    card = parcel_card(desk, opened.parcel_id)
    assert (card.seen, card.hygiene, len(card.contents)) == (("wet",), "declared", 1)
    assert person.page == "card"
    assert person.form.draft.is_empty


def test_what_another_desk_changed_meanwhile_is_told_and_nothing_is_lost(keep, at_card, person, desk):
    opened = keep(CASE, seen=("crushed",))
    at_card()
    person.press("Ctrl+R")
    person.form.note.set_text("seal broken")
    accept(desk, opened.parcel_id, "XY")
    person.press("Ctrl+Return")
    assert person.window.news.trouble_words.text().startswith("Not kept.")
    assert person.form.draft.note == "seal broken"


def test_a_refused_parcel_takes_nothing_more(keep, at_card, person, desk):
    opened = keep()
    at_card()
    person.press("Ctrl+Shift+R", "Return", "Ctrl+2", "Ctrl+Shift+H")
    assert "refused" in person.news
    assert [line.kind for line in parcel_card(desk, opened.parcel_id).contents] == ["case"]
