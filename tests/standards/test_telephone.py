"""Telephone numbers against the standards: E.164 country codes, `tel:` addresses, numbers kept for fiction.

Sources: ITU-T E.164 (country codes 44 and 353); RFC 3966 (`tel:` URI, global numbers begin with +, visual separators
allowed); the numbers are of the ranges that the UK regulator keeps for drama (01632 960xxx).
"""

import re

import pytest

from intake.domain.telephone import dial_uri, local_number


@pytest.mark.parametrize(
    ("written", "country", "home", "shown"),
    [
        ("01632960101", "GB", "GB", "01632 960101"),
        ("+44 1632 960101", "GB", "GB", "01632 960101"),
        ("+44 1632 960101", "GB", "IE", "+44 1632 960101"),
        ("01632 960101 ext 12", "GB", "GB", "01632 960101 x12"),
        ("ask for Jo", "GB", "GB", "ask for Jo"),
        ("", "GB", "GB", ""),
    ],
    ids=["as-dialled", "with-its-prefix", "from-abroad", "extension", "words", "none"],
)
def test_a_number_is_shown_as_it_is_dialled_from_the_lab(written, country, home, shown):
    assert local_number(written, country, home) == shown


def test_a_number_to_dial_is_a_global_tel_address():
    uri = dial_uri("01632 960101", "GB")
    assert uri == "tel:+44-1632-960101"
    assert re.fullmatch(r"tel:\+[0-9().-]+(;ext=[0-9().-]+)?", uri)  # RFC 3966, global-number


def test_what_is_no_number_cannot_be_dialled():
    assert dial_uri("ask for Jo", "GB") == ""
