"""A rule while it is written: what is missing or wrong is said by its field, and what is left alone stays."""

from datetime import date
from functools import cache

import pytest
from hypothesis import given

from intake.domain.rule_cautions import caution_of
from intake.domain.rule_sketch import RuleSketch, finished, rule_id, sketch_of
from intake.domain.rulebook import AllergyNamed, ArchIs, ForPractice, Requirement
from tests.domain.complete_cases import the_lab
from tests.domain.made_rules import rules

TODAY = date(2026, 11, 25)
ALLERGY = AllergyNamed(allergy=True)


@given(rules())
def test_a_rule_that_is_opened_and_left_is_the_same_rule(rule):
    """Also one whose days lie further away than a date that is typed may."""
    assert finished(sketch_of(rule), TODAY, rule) == rule


@cache
def whole():
    return RuleSketch(id="Shade guide", when=(ALLERGY,), question="Which guide?")


def test_a_sketch_with_a_name_a_question_and_a_circumstance_is_a_rule():
    rule = finished(whole(), TODAY)
    assert isinstance(rule, Requirement)
    assert (rule.id, rule.level, rule.types, rule.because) == ("shade-guide", "asks", "every", "")


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"id": " – "}, "id", "Give it a name"),
        ({"when": ()}, "when", "Say when it holds, or what it needs."),
        ({"question": " "}, "question", "Write what is asked"),
        ({"question": "Which {guide}?"}, "question", "“{guide}” is not known here; known are appliance, arch"),
        ({"because": "It {shows."}, "because", "a brace too many or too few"),
        ({"scope": "some"}, "kinds", "Choose at least one kind"),
        ({"scope": "case", "when": (ArchIs(arch=("upper",)),)}, "when", "“it is for the upper arch” is about one"),
        ({"begins": "31/2/2027"}, "begins", "has no day 31"),
        ({"ends": "1 mar 2027 9.30"}, "ends", "leave the time out"),
        ({"begins": "2 mar 2027", "ends": "1 mar 2027"}, "ends", "It ends on Mon 1 Mar 2027, before it begins"),
        ({"exceptions": (ForPractice(practice="A", level="never"),) * 2}, "practices", "“A” stands twice"),
    ],
)
def test_what_is_missing_or_wrong_is_said_where_it_is(changes, field, says):
    wrong = finished(whole().having(**changes), TODAY)
    assert list(wrong) == [field]
    assert says in wrong[field]


@pytest.mark.parametrize(
    ("typed", "name"),
    [("Shade guide", "shade-guide"), ("bite-record", "bite-record"), ("  Größe (mm) ", "grosse-mm"), ("—", "")],
)
def test_a_name_becomes_one_of_the_rule_book(typed, name):
    assert rule_id(typed) == name


def test_rules_that_keep_people_from_harm_say_so():
    warned = {rule.id for rule in the_lab().rules if caution_of(rule)}
    assert warned == {
        "allergy",
        "blood-seen",
        "hygiene-status",
        "name-found-differs",
        "name-found-near",
        "under-18-whitening",
    }
