"""Which letters are due, over weekends and closing days. Common practice, no source."""

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.letters_due import is_to_confirm, letter_due, worth_writing
from intake.domain.ringing import Try, standings
from tests.domain.asked_questions import LAB, NOW, PRACTICE, STOPS, asked_ones


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


@given(st.lists(asked_ones, max_size=8, unique_by=lambda each: each.query_id))
def test_no_letter_asks_the_same_twice_or_what_is_promised(asked):
    letter = due(*asked)
    if letter is not None:
        assert len(set(letter.query_ids)) == len(letter.query_ids)
        promised = {each.query_id for each in asked if standings(LAB, NOW).of(each) == "promised"}
        assert not promised & set(letter.query_ids)


@pytest.mark.parametrize(
    ("letter_on", "now", "to_confirm"),
    [
        (None, NOW, True),
        (NOW, NOW, False),
        (NOW, datetime(2026, 12, 2, 17), False),
        (NOW, datetime(2026, 12, 3, 9), True),
        (datetime(2026, 12, 22, 9), datetime(2027, 1, 7, 17), False),
        (datetime(2026, 12, 22, 9), datetime(2027, 1, 8, 9), True),
    ],
    ids=["no-letter", "today", "fifth-working-day", "after-it", "closed-between", "after-the-closure"],
)
def test_a_spoken_answer_is_put_in_a_letter_once_and_again_when_nobody_confirms_it(letter_on, now, to_confirm):
    """Five working days; the demo's lab is shut from 24 December to 3 January."""
    assert is_to_confirm(letter_on, LAB, now) is to_confirm


@given(st.lists(asked_ones, max_size=8, unique_by=lambda each: each.query_id), st.integers(0, 3))
def test_what_was_written_is_not_due_again_the_same_day(asked, hours):
    letter = due(*asked)
    if letter is not None:
        later = NOW + timedelta(hours=hours)
        written = [
            replace(each, letter_on=NOW, letters=each.letters + 1) if each.query_id in letter.query_ids else each
            for each in asked
        ]
        assert due(*written, letters=[NOW], now=later) is None
        assert due(*written, now=later) is None
