"""Telephone numbers against the standards: E.164 country codes, `tel:` addresses, numbers kept for fiction.

Sources: ITU-T E.164 (country codes 44 and 353, at most 15 digits behind the +); RFC 3966, section 3 (`tel:` URI: a
global number begins with + and may have visual separators and an extension); international prefixes 00 in Europe and
011 in North America (the ITU's list of dialling procedures, from memory). The numbers are of the ranges that the
regulators of the United Kingdom (01632 960xxx), Ireland (020 91x xxxx) and North America (555 01xx) keep for fiction.
"""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.telephone import dial_uri, local_number
from intake.resources import demo
from intake.setup.reading import read_practices

GLOBAL_NUMBER = re.compile(r"tel:\+[0-9().-]*[0-9][0-9().-]*(;ext=[0-9().-]+)?")
"""RFC 3966, section 3: global-number-digits with an extension."""


@pytest.mark.parametrize(
    ("written", "country", "home", "shown"),
    [
        ("01632960101", "GB", "GB", "01632 960101"),
        ("+44 1632 960101", "GB", "GB", "01632 960101"),
        ("+44 (0)1632 960101", "GB", "GB", "01632 960101"),
        ("0044 1632 960101", "GB", "GB", "01632 960101"),
        ("01632 960101", "GB", "IE", "00 44 1632 960101"),
        ("020 910 0163", "IE", "GB", "00 353 20 910 0163"),
        ("01632 960101", "GB", "US", "011 44 1632 960101"),
        ("01632 960101 ext 12", "GB", "GB", "01632 960101 x12"),
        ("Tel. 01632 960101", "GB", "GB", "01632 960101"),
        ("ask for Jo", "GB", "GB", "ask for Jo"),
        ("ask for Jo: 01632 960101", "GB", "GB", "ask for Jo: 01632 960101"),
        ("01632 960101 / 01632 960102", "GB", "GB", "01632 960101 / 01632 960102"),
        ("960101", "GB", "GB", "960101"),
        ("01632 960101", "XX", "GB", "01632 960101"),
        ("", "GB", "GB", ""),
    ],
    ids=[
        "as-dialled",
        "with-its-prefix",
        "with-both-prefixes",
        "with-the-prefix-dialled",
        "from-ireland",
        "to-ireland",
        "from-america",
        "extension",
        "marked-as-one",
        "words",
        "words-beside-it",
        "two-numbers",
        "without-area-code",
        "no-such-country",
        "none",
    ],
)
def test_a_number_is_shown_as_it_is_dialled_from_the_lab(written, country, home, shown):
    assert local_number(written, country, home) == shown


@pytest.mark.parametrize(
    ("written", "country", "uri"),
    [
        ("01632 960101", "GB", "tel:+44-1632-960101"),
        ("020 910 0163", "IE", "tel:+353-20-910-0163"),
        ("201 555 0123", "US", "tel:+1-201-555-0123"),  # the example of RFC 3966, section 6
        ("01632 960101 ext 12", "GB", "tel:+44-1632-960101;ext=12"),
        ("tel:+1-201-555-0123", "GB", "tel:+1-201-555-0123"),
        ("ask for Jo: 01632 960101", "GB", "tel:+44-1632-960101"),
    ],
)
def test_a_number_to_dial_is_a_global_tel_address(written, country, uri):
    assert dial_uri(written, country) == uri
    assert GLOBAL_NUMBER.fullmatch(uri)


@pytest.mark.parametrize(
    "written", ["ask for Jo", "", "1", "960101", "01632 960101 / 01632 960102", "0" * 40, "x" * 400, "+999 1632 960101"]
)
def test_what_is_no_whole_number_cannot_be_dialled(written):
    """A number without its area code would be another number, once it has its country code."""
    assert dial_uri(written, "GB") == ""


@pytest.mark.parametrize("practice", read_practices(demo("practices.toml")), ids=lambda practice: practice.code)
def test_the_numbers_of_the_demo_are_of_those_kept_for_fiction(practice):
    """Ofcom, numbers for drama: 01632 960xxx, 020 7946 0xxx, 07700 900xxx. ComReg: 020 91x xxxx."""
    if practice.telephone:
        number = re.sub(r"\D", "", dial_uri(practice.telephone, practice.country or "GB"))
        assert re.fullmatch(r"(441632960|442079460|447700900)\d{3}|3532091\d{5}", number)


@given(st.text(max_size=40) | st.text("+0123456789 ()-./x", max_size=24), st.sampled_from(["GB", "IE", "US", "XX"]))
def test_whatever_is_written_a_dialled_number_has_at_most_15_digits_and_nothing_is_lost(written, country):
    uri = dial_uri(written, country)
    assert uri == "" or GLOBAL_NUMBER.fullmatch(uri)
    assert len(re.sub(r"\D", "", uri.partition(";")[0])) <= 15
    shown = local_number(written, country)
    assert shown == written or dial_uri(shown, country) == uri
