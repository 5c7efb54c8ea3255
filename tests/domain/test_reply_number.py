"""The number of a reply form: as its own barcode, told from every job number, and refused when mistyped."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_97_10

from intake.domain.job_number import JobNumber, NumberRefused, read_barcode
from intake.domain.reply_number import ReplyNumberRefused, read_reply_number, reply_number, shown_reply_number

LETTERS = st.integers(1, 10**12)


@given(LETTERS)
def test_the_number_of_a_letter_s_form_reads_back_to_the_letter(letter_id):
    number = reply_number(letter_id)
    assert read_reply_number(number) == letter_id
    assert read_reply_number(f" {shown_reply_number(number).lower()} ") == letter_id


@given(LETTERS)
def test_its_check_digits_are_those_of_the_standard(letter_id):
    """Against python-stdnum's ISO/IEC 7064 MOD 97-10, as ISO 13616 uses it for letters."""
    assert mod_97_10.is_valid(reply_number(letter_id))


def test_the_example_of_the_documentation():
    assert reply_number(187) == "R00018766"
    assert shown_reply_number("R00018766") == "R 000187 66"


@given(LETTERS)
def test_it_has_an_even_count_of_digits_for_code_set_c(letter_id):
    assert len(reply_number(letter_id)[1:]) % 2 == 0


@given(LETTERS)
def test_it_is_never_taken_for_a_job_number(letter_id):
    with pytest.raises(NumberRefused):
        read_barcode(reply_number(letter_id))


@given(st.integers(0, 99), st.integers(1, 99_999_999))
def test_a_job_number_is_never_taken_for_it_even_with_the_letter_before_it(year, running):
    digits = JobNumber.make(year, running).digits
    with pytest.raises(ReplyNumberRefused):
        read_reply_number(digits)
    with pytest.raises(ReplyNumberRefused):
        read_reply_number(f"R{digits}")


@given(LETTERS, st.data())
def test_one_wrong_digit_or_two_swapped_are_noticed(letter_id, data):
    number = reply_number(letter_id)
    place = data.draw(st.integers(1, len(number) - 1))
    digit = data.draw(st.sampled_from([d for d in "0123456789" if d != number[place]]))
    with pytest.raises(ReplyNumberRefused, match="one digit is wrong"):
        read_reply_number(number[:place] + digit + number[place + 1 :])
    swap = data.draw(st.integers(1, len(number) - 2))
    swapped = number[:swap] + number[swap + 1] + number[swap] + number[swap + 2 :]
    if swapped != number:
        with pytest.raises(ReplyNumberRefused):
            read_reply_number(swapped)


@pytest.mark.parametrize("text", ["", "R", "R12", "187", "R0001876६", "R 000187 66 x", "X00018766", "R" + "9" * 60])
def test_anything_else_is_refused_with_what_would_be_right(text):
    with pytest.raises(ReplyNumberRefused, match="R 000187 66"):
        read_reply_number(text)


def test_letters_count_from_one():
    with pytest.raises(ReplyNumberRefused, match="count from 1"):
        reply_number(0)
    with pytest.raises(ReplyNumberRefused):
        read_reply_number("R00000097")
