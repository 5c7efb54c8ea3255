import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.store.folding import LONGEST, MOST, fold, squash, words_of


@pytest.mark.parametrize(
    ("typed", "folded"),
    [
        ("Łódź", "lodz"),
        ("ŵyn Gwyn", "wyn gwyn"),
        ("Straße", "strasse"),
        ("ΟΔΥΣΣΕΎΣ", "οδυσσευσ"),
        ("Søren Ærø", "soren aero"),
        ("ﬁne", "fine"),
    ],
)
def test_case_accents_and_strokes_do_not_count(typed, folded):
    assert fold(typed) == folded


@pytest.mark.parametrize(
    ("typed", "found_by"),
    [
        ("J.T.", {"jt", "j", "t"}),
        ("O’Brien-Jones", {"obrienjones", "o", "brien", "jones"}),
        ("Mill Lane", {"milllane", "mill", "lane"}),
        ("A-20418/b", {"a20418b", "a", "20418", "b"}),
        ("!?", set()),
        ("", set()),
    ],
)
def test_a_text_is_found_by_its_words_their_parts_and_the_whole(typed, found_by):
    assert words_of(typed) == found_by


@given(st.text())
def test_whatever_is_typed_folds_to_letters_and_digits_only(typed):
    for word in (*words_of(typed), squash(typed)):
        assert word == "" or word.isalnum()
        assert len(word) <= LONGEST
        assert not any(unicodedata.combining(c) for c in word)
    assert len(words_of(typed)) <= MOST


@given(st.text())
def test_folding_twice_is_folding_once(typed):
    assert fold(fold(typed)) == fold(typed)
