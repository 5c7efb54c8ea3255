"""Parcel labels against UPU S10 and the GS1 General Specifications, by published numbers and by python-stdnum.

The examples of S10 are those of reference pages on the standard; numbers that reach its two special remainders are
computed by its formula. The SSCCs are the example of GS1's check digit page and one from memory.
"""

from datetime import date

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st
from stdnum import ean, gs1_128

from intake.domain.parcel_labels import NoLabel, label_text, read_label, s10_check_digit, seen_before, sscc_check_digit
from intake.domain.parcel_rules import Carrier

DIGITS_8, DIGITS_17 = (st.from_regex(rf"[0-9]{{{count}}}", fullmatch=True) for count in (8, 17))
LETTERS_2 = st.from_regex(r"[A-Z]{2}", fullmatch=True)


@pytest.mark.parametrize(
    ("digits", "total", "check"),
    [
        ("47312482", 200, "9"),  # the worked example of reference pages on UPU S10
        ("12345678", 204, "5"),  # computed by the formula, as the rest
        ("00000012", 23, "0"),  # 11 - 1 = 10 becomes 0
        ("00000015", 44, "5"),  # 11 - 0 = 11 becomes 5
        ("00000000", 0, "5"),
    ],
)
def test_s10_check_digits_as_published(digits, total, check):
    assert sum(int(d) * w for d, w in zip(digits, (8, 6, 4, 2, 3, 5, 9, 7), strict=True)) == total
    assert s10_check_digit(digits) == check


@pytest.mark.parametrize(
    ("digits", "check"),
    # The example of GS1's check digit calculator for an SSCC; the second from memory (sum 101).
    [("00000000012345678", "4"), ("37610425002123456", "9")],
)
def test_sscc_check_digits_as_published(digits, check):
    assert sscc_check_digit(digits) == check


@given(DIGITS_17)
def test_the_check_digit_of_an_sscc_is_another_library_s(digits):
    """python-stdnum reckons the check digit of every GS1 key alike, and validates AI (00)."""
    assert sscc_check_digit(digits) == ean.calc_check_digit(digits)
    assert gs1_128.info("(00)" + digits + sscc_check_digit(digits)) == {"00": digits + sscc_check_digit(digits)}


@given(DIGITS_8)
def test_an_s10_number_obeys_its_rule_backward(digits):
    """With the check digit weighted 1 the sum is a multiple of 11, but for the two remainders that share a digit."""
    total = sum(int(d) * w for d, w in zip(digits, (8, 6, 4, 2, 3, 5, 9, 7), strict=True))
    shared = {0: "5", 1: "0"}
    assert s10_check_digit(digits) == shared.get(total % 11, str(-total % 11))


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("RB 4731 2482 9 GB", "registered"),
        ("rb473124829gb", "registered"),
        ("CP473124829FR", "a parcel"),
        ("EE473124829DE", "express"),
        ("LX473124829DE", "a tracked letter"),
        ("VV473124829IE", "insured"),
        ("UA473124829US", "untracked, with a customs form"),
        ("HA473124829GB", "an e-commerce parcel"),
        ("QQ473124829GB", ""),  # an unknown letter is taken too
        ("]C0RB473124829GB", "registered"),
    ],
)
def test_a_postal_number_is_read_with_its_kind_and_country(text, meaning):
    label = read_label(text)
    assert (label.kind, label.sound, label.meaning, label.said) == ("s10", True, meaning, "")
    assert label.text[2:11] == "473124829"
    assert label.country == label.text[-2:]


@pytest.mark.parametrize(
    "text",
    [
        "376104250021234569",
        "00376104250021234569",
        "(00)376104250021234569",
        "(00) 3 7610425 002123456 9",
        "]C100376104250021234569",
        "]c100376104250021234569",
        "]C10037610425002123456942182667951",  # more about the parcel in the same bars
        " 3761 0425 0021 2345 69\r",
    ],
)
def test_an_sscc_is_read_however_it_comes(text):
    label = read_label(text)
    assert (label.text, label.kind, label.sound) == ("376104250021234569", "sscc", True)


@given(LETTERS_2, DIGITS_8, LETTERS_2, st.integers(1, 9))
def test_a_wrong_check_digit_of_a_postal_number_is_said(service, digits, country, off):
    right = s10_check_digit(digits)
    wrong = str((int(right) + off) % 10)
    label = read_label(service + digits + wrong + country)
    assert (label.kind, label.sound) == ("s10", False)
    assert f"is {wrong} where {right} belongs" in label.said


@given(DIGITS_17, st.integers(1, 9))
def test_a_wrong_check_digit_of_an_sscc_is_said(digits, off):
    label = read_label("00" + digits + str((int(sscc_check_digit(digits)) + off) % 10))
    assert (label.kind, label.sound) == ("sscc", False)
    assert "SSCC" in label.said


@given(DIGITS_17, st.integers(0, 16), st.integers(1, 9))
def test_every_single_wrong_digit_of_an_sscc_is_found(digits, at, off):
    number = digits + sscc_check_digit(digits)
    wrong = number[:at] + str((int(number[at]) + off) % 10) + number[at + 1 :]
    assert not read_label(wrong).sound


@pytest.mark.parametrize("text", ["1234567890123", "AB12345678", "JX-99 0017/4", "RB47312482GB"])
def test_anything_else_is_taken_as_it_is(text):
    label = read_label(text)
    assert (label.kind, label.sound, label.said) == ("other", True, "")
    assert label.text == text.upper().replace(" ", "").replace("-", "")


def test_the_first_pattern_that_fits_names_the_service():
    carriers = (Carrier(service="Night", pattern="N[0-9]{8}"), Carrier(service="Any N", pattern="N.*"))
    assert read_label("n 1234 5678", carriers).service == "Night"
    assert read_label("N12", carriers).service == "Any N"
    assert read_label("M12", carriers).service == ""


@pytest.mark.parametrize("text", ["", "  ", "]C1", "--"])
def test_a_label_without_a_number_is_none(text):
    with pytest.raises(NoLabel):
        read_label(text)


@given(st.text(st.characters(exclude_characters="]"), max_size=30) | st.from_regex(r"[0-9 ()-]{18,24}", fullmatch=True))
def test_what_was_kept_of_a_label_is_found_again_by_itself(text):
    assert label_text(label_text(text)) == label_text(text)


@pytest.mark.parametrize(
    ("earlier", "today", "seen"),
    [
        (date(2025, 11, 25), date(2025, 11, 25), True),
        (date(2025, 11, 25), date(2026, 11, 25), True),
        (date(2025, 11, 25), date(2026, 11, 26), False),  # UPU S10: a number may be given anew after 12 months
        (date(2024, 2, 29), date(2025, 2, 28), True),
        (date(2024, 2, 29), date(2025, 3, 1), False),
        (date(2025, 10, 25), date(2026, 11, 25), False),  # 13 months
        (date(2026, 11, 26), date(2026, 11, 25), False),  # tomorrow's is none of earlier
    ],
)
def test_a_label_is_seen_before_within_twelve_months(earlier, today, seen):
    assert seen_before(earlier, today, 12) is seen


@given(st.dates(date(2000, 1, 1), date(2100, 12, 31)), st.integers(1, 120), st.integers(-3, 4000))
def test_months_are_counted_as_another_library_counts_them(earlier, months, days):
    today = earlier + relativedelta(days=days)
    assert seen_before(earlier, today, months) is (earlier <= today <= earlier + relativedelta(months=months))
