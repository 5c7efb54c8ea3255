"""Where the chewing surfaces look and where the front teeth are, told from the surface alone."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.inbox.mesh.drawable import Drawable
from intake.inbox.mesh.mesh import Mesh
from intake.inbox.mesh.stance import stance
from tests.scans.arches import arch, crowns, inside_out, kept, moved, one_arm_short, rotation
from tests.scans.real import real_scan

WHOLE = {jaw: arch(jaw, 6_000) for jaw in ("upper", "lower")}
AWAY = {"upper": np.array([0.0, 0.0, -1.0]), "lower": np.array([0.0, 0.0, 1.0])}
FRONT = np.array([0.0, 1.0, 0.0])
JAWS = pytest.mark.parametrize("jaw", ["upper", "lower"])


def degrees(one, other):
    return np.degrees(np.arccos(np.clip(one @ other / np.linalg.norm(one) / np.linalg.norm(other), -1, 1)))


def found(mesh):
    return stance(Drawable.of(mesh))


@JAWS
@settings(max_examples=25)
@given(seed=st.integers(0, 500))
def test_an_arch_is_understood_however_it_lies_in_its_file(jaw, seed):
    lies, turn = found(moved(WHOLE[jaw], seed)), rotation(seed)
    assert lies.sure
    assert not lies.inside_out
    assert degrees(lies.occlusal, turn @ AWAY[jaw]) < 20
    seen = turn @ FRONT - (turn @ FRONT) @ lies.occlusal * lies.occlusal
    assert degrees(lies.front, seen) < 5
    assert lies.occlusal @ lies.front == pytest.approx(0, abs=1e-6)


@JAWS
def test_an_inside_out_scan_is_seen_from_the_same_side(jaw):
    right, wrong = found(WHOLE[jaw]), found(inside_out(WHOLE[jaw]))
    assert wrong.inside_out
    assert degrees(right.occlusal, wrong.occlusal) < 1
    assert degrees(right.front, wrong.front) < 2


@JAWS
@settings(max_examples=25)
@given(seed=st.integers(0, 500), by=st.floats(0, 0.1))
def test_a_tenth_cut_off_anywhere_does_not_turn_an_arch_upside_down(jaw, seed, by):
    mesh = WHOLE[jaw]
    at = mesh.vertices[mesh.faces].mean(axis=1) @ np.random.default_rng(seed).normal(size=3)
    lies = found(kept(mesh, at <= np.quantile(at, 1 - by)))
    assert degrees(lies.occlusal, AWAY[jaw]) < 35
    assert degrees(lies.front, FRONT) < 40


@JAWS
def test_an_arch_with_one_arm_cut_short_keeps_its_front(jaw):
    assert degrees(found(one_arm_short(WHOLE[jaw])).front, FRONT) < 25


@JAWS
def test_closed_crowns_show_no_side_and_say_so(jaw):
    lies = found(crowns(jaw))
    assert not lies.sure
    assert degrees(lies.front, FRONT) < 5
    assert min(degrees(lies.occlusal, AWAY[jaw]), degrees(-lies.occlusal, AWAY[jaw])) < 10


@pytest.mark.parametrize(
    ("name", "side"),
    [
        ("crowns_a_upper.obj", (0, -1, 0)),
        ("crowns_a_lower_own_origin.obj", (0, 1, 0)),
        ("crowns_a_lower_closed.ply", (0, 1, 0)),
    ],
)
@pytest.mark.parametrize("wrong", [False, True], ids=["as they are", "inside out"])
def test_real_crowns_are_seen_on_their_cusps_with_the_front_teeth_in_front(name, side, wrong):
    """The page beside the files: the chewing surfaces of the upper look to -y, the front teeth are at +z."""
    crowns_of = real_scan(name)
    lies = found(inside_out(crowns_of) if wrong else crowns_of)
    assert lies.inside_out is wrong
    assert degrees(lies.occlusal, np.array(side)) < 10
    assert degrees(lies.front, np.array([0, 0, 1])) < 8


def test_a_single_triangle_lies_somehow():
    lies = found(Mesh(np.eye(3), np.array([[0, 1, 2]], np.int32)))
    assert np.isfinite([*lies.occlusal, *lies.front]).all()
    assert lies.occlusal @ lies.front == pytest.approx(0, abs=1e-6)
