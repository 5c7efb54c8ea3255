"""Box colours against the published formulas for colour difference, contrast and colour-vision deficiency.

Sources: CIEDE2000, Sharma, Wu, Dalal, Color Res Appl 2005;30:21-30, table 1 (typed from memory; each of its 34 pairs
comes out to four places, which a wrong digit would not); deficiencies, Brettel, Viénot, Mollon, J Opt Soc Am A
1997;14:2647-55, and Viénot, Brettel, Mollon, Color Res Appl 1999;24:243-52; contrast, WCAG 2.2.
"""

from itertools import combinations

import pytest
from coloraide import Color
from coloraide.filters.cvd import LRGB_TO_LMS
from hypothesis import given
from hypothesis import strategies as st

from intake.setup.colours import APART, PLAIN, SIGHTS, BoxColour, closest, difference, look, pairs, proposed
from intake.setup.first_run import default_setup
from intake.setup.reading import read_setup
from intake.ui.palette import contrast, ink_on

SHARMA = """
50.0000 2.6772 -79.7751 50.0000 0.0000 -82.7485 2.0425
50.0000 3.1571 -77.2803 50.0000 0.0000 -82.7485 2.8615
50.0000 2.8361 -74.0200 50.0000 0.0000 -82.7485 3.4412
50.0000 -1.3802 -84.2814 50.0000 0.0000 -82.7485 1.0000
50.0000 -1.1848 -84.8006 50.0000 0.0000 -82.7485 1.0000
50.0000 -0.9009 -85.5211 50.0000 0.0000 -82.7485 1.0000
50.0000 0.0000 0.0000 50.0000 -1.0000 2.0000 2.3669
50.0000 -1.0000 2.0000 50.0000 0.0000 0.0000 2.3669
50.0000 2.4900 -0.0010 50.0000 -2.4900 0.0009 7.1792
50.0000 2.4900 -0.0010 50.0000 -2.4900 0.0010 7.1792
50.0000 2.4900 -0.0010 50.0000 -2.4900 0.0011 7.2195
50.0000 2.4900 -0.0010 50.0000 -2.4900 0.0012 7.2195
50.0000 -0.0010 2.4900 50.0000 0.0009 -2.4900 4.8045
50.0000 -0.0010 2.4900 50.0000 0.0010 -2.4900 4.8045
50.0000 -0.0010 2.4900 50.0000 0.0011 -2.4900 4.7461
50.0000 2.5000 0.0000 50.0000 0.0000 -2.5000 4.3065
50.0000 2.5000 0.0000 73.0000 25.0000 -18.0000 27.1492
50.0000 2.5000 0.0000 61.0000 -5.0000 29.0000 22.8977
50.0000 2.5000 0.0000 56.0000 -27.0000 -3.0000 31.9030
50.0000 2.5000 0.0000 58.0000 24.0000 15.0000 19.4535
50.0000 2.5000 0.0000 50.0000 3.1736 0.5854 1.0000
50.0000 2.5000 0.0000 50.0000 3.2972 0.0000 1.0000
50.0000 2.5000 0.0000 50.0000 1.8634 0.5757 1.0000
50.0000 2.5000 0.0000 50.0000 3.2592 0.3350 1.0000
60.2574 -34.0099 36.2677 60.4626 -34.1751 39.4387 1.2644
63.0109 -31.0961 -5.8663 62.8187 -29.7946 -4.0864 1.2630
61.2901 3.7196 -5.3901 61.4292 2.2480 -4.9620 1.8731
35.0831 -44.1164 3.7933 35.0232 -40.0716 1.5901 1.8645
22.7233 20.0904 -46.6940 23.0331 14.9730 -42.5619 2.0373
36.4612 47.8580 18.3852 36.2715 50.5065 21.2231 1.4146
90.8027 -2.0831 1.4410 91.1528 -1.6435 0.0447 1.4441
90.9257 -0.5406 -0.9208 88.6381 -0.8985 -0.7239 1.5381
6.7747 -0.2908 -2.4247 5.8714 -0.0985 -2.2286 0.6377
2.0776 0.0795 -1.1350 0.9033 -0.0636 -0.5514 0.9082
"""
ROWS = [tuple(map(float, line.split())) for line in SHARMA.split("\n") if line]
SHIPPED = [
    BoxColour(category.id, category.box.colour, category.box.hex) for category in read_setup(default_setup()).categories
]
COLOURS = st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06x}")
VIENOT_RGB = {
    "protan": ((0.11238, 0.88762, 0.0), (0.11238, 0.88762, 0.0), (0.00401, -0.00401, 1.0)),
    "deutan": ((0.29275, 0.70725, 0.0), (0.29275, 0.70725, 0.0), (-0.02234, 0.02234, 1.0)),
}
"""Linear RGB to what is seen, Viénot, Brettel and Mollon 1999, equations 6 and 7 taken together with their matrices 4
and 5, as they are usually given for sRGB; from memory."""


@pytest.mark.parametrize("row", ROWS, ids=range(1, len(ROWS) + 1))
def test_the_difference_of_colours_is_the_published_one(row):
    one, other = (Color("lab-d65", row[at : at + 3]) for at in (0, 3))
    assert len(ROWS) == 34
    assert one.delta_e(other, method="2000") == pytest.approx(row[6], abs=1e-4)
    assert other.delta_e(one, method="2000") == pytest.approx(row[6], abs=1e-4)


@pytest.mark.parametrize("kind", VIENOT_RGB)
def test_what_dichromats_see_is_that_of_the_papers_matrices(kind):
    """The library's Viénot is the published matrix; Brettel's differs from it by little, as that paper says."""
    for value in PLAIN.values():
        linear = Color(value).convert("srgb-linear").coords()
        expected = [sum(row[at] * linear[at] for at in range(3)) for row in VIENOT_RGB[kind]]
        seen = Color(value).filter(kind, method="vienot").convert("srgb-linear")
        assert seen.coords() == pytest.approx(expected, abs=0.02)
        brettel = Color(value).filter(kind, method="brettel")
        assert seen.delta_e(brettel, method="2000") < 25


@pytest.mark.parametrize(("kind", "lost"), [("protan", 0), ("deutan", 1), ("tritan", 2)])
@given(value=COLOURS)
def test_two_cones_see_what_they_saw_and_the_third_tells_nothing(kind, lost, value):
    """Brettel, Viénot, Mollon 1997: the projection runs along the axis of the lost cone, so the other two stay."""
    before = Color(value).convert("srgb-linear").coords()
    after = Color(value).filter(kind, method="brettel").convert("srgb-linear").coords()
    cones = [[sum(a * b for a, b in zip(row, rgb, strict=True)) for row in LRGB_TO_LMS] for rgb in (before, after)]
    for cone in range(3):
        if cone != lost:
            assert cones[1][cone] == pytest.approx(cones[0][cone], abs=1e-6)


@given(COLOURS)
def test_greys_are_grey_to_every_eye(value):
    grey = f"#{value[1:3] * 3}"
    assert all(difference(grey, look(grey, sight)) < 2 for sight in ("protan", "deutan", "tritan"))


@given(COLOURS, COLOURS)
def test_under_a_red_lamp_only_the_red_of_a_colour_counts(one, other):
    assert difference(one, f"#{one[1:3]}{other[3:]}", "red-light") == pytest.approx(0, abs=1e-6)
    assert look(one, "red-light")[3:] == "0000"


@given(COLOURS)
def test_text_on_a_box_has_at_least_the_contrast_of_wcag(value):
    """WCAG 2.2, 1.4.3: 4.5 to 1."""
    assert contrast(ink_on(value), value) >= 4.5


@pytest.mark.parametrize("sight", SIGHTS[:4])
def test_no_two_shipped_boxes_look_alike_whatever_the_eye(sight):
    assert len(SHIPPED) == 10
    assert closest(SHIPPED, [sight]) >= APART


def test_blue_and_violet_are_one_colour_to_many():
    boxes = [
        BoxColour("a", "Blue", "#3355cc"),
        BoxColour("b", "Violet", "#6a3fc8"),
        BoxColour("c", "Yellow", "#f5d327"),
    ]
    worst = pairs(boxes)[0]
    assert {worst.one.name, worst.other.name} == {"Blue", "Violet"}
    assert worst.confused
    assert worst.looks[0] != "#3355cc"
    assert len(pairs(boxes)) == 3 * len(SIGHTS)


def test_a_set_that_keeps_apart_stays_as_it_is():
    assert proposed(SHIPPED) == tuple(SHIPPED)


@given(st.lists(COLOURS, min_size=2, max_size=9))
def test_a_proposed_set_is_never_worse_changes_no_category_and_names_none_twice(values):
    boxes = [BoxColour(f"kind-{n}", f"Colour {n}", value) for n, value in enumerate(values)]
    offer = proposed(boxes)
    assert [box.category for box in offer] == [box.category for box in boxes]
    assert closest(offer) >= closest(boxes)
    assert len({box.name for box in offer}) == len(offer)
    if closest(boxes) >= APART:
        assert offer == tuple(boxes)


def test_what_is_proposed_for_a_confusing_set_can_be_told_apart_and_changes_few():
    boxes = [
        BoxColour(f"kind-{n}", name, value)
        for n, (name, value) in enumerate(
            {"Blue": "#1f6fb4", "Violet": "#4a5fc0", "Red": "#c8262b", "Brown": "#8a3a10", "Yellow": "#f5d327"}.items()
        )
    ]
    offer = proposed(boxes)
    assert closest(boxes) < APART <= closest(offer)
    assert sum(old != new for old, new in zip(boxes, offer, strict=True)) <= 2


def test_the_plain_colours_have_names_of_their_own():
    assert len({name.casefold() for name in PLAIN}) == len(PLAIN) == len(set(PLAIN.values()))
    assert all(difference(one, other) > 5 for one, other in combinations(PLAIN.values(), 2))
