"""A practice found by a few letters."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.case import NewPractice
from intake.domain.form_practice import read_code
from intake.domain.practice import Practice
from intake.domain.practice_search import folded, same_practice, search_practices, suggest_code, the_practice

MARLOWE = Practice(code="MARLOW1", name="Marlowe House Dental Practice", address=("12 Chandler Row", "Tarnbeck"))
OXMERE = Practice(code="OXMERE", name="Oxmere Orthodontics", address=("3 Gosling Street", "Oxmere"))
JASNA = Practice(code="JASNA", name="Gabinet „Jasna Łąka” Dental Studio", address=("Oxmere",))
ALL = (MARLOWE, OXMERE, JASNA)


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("marlow1", MARLOWE),
        ("MAR", MARLOWE),
        ("tarn", MARLOWE),
        ("house dental", MARLOWE),
        ("laka", JASNA),
        ("ŁĄKA", JASNA),
        ("oxm ortho", OXMERE),
        ("oxmere", OXMERE),
        ("rlow", MARLOWE),
    ],
)
def test_code_name_and_town_find_it_in_any_case_and_without_accents(typed, found):
    assert search_practices(typed, ALL)[0] == found


@pytest.mark.parametrize("typed", ["", "  ", "xyz", "marlowe oxmere"])
def test_every_word_has_to_fit(typed):
    assert search_practices(typed, ALL) == ()


def test_a_code_that_is_typed_whole_is_the_one_whatever_else_fits():
    other = Practice(code="OXMERE2", name="Oxmere Sleep Clinic")
    assert the_practice("oxmere", (*ALL, other)) == OXMERE
    assert the_practice("oxme", (*ALL, other)) is None


def test_what_fits_two_alike_is_neither():
    assert the_practice("dental", ALL) is None


def test_two_letters_within_a_word_are_too_few():
    assert search_practices("lo", (MARLOWE,)) == ()


def test_folding_takes_accents_strokes_and_spaces_away():
    assert folded("  Łąka   Ó Cloonáin ") == "laka o cloonain"


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("Fernhallow Dental Care", "FERNHA1"),
        ("The Old Mill", "OLDMIL1"),
        ("Oak", "OAK1"),
        ("Łąka Dental", "LAKADE1"),
        ("St. Ives Surgery", "STIVES1"),
        ("Marlow", "MARLOW2"),
        ("Ψψ", "ΨΨ1"),
        ("3 & 4", "NEW1"),
    ],
)
def test_a_code_is_suggested_by_the_name_and_no_practice_has_it(name, code):
    assert suggest_code(name, ALL) == code


@given(name=st.text(max_size=40), taken=st.integers(0, 12))
def test_a_suggested_code_can_be_taken_and_is_nobody_s(name, taken):
    practices = []
    for _ in range(taken):
        practices.append(Practice(code=suggest_code(name, practices).lower(), name="Another"))
    code = suggest_code(name, practices)
    assert read_code(code) == code
    assert code.casefold() not in {practice.code.casefold() for practice in practices}


def test_a_practice_is_the_same_when_name_and_place_are_written_alike():
    new = NewPractice(name="marlowe house  dental practice", address=("12 Chandler Row", "TARNBECK"))
    assert same_practice(MARLOWE, new)
    assert not same_practice(MARLOWE, new.model_copy(update={"address": ("Oxmere",)}))
    assert not same_practice(MARLOWE, new.model_copy(update={"postcode": "XQ1 2AB"}))
