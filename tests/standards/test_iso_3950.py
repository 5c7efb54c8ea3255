"""Tooth notations against their published tables.

Sources: ISO 3950 (two digits: quadrants 1-4 permanent and 5-8 deciduous, clockwise from the patient's upper right;
teeth 1-8 and 1-5 from the midline), as summarised in reference works; the Universal system as dental anatomy books
print it (1 upper right third molar to 32 lower right third molar, A to T); the corner signs after Zsigmondy and
Palmer, from memory, with the names that the Unicode standard gives its dentistry symbols.
"""

import unicodedata

import pytest

from intake.domain.teeth import (
    ARCH_ORDER,
    DECIDUOUS_ORDER,
    TEETH,
    arch_of,
    is_deciduous,
    quadrant_name,
    read_teeth,
    universal,
)

# ISO 3950, the whole table as printed, seen facing the patient.
PERMANENT = """
    18 17 16 15 14 13 12 11 21 22 23 24 25 26 27 28
    48 47 46 45 44 43 42 41 31 32 33 34 35 36 37 38
"""
DECIDUOUS = """
    55 54 53 52 51 61 62 63 64 65
    85 84 83 82 81 71 72 73 74 75
"""
# Universal system, the usual chart in the same places.
UNIVERSAL = """
     1  2  3  4  5  6  7  8  9 10 11 12 13 14 15 16
    32 31 30 29 28 27 26 25 24 23 22 21 20 19 18 17
"""
UNIVERSAL_DECIDUOUS = """
    A B C D E F G H I J
    T S R Q P O N M L K
"""
# ISO 3950, quadrant name, Universal: worked examples of a reference page (computed from the published formulas).
WORKED = [
    ("18", "UR8", "1"), ("11", "UR1", "8"), ("21", "UL1", "9"), ("28", "UL8", "16"), ("16", "UR6", "3"),
    ("31", "LL1", "24"), ("41", "LR1", "25"), ("48", "LR8", "32"), ("34", "LL4", "21"), ("55", "URE", "A"),
    ("51", "URA", "E"), ("61", "ULA", "F"), ("65", "ULE", "J"), ("75", "LLE", "K"), ("85", "LRE", "T"),
]  # fmt: skip


def test_the_chart_is_the_printed_table():
    assert (*ARCH_ORDER["upper"], *ARCH_ORDER["lower"]) == tuple(PERMANENT.split())
    assert (*DECIDUOUS_ORDER["upper"], *DECIDUOUS_ORDER["lower"]) == tuple(DECIDUOUS.split())


def test_there_are_52_codes_and_no_other_two_digits_are_one():
    codes = [f"{n:02}" for n in range(100) if read_teeth(f"{n:02}", "iso").teeth]
    assert sorted(codes) == sorted(TEETH)
    assert len(codes) == 52


def test_universal_stands_in_the_same_places_of_its_chart():
    chart = zip((PERMANENT + DECIDUOUS).split(), (UNIVERSAL + UNIVERSAL_DECIDUOUS).split(), strict=True)
    assert all(universal(tooth) == number for tooth, number in chart)


@pytest.mark.parametrize(("iso", "quadrant", "number"), WORKED, ids=[row[0] for row in WORKED])
def test_the_worked_examples_hold_both_ways(iso, quadrant, number):
    assert quadrant_name(iso) == quadrant
    assert universal(iso) == number
    assert read_teeth(quadrant, "iso").teeth == (iso,)
    assert read_teeth(quadrant, "universal").teeth == (iso,)
    assert read_teeth(number, "universal").teeth == (iso,)


def test_the_published_formulas_give_the_same_universal_codes():
    """UR t: 9-t, UL t: 8+t, LL t: 25-t, LR t: 24+t; deciduous UR 6-t, UL 5+t, LL 16-t, LR 15+t with A as 1."""
    for tooth in TEETH:
        quadrant, t = (int(tooth[0]) - 1) % 4, int(tooth[1])
        permanent = (9 - t, 8 + t, 25 - t, 24 + t)[quadrant]
        deciduous = chr(64 + (6 - t, 5 + t, 16 - t, 15 + t)[quadrant])
        assert universal(tooth) == (deciduous if is_deciduous(tooth) else str(permanent))


def test_18_numbers_mean_another_tooth_in_each_notation_and_are_asked_about():
    both = [str(n) for n in range(11, 33) if str(n) in TEETH]
    assert both == [str(n) for n in (*range(11, 19), *range(21, 29), 31, 32)]
    assert all(read_teeth(n, "iso").teeth != read_teeth(n, "universal").teeth for n in both)
    assert all(not read_teeth(n, "ask").teeth and len(read_teeth(n, "ask").unclear) == 1 for n in both)


@pytest.mark.parametrize(
    ("sign", "name", "iso"),
    [
        ("6\N{DENTISTRY SYMBOL LIGHT VERTICAL AND BOTTOM LEFT}", "bottom left", "16"),
        ("\N{DENTISTRY SYMBOL LIGHT VERTICAL AND BOTTOM RIGHT}6", "bottom right", "26"),
        ("6\N{DENTISTRY SYMBOL LIGHT VERTICAL AND TOP LEFT}", "top left", "46"),
        ("\N{DENTISTRY SYMBOL LIGHT VERTICAL AND TOP RIGHT}6", "top right", "36"),
        ("6\N{BOX DRAWINGS LIGHT UP AND LEFT}", "up left", "16"),
        ("\N{BOX DRAWINGS LIGHT UP AND RIGHT}6", "up right", "26"),
        ("6\N{BOX DRAWINGS LIGHT DOWN AND LEFT}", "down left", "46"),
        ("\N{BOX DRAWINGS LIGHT DOWN AND RIGHT}6", "down right", "36"),
    ],
    ids=lambda value: value if " " in value else None,
)
def test_a_corner_sign_is_the_midline_and_the_bite_as_seen_facing_the_patient(sign, name, iso):
    assert name.split()[-1].upper() in unicodedata.name(next(c for c in sign if c != "6"))
    assert read_teeth(sign, "iso").teeth == (iso,)


def test_quadrants_one_two_five_and_six_are_the_upper_arch():
    assert all((arch_of(tooth) == "upper") == (tooth[0] in "1256") for tooth in TEETH)
