"""Whom to ring, and when to try again, over lunch, weekends and holidays. Common practice, no source."""

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.opening_hours import open_now
from intake.domain.ringing import Try, next_try, review_day, ring, standing_of
from tests.domain.asked_questions import LAB, NOW, PRACTICE, STOPS, asked_ones


def rings(*asked, tries=(), now=NOW, spoken=0):
    return ring(asked, tries, PRACTICE, LAB, now, spoken)


@pytest.mark.parametrize(
    ("outcome", "at", "again"),
    [
        ("no-answer", datetime(2026, 11, 25, 10), datetime(2026, 11, 25, 11)),
        ("no-answer", datetime(2026, 11, 25, 11, 45), datetime(2026, 11, 25, 13, 30)),  # an hour later is lunch
        ("engaged", datetime(2026, 11, 25, 10), datetime(2026, 11, 25, 10, 10)),
        ("engaged", datetime(2026, 11, 25, 12, 25), datetime(2026, 11, 25, 13, 30)),
        ("message-left", datetime(2026, 11, 25, 15), datetime(2026, 11, 26, 8, 30)),
        ("no-answer", datetime(2026, 11, 27, 17), datetime(2026, 11, 30, 8, 30)),  # over the weekend
        ("no-answer", datetime(2026, 12, 23, 17), datetime(2027, 1, 4, 8, 30)),  # over the lab's winter closure
        ("spoke", datetime(2026, 11, 25, 10), datetime(2026, 11, 25, 10, 10)),
        ("wrong-number", datetime(2026, 11, 25, 10), None),
    ],
)
def test_the_next_try_depends_on_what_the_last_one_came_to(outcome, at, again):
    assert next_try([Try(at, outcome)], PRACTICE, LAB, at) == again


def test_who_asked_to_be_rung_back_is_rung_then_and_not_at_lunch():
    at_one = Try(NOW, "ring-back", datetime(2026, 11, 25, 13, 0))
    assert next_try([at_one], PRACTICE, LAB, NOW) == datetime(2026, 11, 25, 13, 30)
    at_four = Try(NOW, "ring-back", datetime(2026, 11, 25, 16, 0))
    assert next_try([at_four], PRACTICE, LAB, NOW) == datetime(2026, 11, 25, 16, 0)


def test_whoever_was_never_tried_can_be_rung_at_once():
    assert rings(STOPS).next_try == NOW


@pytest.mark.parametrize(
    ("asked", "now", "standing"),
    [
        (STOPS, NOW, "due"),
        (STOPS, datetime(2026, 12, 1, 12), "overdue"),
        (replace(STOPS, expected_on=date(2026, 11, 26)), NOW, "promised"),
        (replace(STOPS, expected_on=date(2026, 11, 26)), datetime(2026, 11, 26, 17), "promised"),
        (replace(STOPS, expected_on=date(2026, 11, 26)), datetime(2026, 11, 27, 0, 0), "due"),
        (replace(STOPS, letter_on=NOW, letters=1), datetime(2026, 11, 27, 17), "in-writing"),
        (replace(STOPS, letter_on=NOW, letters=1), datetime(2026, 11, 28, 9), "due"),  # two working days are over
        (replace(STOPS, letter_on=datetime(2026, 11, 30, 9), letters=1), datetime(2026, 11, 30, 12), "due"),  # near
    ],
    ids=["new", "past-reply-by", "promised", "on-its-day", "day-passed", "written", "letter-old", "reply-by-near"],
)
def test_a_question_is_due_promised_or_in_writing(asked, now, standing):
    assert standing_of(asked, LAB, now) == standing


def test_what_was_promised_and_did_not_come_returns_to_the_list_with_the_reason():
    told = rings(replace(STOPS, expected_on=date(2026, 11, 25)), now=datetime(2026, 11, 26, 9))
    assert told.standing == "due"
    assert told.why == "What was promised for Wed 25 Nov is not here."


def test_a_practice_whose_promises_run_is_rung_when_the_first_has_passed():
    told = rings(replace(STOPS, expected_on=date(2026, 11, 26)))
    assert told.standing == "promised"
    assert told.next_try == datetime(2026, 11, 27, 8, 30)


def test_the_list_is_ordered_by_reply_by_with_the_overdue_first():
    late = replace(STOPS, reply_by=NOW - timedelta(hours=1))
    soon, later = replace(STOPS, reply_by=NOW + timedelta(days=2)), replace(STOPS, reply_by=NOW + timedelta(days=3))
    promised, never = replace(soon, expected_on=date(2026, 11, 26)), replace(STOPS, reply_by=None)
    order = [rings(each).urgency for each in (late, soon, later, never, promised)]
    assert order == sorted(order)


@pytest.mark.parametrize(
    ("tries", "asked", "why"),
    [
        (["no-answer"] * 2, STOPS, ""),
        (["no-answer", "engaged", "message-left"], STOPS, "3 tries without an answer"),
        (["no-answer", "no-answer", "spoke"], STOPS, ""),
        (["wrong-number"], STOPS, "the number on file is wrong"),
        ([], replace(STOPS, reply_by=NOW + timedelta(hours=20)), "reply by is near"),
        (["no-answer"] * 3, replace(STOPS, letter_on=NOW, letters=1), ""),
    ],
    ids=["two-tries", "three-tries", "reached", "wrong-number", "reply-by-near", "written-already"],
)
def test_after_tries_in_vain_or_near_reply_by_it_is_time_to_write(tries, asked, why):
    made = [Try(NOW + timedelta(minutes=15 * n), outcome) for n, outcome in enumerate(tries)]
    assert rings(asked, tries=made, now=NOW + timedelta(hours=1)).write == why


@pytest.mark.parametrize(
    ("since", "review"),
    [(date(2026, 11, 25), date(2027, 11, 25)), (date(2024, 2, 29), date(2025, 2, 28))],
    ids=["a-year-later", "leap-day"],
)
def test_a_standing_instruction_is_gone_through_again_after_the_setups_months(since, review):
    assert review_day(since, LAB) == review


moments = st.datetimes(datetime(2026, 1, 5), datetime(2026, 12, 18)).map(lambda m: m.replace(second=0, microsecond=0))
outcomes = st.sampled_from(["spoke", "no-answer", "engaged", "message-left"])


@given(moments, st.lists(st.tuples(st.integers(0, 3000), outcomes), min_size=1, max_size=6))
def test_nobody_is_rung_at_lunch_or_twice_within_ten_minutes(now, made):
    tries = [Try(now - timedelta(minutes=ago), outcome) for ago, outcome in made]
    again = next_try(tries, PRACTICE, LAB, now)
    assert again >= now
    assert again - max(each.at for each in tries) >= timedelta(minutes=LAB.ringing.least_minutes)
    assert open_now(PRACTICE, LAB, again).open


@given(st.lists(asked_ones, max_size=8), st.integers(0, 2))
def test_every_open_question_is_due_to_be_rung_promised_or_in_writing_and_has_its_time(asked, spoken):
    told = rings(*asked, spoken=spoken)
    if asked:
        assert told.next_try is not None  # whatever is open is rung for, now or when its promise or letter has passed
    assert told.why
