from hypothesis import given
from hypothesis import strategies as st

from intake.documents.fonts import REGULAR, printable, text_width
from intake.documents.paper import Style
from intake.documents.text import lines, packed, wrap

STYLE = Style(10)


@given(st.text(max_size=200), st.floats(20, 300))
def test_wrapping_loses_nothing_and_keeps_to_the_width(text, width):
    wrapped = wrap(text, STYLE, width)
    kept = "".join("".join(wrapped).split(" "))
    assert kept == "".join(printable(paragraph) for paragraph in text.splitlines()).replace(" ", "")
    assert all(text_width(line, REGULAR, 10) <= width + 0.01 for line in wrapped if len(line) > 1)


def test_a_number_in_groups_stays_on_one_line():
    assert wrap("shared with job 26 004124 73", STYLE, 90)[-1] == "26 004124 73"


def test_a_number_stays_with_its_unit():
    assert wrap("Bite opening 2.5 mm", STYLE, 80) == ["Bite opening", "2.5 mm"]


def test_a_long_reference_is_broken_after_a_stroke():
    assert wrap("REFERENCE/2026/00020418", STYLE, 110) == ["REFERENCE/2026/", "00020418"]


def test_options_are_packed_whole():
    assert len(packed(["Thickness 3 mm", "Bite opening 2.5 mm", "Clear"], " · ", STYLE, 130)) == 2


def test_no_text_makes_no_lines():
    assert lines("  ", STYLE, 100) == []
