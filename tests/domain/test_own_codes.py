"""The lab's own codes: short, of plain signs, told from every other number, and read back as they were written."""

import re
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_36

from intake.domain.job_number import NumberRefused, read_barcode
from intake.domain.own_codes import (
    OwnCode,
    OwnCodeRefused,
    check_character,
    in_capitals,
    own_code,
    read_own_code,
)
from intake.domain.parcel_labels import read_label
from intake.domain.reply_number import ReplyNumberRefused, read_reply_number

KINDS = st.sampled_from(["practice", "bench", "box"])
TEXTS = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=40).filter(in_capitals)


@given(KINDS, TEXTS)
def test_every_text_reads_back_in_capitals(kind, text):
    assert read_own_code(own_code(kind, text)) == OwnCode(kind, in_capitals(text))


@given(KINDS, TEXTS)
def test_neither_caps_lock_nor_signs_beyond_a_to_z_and_0_to_9_matter(kind, text):
    code = own_code(kind, text)
    assert re.fullmatch(r"[A-Z0-9]+", code)
    assert read_own_code(code.lower()) == read_own_code(code)


@given(KINDS, TEXTS)
def test_it_can_be_taken_for_no_other_number(kind, text):
    code = own_code(kind, text)
    with pytest.raises(NumberRefused):
        read_barcode(code)
    with pytest.raises(ReplyNumberRefused):
        read_reply_number(code)
    assert read_label(code).kind == "other"


@given(KINDS, TEXTS)
def test_its_check_character_is_that_of_the_standard(kind, text):
    """Against python-stdnum's ISO/IEC 7064 MOD 37,36."""
    code = own_code(kind, text)
    assert mod_37_36.is_valid(code)


@pytest.mark.parametrize(
    ("body", "check"),
    # Reference tests of open-source libraries; the second computed by the standard's rule.
    [("A12425GABC1234002", "M"), ("L260001", "O")],
)
def test_published_check_characters(body, check):
    assert check_character(body) == check


@given(KINDS, TEXTS, st.data())
def test_a_wrong_character_is_found(kind, text, data):
    """MOD 37,36 finds every single one; nothing is ever read as another text of its kind."""
    code = own_code(kind, text)
    at = data.draw(st.integers(0, len(code) - 1))
    wrong = code[:at] + data.draw(st.sampled_from("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ")) + code[at + 1 :]
    read = None  # as for what is no longer of the shape
    if wrong != code:
        with suppress(OwnCodeRefused):
            read = read_own_code(wrong)
    assert read is None


def test_a_usual_code_of_a_practice_stands_in_it_as_it_is():
    assert own_code("practice", "Marlow1") == "LPRMARLOW1O"


def test_a_name_with_other_signs_is_written_in_bytes():
    code = own_code("bench", "Wax & fix")
    assert code.startswith("LBEWAX58X20X26X20FIX58")
    assert read_own_code(code) == OwnCode("bench", "WAX & FIX")


def test_what_is_none_of_them_is_none():
    assert [read_own_code(text) for text in ("260041237601", "R00018766", "MARLOW1", "", "LPR")] == [None] * 5


def test_a_text_is_needed():
    with pytest.raises(ValueError, match="without a text"):
        own_code("practice", "  ")
