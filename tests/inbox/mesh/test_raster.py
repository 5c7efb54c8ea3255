"""What the pictures stand on: each pixel sees the right triangle."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import LinearNDInterpolator
from scipy.spatial import ConvexHull, Delaunay

from intake.inbox.mesh.raster import rasterise, work_of
from tests.scans.arch_shape import ball
from tests.scans.arches import rotation

SIDE = 60


def middles(width, height):
    x, y = np.meshgrid(np.arange(width) + 0.5, np.arange(height) + 0.5)
    return np.stack([x, y], axis=-1)


def patchwork(seed, count=300):
    """Places strewn about a picture and beyond it, and the triangles between them."""
    random = np.random.default_rng(seed)
    places = random.uniform(-10, SIDE + 10, (count, 2)).astype(np.float32)
    depths = random.uniform(-5, 5, count).astype(np.float32)
    found = Delaunay(places)
    return np.column_stack([places, depths]), found


@settings(max_examples=12)
@given(seed=st.integers(0, 2**31))
def test_each_pixel_sees_the_triangle_that_its_middle_lies_in_and_none_shines_through(seed):
    """scipy's triangulation and its own search for the triangle about a point, a general-purpose reference."""
    points, found = patchwork(seed)
    seen = rasterise(points, found.simplices.astype(np.int32), SIDE, SIDE)
    expected = found.find_simplex(middles(SIDE, SIDE))
    assert (seen.faces == expected).mean() > 0.999  # but where a middle lies on an edge as near as rounding goes
    assert ((seen.faces < 0) == (expected < 0)).mean() > 0.999


@settings(max_examples=12)
@given(seed=st.integers(0, 2**31))
def test_the_depth_of_a_pixel_is_what_lies_between_its_corners(seed):
    """scipy's linear interpolation over the same triangles."""
    points, found = patchwork(seed)
    seen = rasterise(points, found.simplices.astype(np.int32), SIDE, SIDE)
    expected = LinearNDInterpolator(found, points[:, 2])(middles(SIDE, SIDE))
    there = (seen.faces >= 0) & ~np.isnan(expected)
    assert there.mean() > 0.5
    assert np.abs(seen.depths - expected)[there].max() < 1e-2


@pytest.mark.parametrize("order", [[0, 1], [1, 0]])
def test_of_two_triangles_the_nearer_is_seen_whichever_the_file_has_first(order):
    corners = [[0, 0], [40, 0], [0, 40]]
    points = np.array([[*at, depth] for depth in (1.0, 2.0) for at in corners], np.float32)
    faces = np.array([[0, 1, 2], [3, 4, 5]], np.int32)[order]
    seen = rasterise(points, faces, 30, 30)
    assert set(np.unique(seen.faces)) == {-1, order.index(1)}


def test_two_triangles_that_run_through_one_another_change_over_where_they_cross():
    slope = np.array([[0, 0, 0], [40, 0, 40], [0, 80, 0], [40, 80, 40]], np.float32)
    level = slope * [1, 1, 0] + [0, 0, 20]
    faces = np.array([[0, 1, 2], [1, 3, 2], [4, 5, 6], [5, 7, 6]], np.int32)
    seen = rasterise(np.concatenate([slope, level]).astype(np.float32), faces, 40, 40)
    assert (seen.faces[:, :19] >= 2).all()
    assert (seen.faces[:, 21:] < 2).all()


def test_the_shadow_of_a_ball_is_a_disc():
    """pi r², and the polygon that its corners make by scipy's convex hull."""
    body = ball(160, 320, 40.0)
    points = (body.vertices + np.array([50, 50, 0])).astype(np.float32)
    covered = (rasterise(points, body.faces, 100, 100).faces >= 0).sum()
    assert covered == pytest.approx(np.pi * 40**2, rel=0.005)
    assert covered == pytest.approx(ConvexHull(points[:, :2]).volume, rel=0.004)


@settings(max_examples=12)
@given(seed=st.integers(0, 10_000))
def test_the_shadow_of_a_cube_is_as_large_as_its_faces_that_are_seen(seed):
    """Cauchy: the shadow of a body of one surface that bulges everywhere is the sum of its faces' own shadows."""
    corners = np.array([[x, y, z] for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)], np.float64)
    turn = rotation(seed)
    points = (corners @ turn.T * 100 + [200, 200, 0]).astype(np.float32)
    faces = ConvexHull(corners).simplices.astype(np.int32)
    covered = (rasterise(points, faces, 400, 400).faces >= 0).sum()
    assert covered == pytest.approx(200**2 * np.abs(turn[2]).sum(), rel=0.01)


def test_what_lies_beside_the_picture_is_left_out():
    points = np.array([[-50, -50, 0], [-10, -50, 0], [-50, -10, 0], [200, 5, 0], [300, 5, 0], [200, 9, 0]], np.float32)
    seen = rasterise(points, np.array([[0, 1, 2], [3, 4, 5]], np.int32), 20, 10)
    assert (seen.faces == -1).all()


def test_a_triangle_seen_on_edge_and_one_that_is_a_point_cover_nothing_and_harm_nothing():
    points = np.array([[0, 0, 0], [20, 20, 0], [10, 10, 5], [4, 15, 1], [9, 15, 1], [4, 19, 1]], np.float32)
    faces = np.array([[0, 1, 2], [0, 0, 0], [3, 4, 5]], np.int32)
    assert set(np.unique(rasterise(points, faces, 20, 20).faces)) == {-1, 2}


def test_the_work_is_foretold_from_rows_and_pixels():
    points = np.array([[0, 0, 0], [100, 0, 0], [0, 100, 0]], np.float32)
    faces = np.array([[0, 1, 2]] * 50_000, np.int32)
    assert work_of(points, faces, 100, 100) == pytest.approx(50_000 * (100 + 5000), rel=0.01)
    assert work_of(points + 1000, faces, 100, 100) == 0
