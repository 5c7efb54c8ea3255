"""Whom to ring, when to try again and when to write, over lunch, weekends and holidays. Common practice, no source."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.opening_hours import open_now
from intake.domain.practice import OpeningHours, Practice
from intake.domain.ringing import (
    Try,
    letter_due,
    next_try,
    review_day,
    ring,
    standing_of,
    worth_writing,
)
from intake.resources import demo
from intake.setup.reading import read_setup


@dataclass(frozen=True)
class Asked:
    """An open question, as ringing sees it."""

    query_id: int
    opened: datetime
    reply_by: datetime | None = None
    expected_on: date | None = None
    letter_on: datetime | None = None
    letters: int = 0


LAB = read_setup(demo("lab.toml"))
PRACTICE = Practice(
    code="MARLOW1",
    name="Marlowe House",
    hours=(OpeningHours(weekdays=(0, 1, 2, 3, 4), open=("08:30-12:30", "13:30-17:30")),),
)
NOW = datetime(2026, 11, 25, 10, 0)
"""A Wednesday morning."""
STOPS = Asked(1, NOW - timedelta(hours=1), reply_by=datetime(2026, 12, 1, 12))


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


def due(*asked, letters=(), tries=(), spoken=0, lab=LAB, now=NOW):
    return letter_due(asked, letters, tries, spoken, PRACTICE, lab, now)


def test_a_letter_asks_everything_that_no_letter_asked():
    assert due(STOPS, replace(STOPS, query_id=2)).query_ids == (1, 2)


def test_a_reminder_is_due_when_the_letter_has_had_its_working_days():
    """A letter of Wed 23 Dec 2026: the lab is shut from 24 Dec to 3 Jan, so its second working day is Tue 5 Jan."""
    asked = replace(STOPS, letter_on=datetime(2026, 12, 23, 16), letters=1, reply_by=datetime(2027, 1, 20, 12))
    assert due(asked, now=datetime(2027, 1, 5, 10)) is None
    reminder = due(asked, now=datetime(2027, 1, 6, 10))
    assert (reminder.query_ids, reminder.reminder, reminder.why) == ((1,), 1, "reminder 1")


def test_nobody_gets_two_letters_with_questions_on_one_day():
    assert due(STOPS, letters=[NOW.replace(hour=8)]) is None
    assert due(STOPS, letters=[NOW - timedelta(days=1)]) is not None


def test_a_confirmation_goes_out_the_same_day_whatever_was_written():
    confirmation = due(STOPS, letters=[NOW.replace(hour=8)], spoken=2)
    assert confirmation.query_ids == ()
    assert confirmation.why == "to confirm 2 answers by word of mouth"


def test_where_the_lab_rings_first_nothing_is_written_before_ringing_failed():
    lab = LAB.model_copy(update={"letter": LAB.letter.model_copy(update={"first": "after-ringing"})})
    assert due(STOPS, lab=lab) is None
    tries = [Try(NOW - timedelta(hours=n), "no-answer") for n in (3, 2, 1)]
    assert due(STOPS, lab=lab, tries=tries).query_ids == (1,)


def test_a_letter_that_a_person_wants_now_asks_what_is_new_else_reminds_early():
    new, old = STOPS, replace(STOPS, query_id=2, letter_on=NOW - timedelta(days=1), letters=1)
    promised = replace(STOPS, query_id=3, expected_on=date(2026, 11, 26))
    assert worth_writing([new, old, promised], LAB, NOW) == (1,)
    assert worth_writing([old, promised], LAB, NOW) == (2,)
    assert worth_writing([promised], LAB, NOW) == ()


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


asked_ones = st.builds(
    Asked,
    query_id=st.integers(1, 99),
    opened=st.just(NOW),
    reply_by=st.none() | st.datetimes(NOW - timedelta(days=3), NOW + timedelta(days=9)),
    expected_on=st.none() | st.dates(date(2026, 11, 20), date(2026, 12, 3)),
    letter_on=st.none() | st.datetimes(NOW - timedelta(days=9), NOW),
    letters=st.just(1),
)


@given(st.lists(asked_ones, max_size=8), st.integers(0, 2))
def test_every_open_question_is_due_to_be_rung_promised_or_in_writing_and_has_its_time(asked, spoken):
    told = rings(*asked, spoken=spoken)
    if asked:
        assert told.next_try is not None  # whatever is open is rung for, now or when its promise or letter has passed
    assert told.why


@given(st.lists(asked_ones, max_size=8, unique_by=lambda each: each.query_id))
def test_no_letter_asks_the_same_twice_or_what_is_promised(asked):
    letter = due(*asked)
    if letter is not None:
        assert len(set(letter.query_ids)) == len(letter.query_ids)
        promised = {each.query_id for each in asked if standing_of(each, LAB, NOW) == "promised"}
        assert not promised & set(letter.query_ids)
