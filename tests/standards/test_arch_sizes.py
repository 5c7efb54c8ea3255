"""The figures for the size of an arch, and its units, against published ones.

Widths, mean and standard deviation in mm: 76 pretreatment casts of patients of Angle's class I, measured with a
digital caliper; from the abstract of a study of intercanine and intermolar arch width, as an index of abstracts has it.
Men's arches are wider and deeper than women's: Oliva et al., Prog Orthod 2018;19:34 (abstract read, its tables not);
hence three deviations on either side. The width of a molar is from memory of handbooks of dental anatomy. All of it is
of permanent teeth: a young child's arch may be as small as a part of an adult's.

Units: the international yard and pound agreement of 1959, by which a yard is 0.9144 m; scipy's table of constants.
"""

import pytest
from scipy import constants

from intake.domain.scan_judging import MILLIMETRES, ScanLook, judge_scan, unit_of
from tests.domain.scan_looks import RULES, figures

INTERMOLAR = {"upper": (53.82, 2.82), "lower": (51.71, 2.60)}
INTERCANINE = {"upper": (35.41, 1.47), "lower": (26.85, 1.59)}
MOLAR = 11.0
"""A first molar from cheek to tongue, in mm; from memory."""
JAWS = sorted(INTERMOLAR)


def faults(jaw, long, across, **known):
    measured = figures(extents=(long, across, 15.0))
    return [fault.fault for fault in judge_scan(ScanLook(f"{jaw}.stl", measured, **known), RULES).faults]


@pytest.mark.parametrize("jaw", JAWS)
@pytest.mark.parametrize("deviations", [-3, -2, 0, 2, 3])
def test_an_arch_as_wide_as_published_ones_is_whole(jaw, deviations):
    """An arch is at least as wide as the way from molar to molar; three deviations hold 99.7 of 100."""
    mean, deviation = INTERMOLAR[jaw]
    width = mean + deviations * deviation
    assert width > RULES.across_mm
    assert width + MOLAR < RULES.arch_most_mm
    assert faults(jaw, max(width + MOLAR, RULES.arch_least_mm), width) == []


@pytest.mark.parametrize("jaw", JAWS)
@pytest.mark.parametrize("deviations", [-3, 0, 3])
def test_half_an_arch_as_wide_as_published_ones_is_a_part(jaw, deviations):
    """From the midline to the cheek side of the molar, about half a tooth beyond its middle."""
    mean, deviation = INTERMOLAR[jaw]
    across = (mean + deviations * deviation) / 2 + MOLAR / 2
    assert across < RULES.across_mm
    assert faults(jaw, 55, across) == ["part"]


@pytest.mark.parametrize("jaw", JAWS)
def test_the_front_teeth_alone_are_a_part(jaw):
    mean, deviation = INTERCANINE[jaw]
    assert mean + 2 * deviation < RULES.across_mm
    assert faults(jaw, mean + 8, 12) == ["part"]


@pytest.mark.parametrize("jaw", JAWS)
@pytest.mark.parametrize("unit", [unit for unit in MILLIMETRES if unit != "mm"])
def test_an_arch_as_wide_as_published_ones_is_told_in_any_unit(jaw, unit):
    mean, _ = INTERMOLAR[jaw]
    factor = 1 / MILLIMETRES[unit]
    assert faults(jaw, (mean + MOLAR) * factor, mean * factor) == ["unit"]
    measured = figures(extents=((mean + MOLAR) * factor, mean * factor, factor))
    assert unit_of(ScanLook(f"{jaw}.stl", measured), RULES).guess == unit


@pytest.mark.parametrize(
    ("unit", "metres"),
    [
        ("um", constants.micro),
        ("mm", constants.milli),
        ("cm", constants.centi),
        ("inch", constants.inch),
        ("foot", constants.foot),
        ("m", 1.0),
    ],
)
def test_a_unit_has_as_many_mm_as_the_agreements_say(unit, metres):
    assert MILLIMETRES[unit] == pytest.approx(metres / constants.milli, rel=1e-12)


def test_an_inch_is_a_thirty_sixth_of_the_yard_of_1959():
    assert constants.yard == pytest.approx(0.9144, rel=1e-12)
    assert MILLIMETRES["inch"] == pytest.approx(914.4 / 36, rel=1e-12) == 25.4
    assert MILLIMETRES["foot"] == pytest.approx(914.4 / 3, rel=1e-12)
