"""Names that others chose: one line, and nothing in it that shows another name than the one that is there."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.inbox.file_names import MOST_CHARACTERS, clean_name, one_line


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("upper.stl", "upper.stl"),
        ("  Łódź 台北 (2).stl ", "Łódź 台北 (2).stl"),
        ("upper\r\nX-Header: 1.stl", "upper X-Header: 1.stl"),
        ("upper\x00\x1b[31m.stl", "upper [31m.stl"),
        ("up\u2028per\u2029.stl", "up per .stl"),
        ("upper\u200b\u00ad\ufeff.stl", "upper.stl"),
        ("Gru\u0308n.stl", "Grün.stl"),
        ("upper\ud800.stl", "upper.stl"),
        ("a\u00a0b", "a b"),
        ("\u202e", ""),
        ("", ""),
    ],
    ids=["plain", "letters", "line break", "control", "separators", "unseen", "NFC", "half", "nbsp", "nothing", "none"],
)
def test_a_name_is_shown_in_one_line(written, shown):
    assert clean_name(written) == shown


def test_a_name_that_reads_backward_shows_its_true_suffix():
    """Unicode Technical Report 36, 2.5: with U+202E, "scan" + "lts.exe" is seen as "scanexe.stl"."""
    assert clean_name("scan\u202elts.exe") == "scanlts.exe"
    assert clean_name("scan\u2067lts.exe\u2069") == "scanlts.exe"


@pytest.mark.parametrize(
    ("written", "end"),
    [("x" * 500 + ".stl", "x….stl"), ("x" * 500, "x…"), ("a." + "x" * 500, "x…"), ("scan " * 90 + ".stl", "scan….stl")],
)
def test_a_long_name_is_cut_before_its_suffix(written, end):
    assert len(clean_name(written)) <= MOST_CHARACTERS
    assert clean_name(written).endswith(end)


@given(st.text(st.characters(), max_size=400))
def test_no_name_whatever_holds_a_character_that_is_not_seen(text):
    cleaned = clean_name(text)
    assert not [c for c in cleaned if unicodedata.category(c)[0] in "CZ" and c != " "]
    assert cleaned == cleaned.strip()
    assert len(cleaned) <= MOST_CHARACTERS
    assert clean_name(cleaned) == cleaned


@given(st.text(st.characters(codec="ascii", categories=("L", "N", "P", "S", "Zs")), max_size=150))
def test_a_name_of_seen_characters_keeps_them_all(text):
    assert one_line(text) == " ".join(text.split())
