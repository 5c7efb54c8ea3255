"""A changed setup tried on cases: whatever differs, the quick way says what judging each case twice says."""

from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain import trying
from intake.domain.case import Raised
from intake.domain.judging import judge
from intake.domain.lab import Closure, Lab
from intake.domain.rulebook import LEVELS, OutlookIs, RaisedOpen
from intake.domain.trying import Trial
from tests.desk.changed_rules import changed_lab, with_rules
from tests.desk.desks import NOW, day_case, demo_lab, demo_practices
from tests.domain.made_cases import cases
from tests.domain.made_rules import rules
from tests.ui.whole_day import day_files

LAB, PRACTICES = demo_lab(), demo_practices()
DAY = {name: day_case(name) for name in sorted(path.stem[:2] for path in day_files() if path.parent.name == "day")}
NEVER_KNOWN = date(2199, 6, 1)
"""No bank holidays are known of that year, so that no dates can be counted."""


def key(finding):
    return finding.requirement, finding.appliance, finding.level


def twice(before, after, case, practice, booked):
    """What judging a case by both from beginning to end says: whether it turns, what is gone and what is new."""
    one, other = (judge(case, lab, practice, booked) for lab in (before, after))
    keys = [{key(finding) for finding in verdict.findings} for verdict in (one, other)]
    turn = None if one.state == other.state else "held" if other.state == "held" else "freed"
    return (turn, keys[0] - keys[1], keys[1] - keys[0]) if keys[0] != keys[1] else None


def said(difference):
    return difference and (difference.turn, set(difference.gone), set(difference.new))


def agree(before, after, case, practice=None, booked=NOW, trial=None):
    trial = trial or Trial(before, after)
    assert said(trial.of(case, practice, booked)) == twice(before, after, case, practice, booked)


def practice_of(case):
    return next((each for each in PRACTICES if each.code == case.practice), None)


@pytest.mark.parametrize("name", DAY)
def test_of_every_case_of_the_day_both_ways_say_the_same(name):
    case = DAY[name]
    agree(LAB, changed_lab(), case, practice_of(case))
    agree(changed_lab(), LAB, case, practice_of(case))


@st.composite
def changed(draw, lab):
    """A setup with rules taken out, put in twice or at another level, moved, dated, and new ones put in."""
    book = list(lab.rules)
    for _ in range(draw(st.integers(1, 4))):
        at, how = draw(st.integers(0, len(book) - 1)), draw(st.integers(0, 5))
        rule = book[at].model_copy(update={"level": draw(st.sampled_from(LEVELS))})
        match how:
            case 0:
                del book[at]
            case 1:
                book[at] = rule
            case 2:
                book.insert(at, rule)
            case 3:
                book.insert(draw(st.integers(0, len(book) - 1)), book.pop(at))
            case 4:
                book[at] = rule.model_copy(update={"begins": NOW.date() + timedelta(days=draw(st.integers(-1, 1)))})
            case 5:
                book.insert(at, draw(rules()))
    return lab.model_copy(update={"rules": tuple(book)})


made_setups = changed(LAB).flatmap(lambda before: st.tuples(st.sampled_from((LAB, before)), changed(before)))
appointments = st.sampled_from((None, date(2026, 12, 1), datetime(2026, 12, 1, 9), date(2026, 12, 24), NEVER_KNOWN))
moments = st.sampled_from((NOW, NOW + timedelta(hours=7), NOW + timedelta(days=20)))


@given(
    made_setups,
    st.lists(
        st.tuples(st.one_of(cases(), st.sampled_from(list(DAY.values()))), appointments, moments),
        min_size=1,
        max_size=3,
    ),
    st.sampled_from((None, *PRACTICES)),
)
def test_whatever_rules_differ_both_ways_say_the_same_of_one_case_after_the_other(setups, these, practice):
    trial = Trial(*setups)
    assert trial.rules_alone
    for case, appointment, booked in these:
        case = case.model_copy(update={"appointment": appointment, "practice": practice.code if practice else "ODD"})
        agree(*setups, case, practice, booked, trial)


def other_days(lab):
    return lab.calendar.model_copy(
        update={"closures": (Closure(first=date(2026, 11, 26), last=date(2026, 12, 8), name="Works"),)}
    )


def other_routes(lab):
    return tuple(each.model_copy(update={"route": each.route * 2}) for each in lab.categories)


@pytest.mark.parametrize(
    "changed_part",
    [
        {"calendar": other_days(LAB)},
        {"categories": other_routes(LAB)},
        {"deadlines": LAB.deadlines.model_copy(update={"transit_days": 9})},
        {"shades": ("Z9",)},
        {"materials": ()},
        {"types": tuple(each.model_copy(update={"arch": None}) for each in LAB.types)},
        {"notation": "universal"},
    ],
    ids=lambda part: next(iter(part)),
)
def test_what_more_than_rules_differs_in_is_judged_from_beginning_to_end(changed_part):
    after = LAB.model_copy(update=changed_part)
    trial = Trial(LAB, after)
    assert trial.differ
    assert not trial.rules_alone
    for case in DAY.values():
        agree(LAB, after, case, trial=trial)


def test_no_verdict_looks_at_what_is_said_never_to_judge():
    """Each of these is taken away altogether: whoever looked at it would find nothing there."""
    names = trying._NEVER_JUDGES - {"rules", "words"}
    assert names < set(Lab.model_fields)
    bare = LAB.model_copy(update=dict.fromkeys(names))
    for case in DAY.values():
        assert judge(case, bare, None, NOW) == judge(case, LAB, None, NOW)


def test_where_only_rules_differ_few_are_asked_and_where_nothing_does_none():
    assert Trial(LAB, changed_lab()).rules_alone
    assert not Trial(LAB, LAB).differ
    assert not Trial(LAB, LAB.model_copy(update={"name": "Another name"})).differ, "what never judges"
    reworded = with_rules(LAB, lambda rule: rule.model_copy(update={"question": f"{rule.question} Please."}))
    assert not Trial(LAB, reworded).differ, "other words ask for the same"


def test_a_question_from_a_bench_is_weighed_by_the_rule_that_every_lab_has_where_it_has_none():
    without = with_rules(LAB, lambda rule: None if any(isinstance(e, RaisedOpen) for e in rule.when) else rule)
    softer = with_rules(LAB, lambda rule: rule.model_copy(update={"level": "warns"}))
    question = Raised(question="Which of the two?", by="AB", at=NOW)
    for case in DAY.values():
        raised = case.model_copy(update={"raised": (question,)})
        agree(LAB, without, raised)
        agree(LAB, softer, raised)


def test_the_dates_count_where_a_rule_that_differs_looks_at_them():
    graver = with_rules(
        LAB,
        lambda rule: (
            rule.model_copy(update={"level": "stops"}) if any(isinstance(e, OutlookIs) for e in rule.when) else rule
        ),
    )
    late = DAY["36"].model_copy(update={"appointment": NOW.date() + timedelta(days=1)})
    difference = Trial(LAB, graver).of(late, None, NOW)
    assert "stops" in {each.level for each in difference.new}
    agree(LAB, graver, late)


def test_what_a_change_does_is_told_gravest_first_and_explained_with_the_question():
    case = DAY["02"]  # a hard splint without a bite record, and nothing else that stops it
    softer = with_rules(
        LAB, lambda rule: rule.model_copy(update={"level": "asks"}) if rule.id == "bite-record" else rule
    )
    trial = Trial(LAB, softer)
    difference = trial.of(case, practice_of(case), NOW)
    assert difference.whats == ("freed", "asked")
    assert Trial(softer, LAB).of(case, practice_of(case), NOW).whats == ("held", "no-longer-asked")
    gone, new = trial.explained(case, practice_of(case), NOW)
    assert [key(finding) for finding in gone] == list(difference.gone)
    assert [key(finding) for finding in new] == list(difference.new)
    assert "bite" in new[0].question
    assert new[0].because == gone[0].because


def test_what_stays_held_for_another_reason_is_told_as_such():
    case = DAY["02"]
    both = with_rules(LAB, lambda rule: rule.model_copy(update={"level": "stops"}) if rule.id == "thickness" else rule)
    bare = case.model_copy(
        update={
            "appliances": tuple(
                each.model_copy(update={"options": each.options.model_copy(update={"thickness_mm": None})})
                for each in case.appliances
            )
        }
    )
    assert Trial(LAB, both).of(bare, practice_of(bare), NOW).whats[0] == "held-otherwise"
