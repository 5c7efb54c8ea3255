"""Who speaks decides whether a word counts, so nobody is taken for more than was said."""

import pytest

from intake.domain.answer import Speaker
from intake.domain.speaking import ROLES, next_role, next_way, role_of, speaker_words

PRESCRIBERS = ("Dr R. Ashdown", "Ms T. Penhallick")


@pytest.mark.parametrize("name", ["Dr R. Ashdown", "dr r ashdown", " Dr  R.  Ashdown "])
def test_a_prescriber_named_in_full_speaks_as_the_prescriber(name):
    assert role_of(name, PRESCRIBERS) == "prescriber"


@pytest.mark.parametrize("name", ["", "Ash", "Ashdown", "Dr R. Ashdow", "Ms Osterby"])
def test_a_part_of_a_name_is_never_taken_for_the_prescriber(name):
    assert role_of(name, PRESCRIBERS) == "team"


def test_nobody_is_the_prescriber_of_a_practice_that_names_none():
    assert role_of("", ("",)) == "team"
    assert role_of("Dr R. Ashdown", ()) == "team"


def test_the_roles_go_round_from_the_least_to_the_most():
    roles = ["team"]
    for _ in ROLES:
        roles.append(next_role(roles[-1]))
    assert roles == ["team", "on-behalf", "prescriber", "team"]


def test_the_ways_go_round_and_leave_out_the_form_that_is_read_by_itself():
    ways = ["telephone"]
    while (way := next_way(ways[-1])) != "telephone":
        ways.append(way)
    assert ways == ["telephone", "in-person", "e-mail", "letter"]
    assert next_way("reply-form") == "telephone"


def test_who_speaks_is_said_in_a_sentence():
    said = speaker_words(Speaker(name=" Ms Osterby ", authority="on-behalf", route="telephone"))
    assert said == "Ms Osterby, for the prescriber, by telephone."
    assert speaker_words(Speaker(name=" ", authority="team", route="telephone")) == ""
