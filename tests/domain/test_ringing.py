"""Whom to ring, and when to try again, over lunch, weekends and holidays. Common practice, no source."""

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.opening_hours import open_now
from intake.domain.practice import OpeningHours, Practice
from intake.domain.ringing import Try, next_try, review_day, ring, standings
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


def test_who_rings_back_without_saying_when_is_left_as_long_as_after_a_message():
    assert next_try([Try(NOW, "ring-back")], PRACTICE, LAB, NOW) == datetime(2026, 11, 25, 14, 0)


def test_of_tries_at_one_moment_the_one_that_was_noted_last_counts():
    assert next_try([Try(NOW, "no-answer"), Try(NOW, "wrong-number")], PRACTICE, LAB, NOW) is None
    assert next_try([Try(NOW, "wrong-number"), Try(NOW, "no-answer")], PRACTICE, LAB, NOW) is not None
    made = [Try(NOW, "spoke"), *[Try(NOW, "no-answer")] * 3]
    assert rings(STOPS, tries=made).write == "3 tries without an answer"


@pytest.mark.parametrize(
    ("at", "again"),
    [
        (datetime(2026, 3, 27, 17, 0), datetime(2026, 3, 30, 8, 30)),
        (datetime(2026, 10, 23, 17, 0), datetime(2026, 10, 26, 8, 30)),
        (datetime(2026, 4, 2, 17, 0), datetime(2026, 4, 7, 8, 30)),
        (datetime(2026, 8, 28, 17, 0), datetime(2026, 9, 1, 8, 30)),
    ],
    ids=["clocks-forward", "clocks-back", "easter", "summer-bank-holiday"],
)
def test_the_next_try_lies_beyond_a_clock_change_or_bank_holidays(at, again):
    """Bank holidays of England and Wales 2026: 3 and 6 April, 31 August (the UK government's published list)."""
    assert next_try([Try(at, "no-answer")], PRACTICE, LAB, at) == again


@pytest.mark.parametrize(
    ("tried", "again"),
    [
        (datetime(2026, 10, 28, 10, 0), datetime(2026, 10, 28, 13, 0)),
        (datetime(2026, 11, 4, 10, 0), datetime(2026, 11, 4, 14, 0)),
        (datetime(2026, 11, 25, 17, 0), datetime(2026, 11, 27, 14, 0)),
    ],
    ids=["four-hours-apart", "five-hours-apart", "over-their-thanksgiving"],
)
def test_a_practice_abroad_is_tried_again_by_its_own_clock_and_holidays(tried, again):
    """New York's clocks go back a week after London's (IANA); 26 Nov 2026 is Thanksgiving there (5 U.S.C. 6103)."""
    hours = (OpeningHours(weekdays=(0, 1, 2, 3, 4), open=("09:00-17:00",)),)
    abroad = Practice(code="FAR", name="Far away", country="US", zone="America/New_York", hours=hours)
    assert next_try([Try(tried, "no-answer")], abroad, LAB, tried) == again


def test_a_practice_that_is_never_open_while_the_lab_rings_is_written_to_instead():
    at_night = PRACTICE.model_copy(update={"hours": (OpeningHours(weekdays=(0,), open=("20:00-22:00",)),)})
    assert next_try([], at_night, LAB, NOW) is None


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
    assert standings(LAB, now).of(asked) == standing


def test_what_was_promised_and_did_not_come_returns_to_the_list_with_the_reason():
    told = rings(replace(STOPS, expected_on=date(2026, 11, 25)), now=datetime(2026, 11, 26, 9))
    assert told.standing == "due"
    assert told.why == "What was promised for Wed 25 Nov is not here."


def test_a_practice_whose_promises_run_is_rung_when_the_first_has_passed():
    told = rings(replace(STOPS, expected_on=date(2026, 11, 26)))
    assert told.standing == "promised"
    assert told.next_try == datetime(2026, 11, 27, 8, 30)


def test_a_question_that_was_put_in_writing_after_its_promise_passed_waits_for_the_letter():
    asked = replace(STOPS, expected_on=date(2026, 11, 23), letter_on=datetime(2026, 11, 24, 9), letters=1)
    told = rings(asked)
    assert (told.standing, told.next_try) == ("in-writing", datetime(2026, 11, 27, 8, 30))


def test_a_promise_that_has_passed_is_not_told_as_the_one_that_runs():
    written = replace(STOPS, expected_on=date(2026, 11, 23), letter_on=datetime(2026, 11, 24, 9), letters=1)
    assert rings(written, replace(STOPS, query_id=2, expected_on=date(2026, 11, 26))).why == "Promised for Thu 26 Nov."


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


@given(st.lists(asked_ones, min_size=1, max_size=6), st.randoms())
def test_in_whatever_order_its_questions_come_a_practice_stands_at_one_place_of_the_list(asked, chance):
    mixed = chance.sample(asked, len(asked))
    assert rings(*mixed).urgency == rings(*asked).urgency


@given(st.lists(st.lists(asked_ones, max_size=3), max_size=8), st.randoms())
def test_any_two_practices_have_an_order_and_the_graver_never_stands_lower(of_each, chance):
    order = sorted(rings(*asked).urgency for asked in of_each)
    mixed = chance.sample(of_each, len(of_each))
    assert order == sorted(rings(*asked).urgency for asked in mixed)
    gravity = [each[0] for each in order]
    assert gravity == sorted(gravity)
