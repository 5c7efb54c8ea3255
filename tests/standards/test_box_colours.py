"""The shipped box colours against the published formulas for colour difference and colour-vision deficiency.

Sources: CIEDE2000, Sharma, Wu, Dalal, Color Res Appl 2005;30:21-30; deficiencies by Brettel, Viénot, Mollon, J Opt Soc
Am A 1997;14:2647-55, both as computed by the library coloraide, whose CIEDE2000 is first held to the published pairs.
"""

from itertools import combinations

import pytest
from coloraide import Color

from intake.setup.first_run import default_setup
from intake.setup.reading import read_setup

PAIRS = [
    ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
    ((50, -1.3802, -84.2814), (50, 0, -82.7485), 1.0000),
    ((50, 0, 0), (50, -1, 2), 2.3669),
    ((50, 2.49, -0.001), (50, -2.49, 0.0009), 7.1792),
    ((50, 2.5, 0), (73, 25, -18), 27.1492),
    ((2.0776, 0.0795, -1.135), (0.9033, -0.0636, -0.5514), 0.9082),
]
BOXES = {category.box.colour: category.box.hex for category in read_setup(default_setup()).categories}
SEEN = {"usual": None, "protan": "protan", "deutan": "deutan", "tritan": "tritan"}


@pytest.mark.parametrize(("one", "other", "difference"), PAIRS)
def test_the_library_gives_the_published_differences(one, other, difference):
    found = Color("lab-d65", one).delta_e(Color("lab-d65", other), method="2000")

    assert found == pytest.approx(difference, abs=1e-4)


@pytest.mark.parametrize("sight", SEEN)
def test_no_two_boxes_look_alike_whatever_the_eye(sight):
    seen = {
        name: Color(value) if sight == "usual" else Color(value).filter(SEEN[sight]) for name, value in BOXES.items()
    }

    closest = min(seen[a].delta_e(seen[b], method="2000") for a, b in combinations(seen, 2))

    assert len(seen) == 10
    assert closest >= 10
