"""Answers: taken down while talking, with their source, and what they free."""

from dataclasses import replace
from datetime import timedelta

import pytest

from intake.desk.answering import NobodySpeaks, NoLongerAsked, confirm, take_answer, take_back
from intake.desk.call_card import call_card
from intake.desk.issue import issue_all
from intake.desk.look_up import card
from intake.domain.answer import Speaker
from tests.desk.desks import NOW, day_case
from tests.desk.waiting import NURSE, PRESCRIBER, RECEPTION, booked, question, said


def states(desk, case_id):
    return [job.state for job in desk.store.read.jobs_of(case_id)]


def open_about(desk, case_id):
    return [query.requirement for query in desk.store.read.queries_of(case_id) if query.state == "open"]


def test_an_answer_changes_the_case_at_once_and_closes_its_question(desk):
    made = booked(desk, "40")  # a soft splint without its thickness, which stops
    assert states(desk, made.case_id) == ["held"]
    key = desk.store.read.case(made.case_id).practice_code
    answered = take_answer(desk, *said(desk, key, "thickness", "3"), NURSE)
    assert answered.closed
    assert states(desk, made.case_id) == ["clear"]
    assert "thickness" not in open_about(desk, made.case_id)
    assert desk.store.read.case(made.case_id).case.appliances[0].options.thickness_mm == 3
    assert "Thickness: 3 mm, says Ms Osterby, for the prescriber, by telephone." in answered.said
    assert "is clear" in answered.said


def test_the_ticket_of_a_job_that_an_answer_frees_is_replaced(desk):
    made = booked(desk, "40")
    issue_all(desk, made.tickets)
    key = desk.store.read.case(made.case_id).practice_code
    answered = take_answer(desk, *said(desk, key, "thickness", "3"), NURSE)
    (ticket,) = answered.tickets
    assert desk.store.read.document(ticket).copy == 2


def test_an_answer_keeps_who_said_it_in_what_role_when_and_who_took_it_down(desk):
    made = booked(desk, "40")
    key = desk.store.read.case(made.case_id).practice_code
    take_answer(desk, *said(desk, key, "thickness", "3"), NURSE)
    (kept,) = desk.store.read.answers_of(made.case_id)
    assert (kept.speaker, kept.authority, kept.route, kept.who, kept.at) == (
        "Ms Osterby",
        "on-behalf",
        "telephone",
        "AB",
        NOW,
    )


def test_what_is_made_is_not_changed_on_the_word_of_the_team_alone(desk):
    made = booked(desk, "40")
    key = desk.store.read.case(made.case_id).practice_code
    answered = take_answer(desk, *said(desk, key, "thickness", "3"), RECEPTION)
    assert not answered.counts
    assert not answered.closed
    assert states(desk, made.case_id) == ["held"]
    assert "has to come from the prescriber" in answered.said
    assert "Kept as a note" in question(desk, key, "thickness")[1].earlier[0]


def test_an_appointment_may_be_told_by_anybody_at_the_practice(desk):
    made = booked(desk, "26")
    key = desk.store.read.case(made.case_id).practice_code
    assert take_answer(desk, *said(desk, key, "appointment-date", "18 dec 9.30"), RECEPTION).closed


def test_a_spoken_answer_stands_until_it_is_confirmed_in_writing(desk):
    made = booked(desk, "40")
    key = desk.store.read.case(made.case_id).practice_code
    take_answer(desk, *said(desk, key, "thickness", "3"), NURSE)
    (spoken,) = call_card(desk, key).spoken
    assert spoken.written == "goes out with today’s letter"
    confirm(desk, spoken.answer_ids, "by letter")
    shown = call_card(desk, key)
    assert shown is None or not shown.spoken
    assert desk.store.read.case(made.case_id).case.spoken == ()


def test_an_answer_in_writing_needs_no_confirmation(desk):
    made = booked(desk, "40")
    key = desk.store.read.case(made.case_id).practice_code
    writes = Speaker(name="Ms Osterby", authority="on-behalf", route="e-mail")
    take_answer(desk, *said(desk, key, "thickness", "3"), writes)
    assert desk.store.read.spoken(key) == ()


def test_where_the_lab_says_so_a_spoken_answer_frees_no_job_until_it_is_confirmed(desk):
    strict = tuple(
        rule.model_copy(update={"level": "stops"}) if rule.id == "spoken-answer" else rule for rule in desk.lab.rules
    )
    desk = replace(desk, lab=desk.lab.model_copy(update={"rules": strict}))
    made = booked(desk, "40")
    key = desk.store.read.case(made.case_id).practice_code
    answered = take_answer(desk, *said(desk, key, "thickness", "3"), NURSE)
    assert answered.closed
    assert states(desk, made.case_id) == ["held"]
    told = confirm(desk, answered.answer_ids, "by e-mail").said
    assert states(desk, made.case_id) == ["clear"]
    assert "may go to the bench" in told


def test_a_promise_leaves_the_question_open_with_its_day(desk):
    made = booked(desk, "02")
    key = desk.store.read.case(made.case_id).practice_code
    answered = take_answer(desk, *said(desk, key, "bite-record", "post"), RECEPTION)
    assert not answered.closed
    assert states(desk, made.case_id) == ["held"]
    assert question(desk, key, "bite-record")[1].standing.startswith("promised for Thu 26 Nov: bite record in the post")


def test_an_answer_can_be_taken_back_and_stays_in_the_story(desk):
    made = booked(desk, "40")
    key = desk.store.read.case(made.case_id).practice_code
    before = desk.store.read.case(made.case_id).case
    take_back(desk, take_answer(desk, *said(desk, key, "thickness", "3"), NURSE))
    assert desk.store.read.case(made.case_id).case == before
    assert states(desk, made.case_id) == ["held"]
    assert "thickness" in open_about(desk, made.case_id)
    (earlier,) = question(desk, key, "thickness")[1].earlier
    assert earlier.endswith("Taken back since.")


def test_a_question_that_was_settled_meanwhile_takes_no_answer(desk):
    made = booked(desk, "40")
    key = desk.store.read.case(made.case_id).practice_code
    query_id, answer = said(desk, key, "thickness", "3")
    take_answer(desk, query_id, answer, NURSE)
    with pytest.raises(NoLongerAsked, match="answered meanwhile"):
        take_answer(desk, query_id, answer, NURSE)


def test_an_answer_needs_somebody_who_says_it(desk):
    made = booked(desk, "40")
    key = desk.store.read.case(made.case_id).practice_code
    with pytest.raises(NobodySpeaks):
        take_answer(desk, *said(desk, key, "thickness", "3"), Speaker(name=" ", authority="team", route="telephone"))


def test_what_shall_always_be_so_settles_the_practices_other_cases_too(desk):
    first = booked(desk, "02")
    key = desk.store.read.case(first.case_id).practice_code
    other = booked(
        desk,
        "36",
        practice=key,
        items=(),
        appliances=tuple(
            each.model_copy(update={"options": each.options.model_copy(update={"thickness_mm": None})})
            for each in desk.store.read.case(first.case_id).case.appliances
        ),
    )
    assert "thickness" in open_about(desk, other.case_id)
    take_answer(desk, *said(desk, key, "thickness", "always 2", first.case_id), PRESCRIBER)
    assert "thickness" not in open_about(desk, other.case_id)
    (standing,) = [s for s in desk.store.read.practice(key).practice.standing if s.requirement == "thickness"]
    assert standing.says == "2 mm unless stated"
    assert standing.source == "Dr R. Ashdown, the prescriber, by telephone"
    assert standing.review == NOW.date() + timedelta(days=365)


def test_the_story_of_a_case_tells_what_was_asked_and_who_answered(desk):
    made = booked(desk, "40")
    key = desk.store.read.case(made.case_id).practice_code
    take_answer(desk, *said(desk, key, "thickness", "3"), NURSE)
    told = [each.what for each in card(desk, made.jobs[0].number).history]
    assert any("3 mm" in each and "Ms Osterby" in each for each in told)


def test_of_three_alike_that_are_one_the_other_appliance_is_not_taken_away(desk):
    splint = day_case("36").appliances[0]
    alike = (day_case("70").appliances[0],) * 3
    made = booked(desk, "70", appliances=(*alike, splint))
    key = desk.store.read.case(made.case_id).practice_code
    take_answer(desk, *said(desk, key, "same-appliance-twice", "no"), PRESCRIBER)
    left = desk.store.read.case(made.case_id).case.appliances
    assert [each.type for each in left] == ["vacuum-formed-retainer", "occlusal-splint-hard"]
    assert len(desk.store.read.case(made.case_id).case.spoken) == 1
    confirm(desk, [answer for line in call_card(desk, key).spoken for answer in line.answer_ids], "by letter")
    assert desk.store.read.case(made.case_id).case.spoken == ()
