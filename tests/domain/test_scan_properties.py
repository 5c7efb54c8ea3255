"""What holds of every scan and every two arches, whatever was measured of them."""

import re
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from intake.domain.case import ScanFault
from intake.domain.scan_figures import BiteFigures, MeshFigures, PairFigures
from intake.domain.scan_judging import MILLIMETRES, ScanLook, judge_arches, judge_scan, unit_of
from tests.domain.scan_looks import RULES, figures, scaled

numbers = st.floats(allow_nan=True, allow_infinity=True)
lengths = st.floats(0, 1e9)
shares = st.floats(0, 1)


def meshes(number, share):
    return st.builds(
        MeshFigures,
        triangles=st.integers(0, 10**9),
        vertices=st.integers(0, 10**9),
        box=st.tuples(number, number, number),
        extents=st.tuples(number, number, number),
        area=number,
        parts=st.integers(0, 10**6),
        largest_share=share,
        closed_parts=st.integers(0, 10**6),
        open_edges=st.integers(0, 10**9),
        loops=st.lists(number, max_size=5).map(tuple),
        flipped_share=share,
        non_manifold_share=share,
        normal=st.tuples(number, number, number),
        strength=number,
        jaw_score=st.none() | number,
        signature=st.just(()),
    )


looks = st.builds(
    ScanLook,
    name=st.sampled_from(["upper.stl", "lower.stl", "bite.stl", "OK.stl"]) | st.text(max_size=20),
    figures=st.none() | meshes(numbers, numbers),
    problem=st.text(max_size=20),
    unit_stated=st.none() | st.sampled_from([*MILLIMETRES, "furlong"]),
    unit_chosen=st.none() | st.sampled_from([*MILLIMETRES, "furlong"]),
    jaw_chosen=st.sampled_from([None, "upper", "lower", "bite"]),
    left_out=st.integers(0, 10**9),
    before=st.text(max_size=20),
)
pairs = st.builds(
    PairFigures,
    facing=st.floats(-1, 1),
    both_open=st.booleans(),
    near_half=numbers,
    near_one=numbers,
    inside=numbers,
    least=numbers,
)
bites = st.none() | st.builds(BiteFigures, near_upper=shares, near_lower=shares)


@given(looks)
def test_whatever_was_measured_is_judged(seen):
    found = judge_scan(seen, RULES)
    kinds = [fault.fault for fault in found.faults]
    order = ScanFault.__args__
    assert all(order.index(one) < order.index(other) for one, other in pairwise(kinds))
    assert all(fault.says for fault in found.faults)
    assert ("jaw" in kinds or "unreadable" in kinds) or found.shows is not None


@given(pairs, bites)
def test_looks_registered_is_the_most_that_is_ever_said(measured, bite):
    found = judge_arches(measured, bite, RULES)
    assert ("the arches look registered: " in found.says) == (found.standing == "registered")
    assert ("the arches do not meet: " in found.says) == (found.standing not in ("registered", "doubtful"))
    assert not re.search(r"correct|right|accurate|proper|in occlusion|perfect", found.says)


def around(*thresholds):
    """Sizes about thresholds, but not so near one that rounding decides."""
    return st.sampled_from(
        [threshold * factor for threshold in thresholds for factor in (0.3011, 0.9031, 1.1071, 1.9003)]
    )


measured_scans = st.builds(
    lambda long, across, loop, area, share, parts: figures(
        extents=(long, min(long, across), 14.3),
        loops=(303.3, loop),
        area=area,
        parts=parts,
        largest_share=share,
    ),
    around(20, 45, 95),
    around(39.5),
    around(15),
    around(1_000),
    st.sampled_from([0.5, 0.95, 0.99, 1.0]),
    st.integers(1, 4),
)


@given(measured_scans, st.sampled_from(sorted(MILLIMETRES)), st.sampled_from(["upper.stl", "20418.stl", "bite.stl"]))
def test_scaling_the_figures_and_the_unit_together_changes_no_verdict(measured, unit, name):
    in_mm = ScanLook(name, measured, unit_chosen="mm")
    in_unit = ScanLook(name, scaled(measured, 1 / MILLIMETRES[unit]), unit_chosen=unit)
    assert judge_scan(in_unit, RULES) == judge_scan(in_mm, RULES)


@given(measured_scans, st.sampled_from(sorted(MILLIMETRES)))
def test_no_scan_is_scaled_before_somebody_says_so(measured, unit):
    seen = ScanLook("upper.stl", scaled(measured, 1 / MILLIMETRES[unit]))
    of_an_arch = RULES.part_least_mm <= seen.figures.extents[0] <= RULES.arch_most_mm
    assert unit_of(seen, RULES).unit == ("mm" if of_an_arch else None)


@given(pairs, bites)
def test_pulling_the_lower_away_never_registers_a_pair(measured, bite):
    """Less near and less in contact can only make a pair worse, where no bite scan holds it."""
    found = judge_arches(measured, None, RULES)
    less = measured.model_copy(update={"near_half": measured.near_half / 2})
    if found.standing != "registered":
        assert judge_arches(less, None, RULES).standing != "registered"
