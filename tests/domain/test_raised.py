"""Questions that come up at a bench or at the desk: they stop the work, and any words may answer them."""

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.answer import Speaker
from intake.domain.answering import apply, counts, read_answer
from intake.domain.facts import Facts
from intake.domain.findings import find
from intake.domain.judging import judge
from intake.domain.raised import REQUIREMENT, open_question, with_answer, with_raised, without_raised
from intake.resources import demo
from intake.setup.reading import read_setup
from tests.desk.desks import day_case, demo_practices

LAB = read_setup(demo("lab.toml"))
NOW = datetime(2026, 11, 26, 14, 10)
PRESCRIBER = Speaker(name="Dr R. Ashdown", authority="prescriber", route="telephone")
RECEPTION = Speaker(name="Jo", authority="team", route="telephone")
ASKED = "Is the clasp on UR4 wanted?"


def clear_case():
    return day_case("36")


def verdict_on(case, lab=LAB):
    practice = next(each for each in demo_practices() if each.code == case.practice)
    return judge(case, lab, practice, NOW)


def raised_in(case, lab=LAB):
    return [finding for finding in verdict_on(case, lab).findings if finding.requirement == REQUIREMENT]


def asked(case=None, question=ASKED, bench="Splints"):
    return with_raised(case or clear_case(), question, "AB", NOW, bench)


def answered(case, text, speaker=PRESCRIBER):
    (finding,) = raised_in(case)
    read = read_answer(text, finding, case, LAB, None, NOW)
    assert read.answer is not None, read.said
    return (
        apply(case, finding, read.answer, speaker, LAB, None, NOW),
        read.answer,
        counts(finding, read.answer, speaker),
    )


def test_a_raised_question_stops_every_job_of_the_case():
    assert verdict_on(clear_case()).state == "clear"
    verdict = verdict_on(asked())
    assert [job.state for job in verdict.jobs] == ["held"]
    (finding,) = raised_in(asked())
    assert finding.level == "stops"
    assert finding.question == ASKED
    assert finding.because == "Asked at Splints on Thu 26 Nov 2026. Work on it waits until this is answered."


def test_a_setup_that_is_older_than_raised_questions_stops_too():
    older = LAB.model_copy(update={"rules": tuple(rule for rule in LAB.rules if rule.id != REQUIREMENT)})
    assert [finding.question for finding in raised_in(asked(), older)] == [ASKED]


@pytest.mark.parametrize("words", ["as written", "no", "yes", "not needed", "usual", "leave it out", "A2 if you can"])
def test_any_words_of_the_prescriber_answer_it(words):
    case, answer, why_not = answered(asked(), words)
    assert (answer.kind, answer.says, why_not) == ("value", words, "")
    assert case.raised[0].answer == words
    assert raised_in(case) == []
    assert case.spoken[0].requirement == REQUIREMENT


def test_what_is_to_be_made_is_not_the_teams_to_say():
    case, _, why_not = answered(asked(), "leave it out", RECEPTION)
    assert "has to come from the prescriber" in why_not
    assert raised_in(case) != []


@pytest.mark.parametrize("words", ["don’t know", "later", "…"])
def test_words_that_settle_nothing_are_no_answer(words):
    (finding,) = raised_in(asked())
    read = read_answer(words, finding, asked(), LAB, None, NOW)
    assert read.answer is None
    assert "leaves the question open" in read.said.text


def test_something_that_is_sent_for_it_leaves_it_open_with_a_day():
    case, answer, _ = answered(asked(question="The model is broken. Please send another."), "post")
    assert answer.kind == "promise"
    assert answer.says.startswith("in the post, here by ")
    assert raised_in(case) != []


def test_words_that_only_begin_as_if_something_were_sent_are_the_answer():
    case, answer, _ = answered(asked(), "scan shows it, go by that")
    assert answer.kind == "value"
    assert raised_in(case) == []


def test_two_open_questions_are_asked_together_and_answered_together():
    both = asked(asked(), "Which of the two models is newer?", "Checking")
    (finding,) = raised_in(both)
    assert finding.question == f"(1) {ASKED} (2) Which of the two models is newer?"
    case, _, _ = answered(both, "yes; the stone one")
    assert open_question(case) == ""


def test_an_answered_question_is_kept_and_a_new_one_asks_for_itself():
    again = asked(with_answer(asked(), "yes"), "And the labial bow?")
    (finding,) = raised_in(again)
    assert finding.question == "And the labial bow?"
    assert again.raised[0].answer == "yes"


def test_a_question_raised_by_mistake_leaves_no_trace_in_the_case():
    case = asked()
    assert without_raised(case, case.raised[0]) == clear_case()


@given(st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=1).filter(str.strip))
def test_whatever_is_asked_stands_in_the_finding_as_it_was_typed(question):
    """Braces, too: a question is never taken for a template."""
    case = with_raised(clear_case(), question, "AB", NOW)
    (finding,) = raised_in(case)
    assert finding.question == " ".join(question.split())


def test_the_rule_of_the_setup_decides_the_words_around_it():
    rules = tuple(
        rule.model_copy(update={"question": "From our bench: {question}"}) if rule.id == REQUIREMENT else rule
        for rule in LAB.rules
    )
    (finding,) = raised_in(asked(), LAB.model_copy(update={"rules": rules}))
    assert finding.question == f"From our bench: {ASKED}"


def test_no_other_case_is_asked_anything():
    assert [f for f in find(clear_case(), Facts(), LAB) if f.requirement == REQUIREMENT] == []
