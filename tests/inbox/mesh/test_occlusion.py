"""Two arches together: closed, opened, pressed in, out of place; invented ones, and real crowns of known figures."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.distance import cdist

from intake.inbox.mesh.mesh import Mesh
from intake.inbox.mesh.occlusion import bite_figures, pair_figures
from tests.scans import arches
from tests.scans.arches import Pair, pair
from tests.scans.real import real_scan

CLOSED = pair(40_000)


def held(arch_pair):
    return pair_figures(arch_pair.upper, arch_pair.lower)


def test_a_closed_bite_touches_and_does_not_run_through():
    figures = held(CLOSED)
    assert figures.both_open
    assert figures.facing < -0.3
    assert figures.near_half >= 30
    assert figures.near_one >= figures.near_half
    assert figures.inside < 0.05
    assert figures.least < 0.2


def test_opening_the_bite_leaves_less_and_less_near():
    figures = [held(arches.opened(CLOSED, by)) for by in (0, 0.5, 1, 2, 5, 15)]
    for closer, wider in pairwise(figures):
        assert wider.near_half <= closer.near_half
        assert wider.near_one <= closer.near_one
        assert wider.least > closer.least
        assert wider.inside == pytest.approx(0, abs=0.01)
    assert figures[-1].near_one == 0


def test_the_least_distance_is_that_between_the_middles_of_the_triangles():
    """By scipy's table of all distances, on arches coarse enough for it."""
    coarse = pair(1_500)
    for by in (0, 2, 6, 30):
        opened = arches.opened(coarse, by)
        upper, lower = (mesh.vertices[mesh.faces].mean(axis=1) for mesh in (opened.upper, opened.lower))
        assert held(opened).least == pytest.approx(cdist(upper, lower).min(), rel=1e-9)


def test_an_arch_pressed_into_the_other_runs_through_it():
    shares = [held(arches.pressed_in(CLOSED, by)).inside for by in (0, 0.5, 1.0, 1.5)]
    assert shares == sorted(shares)
    assert shares[-1] > 0.35


def test_arches_in_frames_of_their_own_do_not_look_at_one_another():
    figures = held(arches.in_own_frames(CLOSED))
    assert figures.both_open
    assert figures.facing > 0.9


def test_crown_shells_have_no_direction():
    figures = pair_figures(arches.crowns("upper"), arches.crowns("lower"))
    assert not figures.both_open
    assert figures.facing == 0


@settings(deadline=None, max_examples=10)
@given(seed=st.integers(0, 10_000))
def test_moving_both_together_or_reordering_them_changes_nothing(seed):
    small = pair(6_000)
    moved = arches.moved_together(Pair(arches.reordered(small.upper, seed), arches.reordered(small.lower, seed)), seed)
    before, after = held(small), held(moved)
    for name in ("facing", "near_half", "near_one", "inside", "least"):
        assert getattr(after, name) == pytest.approx(getattr(before, name), rel=1e-6, abs=1e-6)


def test_a_scan_left_in_micrometres_is_apart_and_needs_no_more_memory():
    figures = pair_figures(arches.in_unit(CLOSED.upper, "um"), arches.in_unit(CLOSED.lower, "um"))
    assert figures.near_one == 0


def test_triangles_that_are_as_good_as_lines_count_for_nothing():
    lines = Mesh(CLOSED.lower.vertices, np.concatenate([CLOSED.lower.faces, CLOSED.lower.faces[:500, [0, 1, 1]]]))
    assert held(Pair(CLOSED.upper, lines)).model_dump() == pytest.approx(held(CLOSED).model_dump())


# Real crowns: the areas that were measured when the pose of the lower was computed (the files' own description)


def test_real_crowns_in_occlusion_give_the_areas_that_were_measured():
    figures = pair_figures(real_scan("crowns_a_upper.obj"), real_scan("crowns_a_lower_closed.ply"))
    assert figures.near_half == pytest.approx(326, rel=0.01)
    assert figures.near_one == pytest.approx(581, rel=0.01)
    assert figures.inside * figures.near_one == pytest.approx(2, abs=0.5)


@pytest.mark.parametrize(
    ("lifted", "near_half", "near_one", "inside"),
    [(-0.5, 108, 396, 0.0), (-1.0, 0, 169, 0.0), (1.0, 426, 732, 0.40)],
    ids=["opened 0.5 mm", "opened 1 mm", "pressed in 1 mm"],
)
def test_real_crowns_opened_or_pressed_in_give_the_areas_that_were_measured(lifted, near_half, near_one, inside):
    lower = arches.moved_by(real_scan("crowns_a_lower_closed.ply"), (0, lifted, 0))
    figures = pair_figures(real_scan("crowns_a_upper.obj"), lower)
    assert (figures.near_half, figures.near_one) == pytest.approx((near_half, near_one), rel=0.02, abs=1)
    assert figures.inside == pytest.approx(inside, abs=0.02)


def test_real_crowns_each_about_its_own_middle_run_through_one_another():
    figures = pair_figures(real_scan("crowns_a_upper.obj"), real_scan("crowns_a_lower_own_origin.obj"))
    assert (figures.near_half, figures.near_one) == pytest.approx((108, 210), rel=0.01)
    assert figures.inside * figures.near_one == pytest.approx(174, rel=0.01)


# The bite scan


@pytest.mark.parametrize("right", [True, False])
def test_a_bite_scan_in_place_lies_on_both_arches(right):
    figures = bite_figures(arches.bite(CLOSED, right=right), CLOSED.upper, CLOSED.lower)
    assert figures.near_upper >= 0.2
    assert figures.near_lower >= 0.2
    assert figures.near_upper + figures.near_lower == pytest.approx(1, abs=0.25)


@pytest.mark.parametrize("shift", [(2.0, 0, 0), (0, 0, 200.0)])
def test_a_bite_scan_out_of_place_lies_on_neither(shift):
    figures = bite_figures(arches.moved_by(arches.bite(CLOSED), shift), CLOSED.upper, CLOSED.lower)
    assert max(figures.near_upper, figures.near_lower) < 0.2


def test_a_bite_scan_of_an_upper_that_moved_lies_on_the_lower_alone():
    moved = Pair(arches.moved_by(CLOSED.upper, (0, 0, 3.0)), CLOSED.lower)
    figures = bite_figures(arches.bite(CLOSED), moved.upper, moved.lower)
    assert figures.near_upper < 0.2 <= figures.near_lower


def test_each_point_of_a_bite_scan_counts_once():
    upper_alone = arches.bite(CLOSED)
    figures = bite_figures(CLOSED.upper, CLOSED.upper, arches.moved_by(CLOSED.lower, (0, 0, -50)))
    assert figures.near_upper == pytest.approx(1, abs=0.03)
    assert figures.near_lower == 0
    assert len(upper_alone.vertices) == len(np.unique(upper_alone.vertices, axis=0))
