"""A changed setup tried on cases: whatever differs, the quick way says what judging each case twice says."""

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.judging import judge
from intake.domain.rulebook import RaisedOpen
from intake.domain.trying import Trial
from tests.desk.changed_rules import changed_lab, with_rules
from tests.desk.desks import NOW, day_case, demo_lab, demo_practices
from tests.domain.made_cases import cases
from tests.domain.made_rules import rules
from tests.ui.whole_day import day_files

LAB, PRACTICES = demo_lab(), demo_practices()


def key(finding):
    return finding.requirement, finding.appliance, finding.level


def twice(before, after, case, practice, booked):
    """What judging a case by both from beginning to end says: its states where they differ, what is gone and new."""
    one, other = (judge(case, lab, practice, booked) for lab in (before, after))
    keys = [{key(finding) for finding in verdict.findings} for verdict in (one, other)]
    gone = tuple(finding for finding in one.findings if key(finding) not in keys[1])
    new = tuple(finding for finding in other.findings if key(finding) not in keys[0])
    states = (None, None) if one.state == other.state else (one.state == "held", other.state == "held")
    return (*states, gone, new) if gone or new else None


def said(difference):
    if difference is None:
        return None
    return difference.held_before, difference.held_after, difference.gone, difference.new


def agree(before, after, case, practice=None, booked=NOW):
    assert said(Trial(before, after).of(case, practice, booked)) == twice(before, after, case, practice, booked)


@pytest.mark.parametrize("name", sorted(path.stem[:2] for path in day_files() if path.parent.name == "day"))
def test_of_every_case_of_the_day_both_ways_say_the_same(name):
    case = day_case(name)
    practice = next((each for each in PRACTICES if each.code == case.practice), None)
    agree(LAB, changed_lab(), case, practice)
    agree(changed_lab(), LAB, case, practice)


@given(
    cases(), st.lists(rules(), max_size=3), st.sampled_from(PRACTICES), st.sampled_from((NOW, datetime(2027, 2, 1, 15)))
)
def test_whatever_rules_are_put_in_both_ways_say_the_same(case, new, practice, booked):
    coded = case.model_copy(update={"practice": practice.code})
    shorter = LAB.model_copy(update={"rules": LAB.rules[5:]})
    after = LAB.model_copy(update={"rules": (*new, *LAB.rules[: len(LAB.rules) - 3])})
    agree(LAB, after, coded, practice, booked)
    agree(shorter, after, coded, None, booked)


def test_where_only_rules_differ_few_are_asked_and_where_nothing_does_none():
    assert Trial(LAB, changed_lab()).rules_alone
    assert not Trial(LAB, LAB).differ
    shown = LAB.model_copy(update={"name": "Another name", "cautions": LAB.cautions})
    assert not Trial(LAB, shown).differ, "what never judges makes no difference"


def test_another_calendar_or_route_is_judged_from_beginning_to_end():
    slow = LAB.model_copy(update={"deadlines": LAB.deadlines.model_copy(update={"transit_days": 9})})
    trial = Trial(LAB, slow)
    assert not trial.rules_alone
    case = day_case("36")
    agree(LAB, slow, case)
    agree(LAB, slow, day_case("69"))


def test_a_rule_about_what_was_raised_is_weighed_with_the_one_that_every_lab_has():
    without = with_rules(LAB, lambda rule: None if any(isinstance(e, RaisedOpen) for e in rule.when) else rule)
    for name in ("02", "36"):
        agree(LAB, without, day_case(name))


def test_what_a_change_does_is_told_gravest_first():
    case = day_case("02")  # a hard splint without a bite record
    softer = with_rules(
        LAB, lambda rule: rule.model_copy(update={"level": "asks"}) if rule.id == "bite-record" else rule
    )
    practice = next(each for each in PRACTICES if each.code == case.practice)
    difference = Trial(LAB, softer).of(case, practice, NOW)
    assert (difference.held_before, difference.held_after) == (True, False)
    assert difference.whats == ("freed", "asked")
    assert Trial(softer, LAB).of(case, practice, NOW).whats == ("held", "no-longer-asked")
