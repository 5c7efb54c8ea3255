"""A bag is opened: scanned, kept with one key, and on to its case; by keys and gun alone."""

from datetime import timedelta

from intake.desk.parcels import open_parcels, parcel_card
from tests.ui.parcels.conftest import LABEL


def card(desk, at=0):
    return parcel_card(desk, open_parcels(desk)[at].parcel_id)


def test_the_ordinary_bag_needs_two_scans_and_one_key(person, desk):
    person.scan("parcel", LABEL)
    person.scan("practice", "MARLOW1")
    person.press("Ctrl+Return")
    assert person.pressed == 1
    assert person.place == "arrivals"
    assert person.arrivals.form.field("practice").text == "MARLOW1"
    assert person.arrivals.form.field("arrived").text == "Wed 25 Nov 2026 10:30"
    (line,) = open_parcels(desk)
    assert (line.label, line.contents, line.open) == (LABEL, 1, 1)


def test_after_the_case_is_booked_one_key_takes_the_next_parcel(person, desk):
    person.scan("parcel", LABEL)
    person.scan("practice", "MARLOW1")
    person.press("Ctrl+Return")
    person.press("Alt+A").type("hard splint upper 3mm")
    person.press("Ctrl+Return")
    assert open_parcels(desk) == ()
    assert person.arrivals.columns.title.text() == "The parcel is done: F12 takes the next one"
    person.press("F12")
    assert person.place == "parcels"
    assert person.form.draft.is_empty
    assert person.form.label.edit.hasFocus()


def test_each_case_of_a_parcel_is_booked_one_after_the_other_without_typing_its_facts_again(person, desk):
    person.scan("parcel", LABEL)
    person.scan("practice", "MARLOW1")
    person.press("1", "2", "Ctrl+Return")
    assert person.form.draft.is_empty
    for left in ("2 more of this parcel to book in: F12", "1 more of this parcel to book in: F12"):
        assert person.arrivals.form.field("practice").text == "MARLOW1"
        person.press("Alt+A").type("hard splint upper 3mm")
        person.press("Ctrl+Return")
        assert person.arrivals.columns.title.text() == left
        assert person.arrivals.writing.is_empty
        person.press("F12")
    person.press("Alt+A").type("hard splint lower 3mm")
    person.press("Ctrl+Return", "F12")
    assert person.place == "parcels"
    assert open_parcels(desk) == ()


def test_what_a_label_is_and_whose_service_is_said_at_once(person):
    person.scan("parcel", LABEL)
    assert person.form.label.small_print.text() == "Signed-for post · postal number, check digit right"
    assert person.form.practice_field.edit.hasFocus()


def test_a_wrong_check_digit_is_said_at_once_and_the_label_is_kept_all_the_same(person, desk):
    person.type("RR123456784DE")
    assert "check digit is 4 where 5 belongs" in person.form.label.small_print.text()
    person.press("Ctrl+D")
    assert card(desk).label == "RR123456784DE"


def test_a_label_that_came_before_is_said_at_once_with_what_lay_in_it(person, clock):
    person.scan("parcel", LABEL)
    person.scan("practice", "MARLOW1")
    person.press("Ctrl+D")
    clock.now += timedelta(days=1)
    person.scan("parcel", LABEL)
    assert person.form.before.isVisible()
    assert "came before" in person.form.before.text()
    assert "Marlowe House" in person.form.before.text()
    person.form.label.set_text("")
    person.press("Alt+L").type("X1")
    assert not person.form.before.isVisible()


def test_the_practice_is_found_by_a_few_letters_and_chosen_with_the_arrow_keys(person):
    person.press("Alt+P").type("marl")
    assert person.parcels.choices.isVisible()
    person.press("Down", "Return")
    assert person.form.practice.code == "MARLOW1"
    assert person.form.practice_field.small_print.text().startswith("Marlowe House Dental Practice")
    assert not person.parcels.choices.isVisible()


def test_a_practice_that_could_be_several_is_asked_about_and_nothing_is_lost(person, desk):
    person.scan("parcel", LABEL)
    person.press("Alt+P").type("dental")
    person.press("Ctrl+Return")
    assert open_parcels(desk) == ()
    assert "practices fit" in person.news
    assert person.form.practice_field.edit.hasFocus()
    assert person.form.draft.label == LABEL


def test_a_practice_that_nobody_knows_is_taken_as_written(person, desk):
    person.press("Alt+P").type("Kestrel Lane Surgery")
    person.press("Ctrl+D")
    assert (card(desk).practice, card(desk).practice_code) == ("Kestrel Lane Surgery", None)


def test_things_are_added_by_a_key_each_with_name_and_note(person, desk):
    person.scan("parcel", LABEL)
    person.scan("practice", "MARLOW1")
    person.press("Alt+P", "Ctrl+2").type("J. Thornbury")
    person.press("Tab").type("lower only")
    person.press("Ctrl+3", "Ctrl+5", "Ctrl+D")
    told = [(line.kind, line.found, line.note) for line in card(desk).contents]
    assert told == [("part", "J. Thornbury", "lower only"), ("repair", "", ""), ("other", "", "")]


def test_a_thing_that_was_added_by_mistake_is_taken_out_again(person):
    person.press("Ctrl+2", "Ctrl+3", "Ctrl+Shift+D")
    assert person.things == ["part"]
    person.press("Ctrl+Shift+D")
    assert person.things == ["case"]


def test_single_keys_tick_add_and_declare_while_no_field_is_typed_into(person, desk):
    person.scan("practice", "MARLOW1")
    person.press("W", "T", "B", "U", "H", "3", "1")
    assert person.form.state.seen == ("wet", "torn-tray", "blood", "prescription-unreadable")
    assert person.form.hygiene.hygiene == "declared"
    assert person.things == ["repair", "case"]
    person.press("D", "M", "B", "Ctrl+D")
    assert card(desk).seen == ("dry", "torn-tray", "prescription-missing")


def test_in_a_field_the_same_keys_are_letters(person):
    person.press("Alt+N").type("wet 1")
    assert person.form.note.text == "wet 1"
    assert person.form.state.seen == ()
    assert person.things == ["case"]


def test_single_keys_can_be_turned_off_and_stay_off(person):
    person.keys.action("single-keys").trigger()
    person.scan("practice", "MARLOW1")
    person.press("W", "1", "X")
    assert person.form.state.seen == ()
    assert person.things == ["case"]
    assert person.form.state.ticks["wet"].text() == "Wet"
    person.press("Space")
    assert person.form.state.seen == ("dry",)
    assert person.settings.value("parcels/single-keys") == "off"


def test_the_ticks_are_reached_by_tab_and_ticked_with_space(person):
    person.scan("practice", "MARLOW1")
    person.press("Tab", "Tab", "Space")
    assert person.form.state.seen == ("crushed",)


def test_where_nothing_is_declared_the_caution_stands_there_at_once(person, desk):
    assert person.form.hygiene.says.isVisible()
    assert person.form.hygiene.says.text() == desk.lab.parcels.not_disinfected
    person.press("Ctrl+H")
    assert not person.form.hygiene.says.isVisible()
    person.press("Ctrl+H")
    assert person.form.hygiene.says.isVisible()


def test_a_standing_statement_of_the_practice_counts_unless_something_else_is_chosen(person, desk, statement):
    person.scan("practice", statement.code)
    assert person.form.hygiene.hygiene == "standing"
    assert person.form.hygiene.says.text() == "All we send is disinfected"
    person.press("Ctrl+D")
    assert card(desk).hygiene == "standing"
    person.scan("practice", "OXMERE")
    assert person.form.hygiene.hygiene == "not-declared"


def test_what_was_seen_is_accepted_in_spite_of_it_with_initials(person, desk):
    person.scan("practice", "MARLOW1")
    assert not person.form.accepted.isVisible()
    person.press("Ctrl+I")
    assert "Nothing was seen" in person.news
    person.press("C", "Ctrl+I")
    assert person.form.accepted.text == "AB"
    person.press("Ctrl+D")
    assert card(desk).accepted_by == "AB"


def test_initials_count_no_longer_once_nothing_is_wrong_with_it(person, desk):
    person.scan("practice", "MARLOW1")
    person.press("C", "Ctrl+I")
    person.form.take_keys()
    person.press("C", "D", "Ctrl+D")
    assert card(desk).accepted_by == ""


def test_what_is_handed_in_came_by_hand(person, desk):
    person.scan("practice", "MARLOW1")
    person.press("Ctrl+B", "Ctrl+D")
    assert card(desk).way == "by-hand"


def test_an_empty_database_says_what_the_place_is_for_and_takes_a_parcel(open_person, empty_desk):
    person = open_person(empty_desk)
    assert "Scan a parcel’s label" in person.parcels.list.list._empty
    person.press("Alt+P").type("Kestrel Lane Surgery")
    person.press("Ctrl+Return")
    assert person.place == "arrivals"
    assert person.arrivals.form.field("practice").text == "Kestrel Lane Surgery"


def test_enter_goes_on_field_by_field_to_the_state_and_further(person):
    person.type("X1")
    person.press("Return")
    assert person.form.practice_field.edit.hasFocus()
    person.press("Return")
    assert person.form.state.ticks["dry"].hasFocus()
    person.press("Return")
    assert person.form.state.ticks["wet"].hasFocus()
