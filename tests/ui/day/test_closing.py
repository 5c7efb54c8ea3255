"""The day is closed by keys: one by one, each with a reason, until nothing is open without one."""

from PySide6.QtWidgets import QApplication

from intake.desk.arrivals import dismiss, take_in
from intake.desk.closing import kept_reasons
from intake.ui.day.closing_view import ClosingView
from tests.desk.desks import NOW, day_file, printed

TODAY = NOW.date()


def shown(person):
    view: ClosingView = person.place.closing
    return view.what.text(), view.about.text()


def test_the_day_is_closed_by_digits_alone(person, desk):
    person.press("F4")
    assert person.page == "closing"
    view = person.place.closing
    count = len(view.walk.things)
    assert view.progress.text() == f"1 of {count} · {count} without a reason"
    for _ in range(count):
        person.press("1")
    assert view.what.text() == "Nothing is open without a reason."
    person.press("F4")
    assert view.what.text() == f"Wed 25 Nov 2026 was closed by AB at 10:30, with {count} things left over."
    closing = desk.store.read.closing_of(TODAY)
    assert [each["reason"] for each in closing.left] == [thing.usual[0] for thing in view.walk.things]
    assert person.news == view.what.text()


def test_at_the_end_the_sheet_is_printed_and_esc_goes_back_to_the_day(person, desk, tmp_path):
    person.press("F4")
    while person.place.closing.walk.thing:
        person.press("2")
    person.press("F4", "Ctrl+P", "Escape")
    assert [name for name in printed(tmp_path) if "Day sheet" in name]
    assert person.page == "today"
    assert person.place.today.closed.text().startswith("Wed 25 Nov 2026 was closed by AB")
    assert person.lefts == 0


def test_another_reason_is_begun_by_its_first_letter(person):
    person.press("F4")
    first = person.place.closing.walk.thing
    person.type("waits for the van").press("Return")
    assert person.place.closing.walk.reasons == {first.key: "waits for the van"}
    assert person.place.closing.walk.thing is not first
    assert person.place.closing.card.hasFocus()


def test_esc_in_the_field_goes_back_to_the_digits_and_keeps_what_was_typed(person):
    person.press("F4")
    person.type("the courier").press("Escape")
    view = person.place.closing
    assert person.page == "closing"
    assert view.card.hasFocus()
    assert view.own.text() == "the courier"
    person.press("Right", "Left")
    assert view.own.text() == "the courier"


def test_arrows_skip_and_go_back_and_a_reason_can_be_changed(person):
    person.press("F4", "Right")
    view = person.place.closing
    second = view.walk.thing
    person.press("3", "Left")
    while view.walk.thing is not second:
        person.press("Left")
    assert view.reason.text() == f"Reason: {second.usual[2]}"
    person.press("1")
    assert view.walk.reasons[second.key] == second.usual[0]


def test_what_was_skipped_is_counted_at_the_end_and_the_day_is_not_closed(person, desk):
    person.press("F4")
    view = person.place.closing
    count = len(view.walk.things)
    for _ in range(count):
        person.press("Right")
    assert view.what.text() == f"{count} things still need a reason."
    assert not view.buttons["close-day"].isVisible()
    person.press("F4")
    assert view.walk.thing is view.walk.things[0]
    assert desk.store.read.closing_of(TODAY) is None


def test_all_of_a_kind_can_have_the_same_reason(person, desk):
    person.press("F4")
    view = person.place.closing
    assert not view.same.isVisible()
    person.press("2")
    assert view.walk.thing.kind == "arrival"
    assert view.same.isVisible()
    person.press("Ctrl+L")
    of_arrivals = {view.walk.reasons[thing.key] for thing in view.walk.things if thing.kind == "arrival"}
    assert of_arrivals == {"Waits for the practice"}
    assert person.news == "1 more has the reason “Waits for the practice” now."


def test_without_a_reason_to_repeat_the_key_says_what_to_do(person):
    person.press("F4", "Ctrl+L")
    assert "Give one of them a reason first" in person.news


def test_esc_leaves_and_keeps_what_was_said_even_over_a_restart(person, desk, open_person):
    person.press("F4", "1", "Escape")
    assert person.page == "today"
    assert "What was said so far is kept" in person.news
    assert len(kept_reasons(desk, TODAY)) == 1
    person.press("F4")
    view = person.place.closing
    assert len(view.walk.silent) == len(view.walk.things) - 1
    again = open_person(desk)
    again.press("F4")
    assert again.place.closing.walk.reasons == view.walk.reasons


def test_go_there_points_to_the_place_and_coming_back_shows_the_same_thing(person):
    person.press("F4", "Right")
    thing = person.place.closing.walk.thing
    person.press("Ctrl+G")
    assert person.gone == [thing.go]
    person.place.read_again()
    person.wait()
    assert person.place.closing.walk.thing.key == thing.key


def test_what_was_done_meanwhile_is_gone_when_the_person_comes_back(person, desk):
    person.press("F4")
    view = person.place.closing
    thing = view.walk.thing
    assert thing.kind == "arrival"
    dismiss(desk, int(thing.go.about))
    person.place.read_again()
    person.wait()
    assert thing.key not in [each.key for each in view.walk.things]
    assert view.walk.thing is not None


def test_what_came_up_meanwhile_is_asked_about_before_the_day_is_closed(person, desk):
    person.press("F4")
    view = person.place.closing
    while view.walk.thing:
        person.press("1")
    take_in(desk, [day_file("01")])
    person.press("F4")
    assert "1 thing still needs a reason" in person.news
    assert not view.is_closed
    assert view.walk.thing.kind == "arrival"
    person.press("1", "F4")
    assert view.is_closed


def test_a_closed_day_is_closed_again_from_the_day(person, desk, clock):
    person.press("F4")
    while person.place.closing.walk.thing:
        person.press("1")
    person.press("F4", "F4")
    assert "Esc goes back to it" in person.news
    person.press("Escape", "F4")
    assert person.place.closing.walk.thing is not None, "the new closing asks for its own reasons"
    clock.now = NOW.replace(hour=18)
    while person.place.closing.walk.thing:
        person.press("3")
    person.press("F4")
    assert "at 18:30" in person.place.closing.what.text()
    assert desk.store.read.closing_of(TODAY).at.hour == 18


def test_the_card_tells_who_does_not_see_it_what_is_left_over(person):
    person.press("F4")
    said = person.place.closing.card.accessibleDescription()
    what, about = shown(person)
    assert what in said
    assert about in said


def test_the_keys_go_to_the_card_whatever_was_pressed(person):
    person.press("F4")
    assert QApplication.focusWidget() is person.place.closing.card
    person.press("Tab")
    assert QApplication.focusWidget() is person.place.closing.own


def test_a_french_digit_row_needs_no_shift(person):
    person.press("F4")
    first = person.place.closing.walk.thing
    person.type("&")
    assert person.place.closing.walk.reasons[first.key] == first.usual[0]


def test_another_days_reasons_are_not_mixed_in(person, desk, clock):
    person.press("F4", "1", "Escape", "Ctrl+PgUp", "F4")
    assert person.place.closing.title.text() == "Close Tue 24 Nov 2026"
    assert person.place.closing.walk.reasons == {}
