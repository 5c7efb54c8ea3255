"""No cell that is written is a formula to a spreadsheet; what was written is read back as it was.

Source: OWASP Application Security Verification Standard 5.0, requirement 1.2.10 (CSV and formula injection).
"""

from hypothesis import example, given
from hypothesis import strategies as st

from intake.domain.safe_cells import guarded, unguarded

SIGNS = "=+-@\t\r\n\x00'＝＋－＠ "  # noqa: RUF001 - the full-width signs are meant
TEXTS = st.text(st.sampled_from(SIGNS) | st.characters(), max_size=12)
ASVS = ("=", "+", "-", "@", "\t", "\x00")


@given(TEXTS)
@example('=HYPERLINK("http://example.com")')
@example("'=1+1")
@example("+44 1632 960101")
def test_no_cell_begins_as_a_formula_does(text):
    cell = guarded(text)
    assert not cell.startswith(ASVS)
    assert not cell.lstrip().startswith(ASVS)


@given(TEXTS)
def test_a_guarded_text_is_read_back_as_it_was(text):
    kept = guarded(unguarded(guarded(text)))
    assert kept == guarded(text)
    if text.isprintable():
        assert unguarded(guarded(text)) == text


def test_a_name_that_begins_with_an_apostrophe_keeps_it():
    assert guarded("’t Hart") == "’t Hart"
    assert guarded("'t Hart") == "'t Hart"
    assert unguarded("'t Hart") == "'t Hart"
