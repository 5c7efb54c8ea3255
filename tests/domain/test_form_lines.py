"""Appliance lines that are added, split and emptied."""

from hypothesis import given
from hypothesis import strategies as st

from intake.domain.form_lines import (
    appliance_count,
    line_of,
    line_place,
    says_nothing,
    with_line_after,
    with_line_split,
    without_line,
)

TWO = {
    "practice": "MARLOW1",
    "appliances[0]": "ret u",
    "appliances[0].options.shade": "A2",
    "appliances[1]": "hs l",
    "appliances[1].notes": "spare",
}


def test_a_place_knows_its_line():
    assert line_of("appliances[12].options.shade") == 12
    assert line_of("appliances[3]") == 3
    assert line_of("patient.label") is None


def test_a_form_has_one_line_at_least():
    assert appliance_count({}) == 1
    assert appliance_count(TWO) == 2


def test_a_new_line_moves_the_later_ones_down_with_all_that_is_theirs():
    added = with_line_after(TWO, 0)
    assert added["appliances[1]"] == ""
    assert (added["appliances[2]"], added["appliances[2].notes"]) == ("hs l", "spare")
    assert added["appliances[0].options.shade"] == "A2"


def test_a_line_that_goes_takes_what_is_its_own_along():
    left = without_line(TWO, 0)
    assert left == {"practice": "MARLOW1", "appliances[0]": "hs l", "appliances[0].notes": "spare"}


def test_several_appliances_in_a_line_become_lines_and_the_first_keeps_its_fields():
    split = with_line_split({**TWO, "appliances[0]": "ret u; ret l + mg"}, 0)
    assert [split[line_place(n)] for n in range(4)] == ["ret u", "ret l", "mg", "hs l"]
    assert split["appliances[0].options.shade"] == "A2"
    assert split["appliances[3].notes"] == "spare"


def test_a_plus_within_a_word_parts_nothing():
    assert with_line_split({"appliances[0]": "ret u 1+1"}, 0) == {"appliances[0]": "ret u 1+1"}
    assert with_line_split({"appliances[0]": "ret u;"}, 0) == {"appliances[0]": "ret u;"}


def test_a_line_with_an_option_says_something():
    assert says_nothing({"appliances[0]": "  "}, 0)
    assert not says_nothing({"appliances[0].options.shade": "A2"}, 0)


@given(texts=st.lists(st.text("abc", min_size=1), min_size=1, max_size=5), at=st.integers(0, 4))
def test_adding_a_line_and_taking_it_away_changes_nothing(texts, at):
    typed = {line_place(n): text for n, text in enumerate(texts)}
    at = min(at, len(texts) - 1)
    assert without_line(with_line_after(typed, at), at + 1) == typed
