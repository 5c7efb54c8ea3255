"""A practice found by a few letters."""

import pytest

from intake.domain.practice import Practice
from intake.domain.practice_search import folded, search_practices, the_practice

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
