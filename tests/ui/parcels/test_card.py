"""What was kept: the list of what is not finished, and the card of a parcel, worked by keys."""

from PySide6.QtWidgets import QDialog

from intake.desk.parcels import NewContent, open_parcels, parcel_card
from intake.desk.parcels import add_content as put_in
from intake.desk.safekeeping import verify
from intake.ui.reason_dialog import ReasonDialog
from tests.ui.parcels.conftest import LABEL

CASE, PART, OTHER = NewContent("case"), NewContent("part", "J. T."), NewContent("other", note="a letter")


def test_what_is_not_finished_stands_oldest_first_with_what_is_open(keep, person):
    keep(CASE, CASE, label="OLDEST")
    keep(OTHER, label="NEXT")
    person.parcels.read_again()
    person.wait()
    assert [line.label for line in person.lines] == ["OLDEST", "NEXT"]
    assert [line.says for line in person.lines] == ["2 of 2 to be booked in.", "1 of 1 without a reason."]
    assert person.parcels.list.head.text() == "Not finished: 2  F6"


def test_what_is_stopped_stands_above_what_is_older(keep, person):
    keep(CASE, label="OLDEST")
    keep(NewContent("danger"), label="SHARP")
    person.parcels.read_again()
    person.wait()
    assert [line.label for line in person.lines] == ["SHARP", "OLDEST"]


def test_the_card_follows_the_list_and_escape_goes_back_to_the_form(keep, person):
    keep(label="OLDEST")
    keep(label="NEXT")
    person.scan("parcel", LABEL)
    person.parcels.read_again()
    person.wait()
    person.press("F6")
    assert "OLDEST" in person.parcels.card.title.text()
    person.press("Down")
    assert "NEXT" in person.parcels.card.title.text()
    person.press("Esc")
    assert person.page == "form"
    assert person.form.draft.label == LABEL


def test_the_card_says_what_lies_in_it_and_how_it_stands(keep, at_card, person):
    keep(CASE, PART, seen=("wet", "blood"), accepted_by="AB", note="seal broken")
    at_card()
    words = [person.parcels.card.things.item(row).text() for row in range(2)]
    assert words == [
        "A case. Waits to be booked in.",
        "Part of a case, “J. T.” on it. Waits to be booked in.",
    ]
    for said in ("Wet and blood seen; accepted in spite of it by AB. seal broken", "Blood was seen"):
        assert said in person.shown


def test_enter_on_a_thing_opens_it_in_arrivals_and_f4_the_next(keep, at_card, person):
    opened = keep(CASE, NewContent("case", "Second"))
    at_card()
    person.press("Down", "Return")
    assert person.place == "arrivals"
    assert person.arrivals.writing.half.arrival_id == opened.arrivals[1]
    person.press("Shift+F2", "F4")
    assert person.place == "arrivals"


def test_f4_in_the_list_opens_the_next_case_of_the_chosen_parcel(keep, person):
    keep()
    opened = keep()
    person.parcels.read_again()
    person.wait()
    person.press("F6", "Down", "F4")
    assert person.arrivals.writing.half.arrival_id == opened.arrivals[0]


def test_why_something_has_no_case_is_said_and_finishes_the_parcel_and_can_be_undone(keep, at_card, person, desk):
    opened = keep(OTHER)
    at_card()
    person.press("Ctrl+Shift+W")
    person.asks(ReasonDialog)
    for sign in "letter filed":
        person.press("Space" if sign == " " else sign)
    person.press("Return")
    assert open_parcels(desk) == ()
    assert parcel_card(desk, opened.parcel_id).contents[0].reason == "letter filed"
    assert person.parcels.card.says.text().startswith("Finished")
    person.press("F8")
    assert len(open_parcels(desk)) == 1


def test_what_is_booked_or_settled_needs_no_reason(keep, at_card, person):
    keep(NewContent("nothing"), CASE)
    at_card()
    person.press("Up", "Ctrl+Shift+W")
    assert person.dialog is None
    assert "only that needs a reason" in person.news


def test_one_more_thing_is_added_to_a_kept_parcel_and_can_be_taken_out(keep, at_card, person, desk):
    opened = keep()
    at_card()
    person.press("Ctrl+2")
    assert [line.kind for line in parcel_card(desk, opened.parcel_id).contents] == ["case", "part"]
    person.press("F8")
    assert [line.kind for line in parcel_card(desk, opened.parcel_id).contents] == ["case"]
    person.press("Ctrl+Shift+D")
    assert parcel_card(desk, opened.parcel_id).contents == ()
    person.press("F8")
    assert [line.kind for line in parcel_card(desk, opened.parcel_id).contents] == ["case"]


def test_what_another_desk_does_is_there_when_the_place_is_shown_again(keep, person, desk):
    opened = keep()
    person.parcels.read_again()
    person.wait()
    person.press("F6")
    put_in(desk, opened.parcel_id, PART)
    person.parcels.read_again()
    person.wait()
    assert person.parcels.card.things.count() == 2


def test_a_parcel_whose_cases_are_all_booked_leaves_the_list(keep, person, desk):
    opened = keep(NewContent("repair"))
    person.parcels.read_again()
    person.wait().press("F6", "F4", "Ctrl+Return")
    assert parcel_card(desk, opened.parcel_id).state == "done"
    person.parcels.read_again()
    assert person.wait().lines == ()


def test_every_deed_stands_in_a_sound_history(keep, at_card, person, desk):
    keep(CASE, seen=("crushed",))
    at_card()
    person.press("Ctrl+I", "Ctrl+2", "Ctrl+Shift+H", "Return", "F8", "Ctrl+Shift+R", "Return", "F8")
    assert verify(desk).sound


def test_no_dialog_is_left_behind(keep, at_card, person):
    keep()
    at_card()
    person.press("Ctrl+Shift+H", "Esc", "Ctrl+Shift+W", "Esc", "Ctrl+Shift+R", "Esc")
    assert [each for each in person.parcels.findChildren(QDialog) if each.isVisible()] == []
