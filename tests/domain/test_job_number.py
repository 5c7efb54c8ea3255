"""The job number: how it is made, shown, typed and scanned."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from intake.domain.job_number import JobNumber, NumberRefused, read_barcode, read_number

numbers = st.builds(JobNumber.make, st.integers(2000, 2099), st.integers(1, 99_999_999))
usual_numbers = st.builds(JobNumber.make, st.integers(2000, 2099), st.integers(1, 999_999))


def test_a_number_is_shown_in_groups_as_it_is_read_aloud():
    number = JobNumber.make(2026, 4123)
    assert number.shown == "26 004123 76"
    assert (number.year, number.running) == (26, 4123)
    assert number.barcode(2) == "260041237602"


@pytest.mark.parametrize("running", [1, 999_999, 1_000_000, 99_999_999])
def test_a_number_has_an_even_count_of_digits_however_many_jobs_the_year_has(running):
    number = JobNumber.make(2026, running)
    assert len(number.digits) == (10 if running <= 999_999 else 12)
    assert read_number(number.digits) == number


@pytest.mark.parametrize("running", [0, -1, 100_000_000])
def test_a_running_number_outside_the_year_is_refused(running):
    with pytest.raises(NumberRefused, match="count from 1 to 99999999"):
        JobNumber.make(2026, running)


@pytest.mark.parametrize("copy", [0, 100])
def test_a_ticket_has_copies_1_to_99(copy):
    with pytest.raises(NumberRefused, match="copies 1 to 99"):
        JobNumber.make(2026, 1).barcode(copy)


@pytest.mark.parametrize("typed", ["26 004123 76", "2600412376", " 26-004123-76 ", "26–0041 23 76"])
def test_a_number_is_taken_with_spaces_and_dashes(typed):
    assert read_number(typed) == JobNumber.make(2026, 4123)


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("", "There is no job number here"),
        ("  - ", "There is no job number here"),
        ("260041237", "too short: a job number has 10 digits"),
        ("26004123760", "too long"),
        ("26 OO4123 76", "has O in it"),
        ("²6 004123 76", "has ² in it"),
        ("26 004123 67", "one digit is wrong or two are swapped"),
        ("26 004132 76", "one digit is wrong or two are swapped"),
        ("2600000029", "zeros in front"),
        ("260000412335", "zeros in front"),
    ],
)
def test_a_number_that_is_not_right_is_refused_with_its_reason(typed, reason):
    with pytest.raises(NumberRefused, match=reason):
        read_number(typed)


@given(numbers, st.data())
def test_every_single_wrong_digit_is_refused(number, data):
    place = data.draw(st.integers(0, len(number.digits) - 1))
    digit = data.draw(st.sampled_from([d for d in "0123456789" if d != number.digits[place]]))
    with pytest.raises(NumberRefused):
        read_number(number.digits[:place] + digit + number.digits[place + 1 :])


@given(numbers, st.data())
def test_every_swap_of_two_neighbours_is_refused(number, data):
    digits = number.digits
    place = data.draw(st.integers(0, len(digits) - 2))
    assume(digits[place] != digits[place + 1])
    with pytest.raises(NumberRefused):
        read_number(digits[:place] + digits[place + 1] + digits[place] + digits[place + 2 :])


@given(numbers)
def test_a_number_reads_back_from_how_it_is_shown(number):
    assert read_number(number.shown) == number
    assert JobNumber.make(2000 + number.year, number.running) == number


@given(numbers, st.integers(1, 99))
def test_a_scanned_barcode_gives_the_number_and_its_copy(number, copy):
    scanned = read_barcode(number.barcode(copy))
    assert (scanned.number, scanned.copy) == (number, copy)


@given(numbers)
def test_a_number_typed_in_place_of_a_scan_has_no_copy(number):
    scanned = read_barcode(number.shown)
    assert (scanned.number, scanned.copy) == (number, None)


@given(usual_numbers, st.data())
def test_a_misread_digit_in_a_scan_never_opens_another_job(number, data):
    code = number.barcode(1)
    place = data.draw(st.integers(0, len(number.digits) - 1))
    digit = data.draw(st.sampled_from([d for d in "0123456789" if d != code[place]]))
    try:
        scanned = read_barcode(code[:place] + digit + code[place + 1 :])
    except NumberRefused:
        return
    assert scanned.copy is None, "read as a number of twelve digits, which its own check digits allow"
    assert scanned.number.running > 999_999


@pytest.mark.parametrize(
    ("scanned", "reason"),
    [("260041237600", "copy 00"), ("26004123670 1", "one digit is wrong"), ("123456789012345", "too long"),
     ("1", "too short"), ("", "no job number")],
)  # fmt: skip
def test_a_bad_scan_is_refused_with_its_reason(scanned, reason):
    with pytest.raises(NumberRefused, match=reason):
        read_barcode(scanned)
