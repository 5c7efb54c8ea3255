"""Which unit a scan is in: told from its size, and asked for where that tells nothing; never silently scaled."""

from dataclasses import replace

import pytest

from intake.domain.scan_judging import MILLIMETRES, ScanLook, unit_of
from intake.domain.scan_rules import ScanRules
from tests.domain.scan_looks import RULES, above, below, faults, figures, look, says, scaled


@pytest.mark.parametrize("longest", [20, 45, 57.9, 72.9, 95])
def test_a_scan_of_the_size_of_an_arch_or_a_part_of_one_is_in_mm(longest):
    unit = unit_of(look(extents=(longest, 42, 15)), RULES)
    assert (unit.unit, unit.millimetres) == ("mm", 1)
    assert unit.why == f"told from its size, {longest:.1f} mm along its longest side"


@pytest.mark.parametrize("longest", [below(20), above(95), 0.0, 150, 1e9])
def test_the_unit_of_any_other_size_is_asked_for(longest):
    unit = unit_of(look(extents=(longest, longest / 2, longest / 3)), RULES)
    assert (unit.unit, unit.millimetres) == (None, None)


@pytest.mark.parametrize("longest", [8, 9.4, 11.5, 15])
def test_a_single_die_is_asked_about_though_it_is_in_mm(longest):
    die = look(extents=(longest, longest / 2, longest / 2))
    assert faults(die) == ["unit"]
    assert faults(replace(die, unit_chosen="mm")) == ["part"]


# The bands of the measured arches, 57.9 to 72.9 mm, in other units.
@pytest.mark.parametrize(
    ("longest", "unit"),
    [(2.28, "inch"), (2.87, "inch"), (5.79, "cm"), (7.29, "cm"), (0.0579, "m"), (57_900, "um"), (0.21, "foot")],
)
def test_a_unit_that_makes_it_an_arch_is_offered_and_never_taken_silently(longest, unit):
    seen = look(extents=(longest, longest * 0.8, longest / 3), area=longest**2 * 1.1)
    told = unit_of(seen, RULES)
    assert (told.unit, told.guess) == (None, unit)
    assert faults(seen) == ["unit"]
    assert faults(replace(seen, unit_chosen=unit)) == []


@pytest.mark.parametrize(("longest", "guess"), [(4.5, "cm"), (below(4.5), "mm"), (9.5, "cm"), (above(9.5), "mm")])
def test_a_unit_is_offered_from_the_least_to_the_most_of_a_whole_arch(longest, guess):
    assert unit_of(look(extents=(longest, longest, longest)), RULES).guess == guess


@pytest.mark.parametrize("unit", [unit for unit in MILLIMETRES if unit != "mm"])
def test_at_most_one_unit_makes_a_size_an_arch(unit):
    for size in (RULES.arch_least_mm, RULES.arch_most_mm):
        longest = size / MILLIMETRES[unit]
        assert unit_of(look(extents=(longest, longest, longest)), RULES).guess in (unit, "mm")
    fits = [
        other
        for other in MILLIMETRES
        if RULES.arch_least_mm <= 63 / MILLIMETRES[unit] * MILLIMETRES[other] <= RULES.arch_most_mm
    ]
    assert fits == [unit]


@pytest.mark.parametrize(
    ("longest", "said"),
    [
        (
            2.537,
            "the unit of the upper scan is not sure: it states none and measures 2.54 along its longest side "
            "(in inches that is 64 mm, the size of an arch)",
        ),
        (
            63_512,
            "the unit of the upper scan is not sure: it states none and measures 63,512 along its longest side "
            "(in micrometres that is 64 mm, the size of an arch)",
        ),
        (
            11.5,
            "the unit of the upper scan is not sure: it states none and measures 11.5 along its longest side, "
            "which makes it an arch in no unit",
        ),
    ],
)
def test_the_question_for_a_unit_says_what_was_measured(longest, said):
    assert says(look(extents=(longest, longest, longest))) == [said]


@pytest.mark.parametrize("unit", MILLIMETRES)
def test_a_unit_that_the_file_states_is_taken(unit):
    factor = 1 / MILLIMETRES[unit]
    seen = ScanLook("upper.stl", scaled(figures(), factor), unit_stated=unit)
    assert unit_of(seen, RULES).unit == unit
    assert faults(seen) == []


def test_a_die_whose_file_states_mm_is_believed():
    die = look(extents=(9.4, 8.1, 7.2), area=180, about={"unit_stated": "mm"})
    assert faults(die) == ["part"]


@pytest.mark.parametrize(
    ("longest", "stated", "guess"),
    [(63.7, "inch", "mm"), (63.7, "m", "mm"), (2.54, "mm", "inch"), (63_700, "mm", "um"), (30, "inch", "mm")],
)
def test_a_stated_unit_that_no_scan_can_be_in_is_asked_about(longest, stated, guess):
    seen = look(extents=(longest, longest, longest), about={"unit_stated": stated})
    told = unit_of(seen, RULES)
    assert (told.unit, told.guess) == (None, guess)
    assert faults(seen) == ["unit"]


@pytest.mark.parametrize(("longest", "believed"), [(4, True), (below(4), False), (300, True), (above(300), False)])
def test_a_stated_unit_is_believed_of_anything_that_fits_a_mouth(longest, believed):
    told = unit_of(look(extents=(longest, longest, longest), about={"unit_stated": "mm"}), RULES)
    assert told.unit == ("mm" if believed else None)


def test_a_wrongly_stated_unit_is_told_with_both_sizes():
    assert says(look(about={"unit_stated": "inch"})) == [
        "the unit of the upper scan is not sure: the file states inches, which makes it 1,618 mm long "
        "(in mm that is 64 mm, the size of an arch)"
    ]


@pytest.mark.parametrize(("longest", "number"), [(9.996, "10"), (99.94, "99.9"), (100, "100"), (12_345.6, "12,346")])
def test_a_size_is_told_in_figures_without_an_exponent(longest, number):
    assert f"measures {number} along" in unit_of(look(extents=(longest, 1, 1)), ScanRules(arch_most_mm=50)).why


def test_what_was_chosen_beats_what_the_file_states():
    seen = look(about={"unit_stated": "inch", "unit_chosen": "mm"})
    assert (unit_of(seen, RULES).unit, faults(seen)) == ("mm", [])


@pytest.mark.parametrize("nonsense", ["furlong", "", "MM"])
def test_a_unit_that_nobody_knows_counts_for_nothing(nonsense):
    assert unit_of(look(about={"unit_chosen": nonsense, "unit_stated": nonsense}), RULES).unit == "mm"
