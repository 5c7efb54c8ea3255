"""Slips of the hand: one sign wrong, missing, too many, or two swapped."""

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rapidfuzz.distance import OSA

from intake.domain.job_number import JobNumber
from intake.domain.slips import Slip, allowed, one_slip_off, slip, sound_numbers_near

words = st.text(alphabet=string.ascii_lowercase, min_size=1, max_size=9)


@pytest.mark.parametrize(
    ("typed", "how"),
    [
        ("ashdown", Slip(0)),
        ("ashdwon", Slip(1)),
        ("ashdow", Slip(0, begun=True)),
        ("ashown", Slip(1)),
        ("ashdovn", Slip(1, unlikely=True)),
        ("ashddown", Slip(1, unlikely=True)),
        ("ahdo", Slip(1, begun=True, unlikely=True)),
        ("nobody", None),
    ],
)
def test_how_far_what_was_typed_is_from_a_name(typed, how):
    found = slip(typed, "ashdown", 1)
    assert (found and (found.count, found.begun)) == (how and (how.count, how.begun))


def test_a_missing_or_swapped_sign_is_likelier_than_a_wrong_one():
    assert slip("27886", "27868", 1) < slip("27886", "97886", 1)
    assert slip("2037", "20237", 1) < slip("2037", "2097", 1)


def test_a_long_word_may_have_two_slips_and_a_number_one():
    assert [allowed(word) for word in ("jt", "may", "marlowe", "fernhallow", "12345678")] == [0, 1, 1, 2, 1]


@given(words)
def test_every_word_one_slip_off_is_one_slip_off_by_an_independent_library(word):
    assert {OSA.distance(word, other) for other in one_slip_off(word)} <= {1}


@given(words, words)
def test_no_word_that_the_library_puts_one_slip_off_is_left_out(word, other):
    if OSA.distance(word, other) == 1:
        assert other in one_slip_off(word)


@given(st.integers(2024, 2030), st.integers(1, 999_999), st.data())
def test_a_number_with_a_slip_in_it_leads_back_to_the_number(year, running, data):
    number = JobNumber.make(year, running).digits
    typed = data.draw(st.sampled_from(sorted(one_slip_off(number))))
    near = sound_numbers_near(typed)
    assert number in near
    assert len(near) <= 12
