"""What lies in a bag, as it is said key by key."""

import pytest

from intake.ui.parcels.draft import USUAL, Draft, Thing, with_thing, without_thing


def kinds(*pressed):
    things = USUAL
    for kind in pressed:
        things = with_thing(things, kind)
    return [thing.kind for thing in things]


@pytest.mark.parametrize(
    ("pressed", "lies"),
    [
        ((), ["case"]),
        (("case",), ["case", "case"]),
        (("part",), ["part"]),
        (("part", "case"), ["part", "case"]),
        (("repair", "other"), ["repair", "other"]),
        (("nothing",), ["nothing"]),
        (("nothing", "nothing"), ["nothing"]),
        (("nothing", "case"), ["case"]),
        (("case", "nothing"), ["case", "case", "nothing"]),
    ],
)
def test_the_case_that_is_assumed_gives_way_and_of_nothing_there_is_one(pressed, lies):
    assert kinds(*pressed) == lies


def test_a_case_with_a_name_on_it_is_no_longer_only_assumed():
    named = (Thing("case", found="J. T."),)
    assert [thing.kind for thing in with_thing(named, "part")] == ["case", "part"]


def test_without_the_last_thing_the_usual_is_assumed_again():
    assert without_thing((Thing("part"),), 0) == USUAL
    assert without_thing((Thing("part"), Thing("case")), 0) == (Thing("case"),)


def test_a_draft_is_empty_until_something_is_said():
    assert Draft().is_empty
    assert not Draft(things=(Thing("case"),)).is_empty
    assert not Draft(seen=("dry",)).is_empty


def test_only_what_is_wrong_with_it_needs_somebody_to_accept_it():
    assert not Draft(seen=("dry",)).needs_acceptance
    assert Draft(seen=("dry", "crushed")).needs_acceptance
