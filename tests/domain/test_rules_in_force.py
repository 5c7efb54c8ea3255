"""Rules that are dated, and rules of single practices: common practice, no source."""

from datetime import date, datetime

import pytest

from intake.domain.asked_rules import rule_of
from intake.domain.case import Raised
from intake.domain.judging import judge
from intake.domain.raised import REQUIREMENT
from intake.domain.rulebook import Requirement
from tests.domain.complete_cases import ARRIVED, KNOWN, a_case, the_lab

GLUE = {
    "id": "glue",
    "level": "asks",
    "types": "every",
    "satisfied_by": [{"prescribed": "material"}],
    "question": "Which glue?",
    "because": "There are several.",
}
MOVED = KNOWN.model_copy(update={"code": "NEW1", "former": ("P1",)})


def a_lab(*rules):
    return the_lab().model_copy(update={"rules": tuple(Requirement.model_validate(rule) for rule in rules)})


def glue(practice=KNOWN, arrived=ARRIVED, now=ARRIVED, **laid_down):
    """The finding of one rule, by its level; empty where it is not found."""
    case = a_case("repair", arrived=arrived, practice=practice.code if practice else "P9")
    found = judge(case, a_lab(GLUE | laid_down), practice, now).findings
    return next((finding for finding in found if finding.requirement == "glue"), None)


def level(**told):
    finding = glue(**told)
    return finding.level if finding else None


@pytest.mark.parametrize(
    ("arrived", "holds"),
    [("2026-12-31T17:00", False), ("2027-01-01T00:00", True), ("2027-06-30T23:59", True), ("2027-07-01T00:00", False)],
)
def test_a_dated_rule_holds_for_what_arrives_on_its_days_first_and_last_included(arrived, holds):
    moment = datetime.fromisoformat(arrived)
    told = level(arrived=moment, now=ARRIVED, begins=date(2027, 1, 1), ends=date(2027, 6, 30))
    assert told == ("asks" if holds else None)


def test_where_the_arrival_is_not_said_today_counts():
    assert level(arrived=None, now=datetime(2027, 1, 2, 9), begins=date(2027, 1, 1)) == "asks"
    assert level(arrived=None, now=datetime(2026, 12, 31, 9), begins=date(2027, 1, 1)) is None


def test_the_reason_says_since_when_a_rule_holds():
    dated = glue(begins=date(2026, 11, 1))
    assert dated.because == (
        "The prescription names no material. There are several. This holds for what arrives from Sun 1 Nov 2026 on."
    )
    assert glue().because == "The prescription names no material. There are several."


@pytest.mark.parametrize("code", ["P1", "p1"])
def test_a_rule_for_one_practice_holds_for_no_other(code):
    assert level(only_for=(code,)) == "asks"
    assert level(only_for=("QUAY3",)) is None
    assert level(practice=None, only_for=(code,)) is None
    assert "This is laid down for Quayside Dental Practice." in glue(only_for=(code,)).because


def test_a_practice_has_a_rule_at_another_level_or_never():
    for laid_down, told in {"stops": "stops", "warns": "warns", "never": None}.items():
        assert level(exceptions=({"practice": "P1", "level": laid_down},)) == told
        assert level(exceptions=({"practice": "QUAY3", "level": laid_down},)) == "asks"
    said = glue(exceptions=({"practice": "P1", "level": "stops"},)).because
    assert said.endswith("For Quayside Dental Practice it is laid down that work waits for this.")


def test_a_rule_that_names_a_former_code_of_a_practice_still_counts():
    assert level(practice=MOVED, only_for=("P1",)) == "asks"
    assert level(practice=MOVED, exceptions=({"practice": "P1", "level": "never"},)) is None


def test_a_practice_that_is_not_in_the_directory_is_known_by_the_code_that_is_written():
    assert level(practice=None, exceptions=({"practice": "p9", "level": "stops"},)) == "stops"


def test_of_two_rules_of_one_name_the_one_that_is_left_speaks():
    """What is never asked of a practice at one level may be asked at the other."""
    stops = GLUE | {"level": "stops", "exceptions": ({"practice": "P1", "level": "never"},)}
    (finding,) = judge(a_case("repair"), a_lab(stops, GLUE), KNOWN, ARRIVED).findings
    assert finding.level == "asks"


def test_a_raised_question_is_never_lost_to_a_rule_that_is_not_in_force():
    """It holds the work by the program's own rule where the lab's has not begun, or excepts the practice."""
    raised = {
        "id": REQUIREMENT,
        "level": "warns",
        "types": "case",
        "when": [{"raised": True}],
        "question": "{question}",
    }
    question = Raised(question="Which hook?", by="AB", at=ARRIVED)
    case = a_case("repair", raised=(question,))
    for limit in (
        {"begins": date(2027, 1, 1)},
        {"exceptions": ({"practice": "P1", "level": "never"},)},
        {"ends": date(2026, 1, 1)},
    ):
        (finding,) = judge(case, a_lab(raised | {"because": "It waits."} | limit), KNOWN, ARRIVED).findings
        assert (finding.level, finding.question) == ("stops", "Which hook?")


def test_the_rule_behind_a_question_is_found_at_the_level_of_the_practice():
    lab = a_lab(GLUE | {"exceptions": ({"practice": "P1", "level": "stops"},)})
    case = a_case("repair")
    (finding,) = judge(case, lab, KNOWN, ARRIVED).findings
    assert rule_of(finding, case, lab) == lab.rules[0]
