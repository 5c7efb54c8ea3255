"""Check digits against published examples of ISO/IEC 7064 MOD 97-10 and against python-stdnum.

The same digits check an IBAN (ISO 13616) and an LEI (ISO 17442), where letters count A = 10 to Z = 35.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_97_10

from intake.domain.job_number import JobNumber, check_digits


def in_digits(text: str) -> str:
    return "".join(str(int(c, 36)) for c in text if c.isalnum())


@pytest.mark.parametrize(
    ("body", "check"),
    [
        # python-stdnum, documentation of stdnum.iso7064.mod_97_10.
        ("99991234567890121414", "90"),
        ("4354111611551114", "31"),
        ("22181321402534321446701611", "35"),
        # The worked example of ISO/IEC 7064, from memory.
        ("794", "44"),
    ],
)
def test_published_examples_of_the_standard(body, check):
    assert check_digits(body) == check


@pytest.mark.parametrize(
    "iban",
    [
        # Examples of the IBAN registry for three countries, from memory.
        "GB29 NWBK 6016 1331 9268 19",
        "DE89 3704 0044 0532 0130 00",
        "FR14 2004 1010 0505 0001 3M02 606",
        # python-stdnum, documentation of stdnum.iban.
        "GR16 0110 1050 0000 1054 7023 795",
        "BE31 4354 1116 1155",
    ],
)
def test_the_check_digits_of_published_ibans(iban):
    plain = iban.replace(" ", "")
    assert check_digits(in_digits(plain[4:] + plain[:2])) == plain[2:4]


def test_the_check_digits_of_a_published_lei():
    """The example of python-stdnum's documentation of stdnum.lei."""
    assert check_digits(in_digits("213800KUD8LAJWSQ9D")) == "15"


@given(st.from_regex(r"[0-9]{1,24}", fullmatch=True))
def test_another_library_accepts_every_pair_of_check_digits(body):
    assert mod_97_10.is_valid(body + check_digits(body))
    assert int(check_digits(body)) % 97 == int(mod_97_10.calc_check_digits(body)) % 97


@given(st.from_regex(r"[0-9]{1,24}", fullmatch=True))
def test_check_digits_run_from_02_to_98_as_iso_13616_has_them(body):
    assert 2 <= int(check_digits(body)) <= 98


@given(st.integers(2000, 2099), st.integers(1, 99_999_999))
def test_another_library_accepts_every_job_number(year, running):
    assert mod_97_10.is_valid(JobNumber.make(year, running).digits)
