"""From triangles as they stand in a file to a mesh: each place once, only triangles, and those left out counted."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from intake.inbox.mesh import surface, welding
from intake.inbox.mesh.mesh import MeshRefused
from intake.inbox.mesh.surface import Surface, fans
from intake.inbox.mesh.welding import sound, weld

FEW = st.sampled_from([0.0, -0.0, 1.0, -1.0, 0.5, 1e-30, 1e30, float("inf"), float("nan")])
SOUPS = st.integers(1, 12).flatmap(
    lambda count: st.sampled_from([np.float32, np.float64]).flatmap(
        lambda type: arrays(type, (3 * count, 3), elements=FEW.map(type).map(float), fill=st.nothing())
    )
)


def soup(*triangles):
    return Surface(np.array(triangles, np.float32).reshape(-1, 3), None)


def places(points):
    """Each place once, in order, by Python's own means."""
    found = {}
    where = [found.setdefault(point.tobytes(), len(found)) for point in points]
    return len(found), where


@given(SOUPS)
def test_each_place_is_kept_once_and_every_point_finds_its_own(points):
    kept, where = weld(points)
    assert (len(kept), where.tolist()) == places(points)
    assert kept[where].tobytes() == points.tobytes()


@given(SOUPS)
def test_places_that_share_a_hash_are_told_apart_all_the_same(points):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(welding, "_hashes", lambda points: np.zeros(len(points), np.uint64))
        kept, where = weld(points)
    assert len(kept) == places(points)[0]
    assert kept[where].tobytes() == points.tobytes()


@given(SOUPS)
def test_what_comes_out_is_sound_and_what_is_left_out_is_counted(points):
    given_points = points.copy()
    corners = np.abs(given_points).reshape(-1, 9)
    nowhere = int((~(corners <= 1e7)).any(axis=1).sum())
    try:
        with np.errstate(all="ignore"):
            read = sound(Surface(points, None), "stl")
    except MeshRefused:
        return
    mesh = read.mesh
    assert read.not_finite == nowhere
    assert len(mesh.faces) + read.not_finite + read.degenerate == len(given_points) // 3
    assert sorted(set(mesh.faces.ravel().tolist())) == list(range(len(mesh.vertices)))
    assert len(np.unique(mesh.vertices, axis=0)) == len(mesh.vertices)
    assert (np.abs(mesh.vertices) <= 1e7).all()


def test_nothing_with_a_minus_is_nothing():
    read = sound(soup((0, 0, 0), (1, 0, 0), (0, 1, 0), (-0.0, -0.0, -0.0), (0, 1, 0), (-1, 0, -0.0)), "stl")
    assert len(read.mesh.vertices) == 4
    assert not np.signbit(read.mesh.vertices[read.mesh.vertices == 0]).any()


def test_triangles_of_two_corners_or_in_a_line_are_left_out_and_counted():
    good = ((0, 0, 0), (1, 0, 0), (0, 1, 0))
    two, line = ((0, 0, 0), (0, 0, 0), (0, 1, 0)), ((0.1, 0.1, 0.1), (0.2, 0.2, 0.2), (0.4, 0.4, 0.4))
    read = sound(soup(*good, *two, *line), "stl")
    assert (len(read.mesh.faces), read.degenerate, read.not_finite, read.remarks) == (1, 2, 0, ())


def test_a_sliver_is_a_triangle():
    assert len(sound(soup((0, 0, 0), (10, 0, 0), (5, 1e-6, 0)), "stl").mesh.faces) == 1


@pytest.mark.parametrize("row", [-1, 3])
def test_a_corner_that_is_no_point_is_refused(row):
    with pytest.raises(MeshRefused, match="names a point that is not in the file"):
        sound(Surface(np.eye(3), np.array([[0, 1, row]], np.int32)), "obj")


def test_more_triangles_than_any_scan_has_are_refused(monkeypatch):
    monkeypatch.setattr(surface, "MOST_TRIANGLES", 1)
    with pytest.raises(MeshRefused, match="holds more than 1 triangles"):
        sound(soup(*np.eye(3), *np.eye(3)), "stl")


def test_polygons_are_cut_from_their_first_corner_in_their_order():
    rows = np.array([0, 1, 2, 5, 6, 7, 8, 9, 3, 4, 5], np.int32)
    assert fans(rows, np.array([3, 5, 3])).tolist() == [[0, 1, 2], [5, 6, 7], [5, 7, 8], [5, 8, 9], [3, 4, 5]]


@given(st.lists(st.integers(3, 9), min_size=1, max_size=20))
def test_a_polygon_gives_two_triangles_fewer_than_it_has_corners(counts):
    triangles = fans(np.arange(sum(counts), dtype=np.int32), np.array(counts))
    assert len(triangles) == sum(count - 2 for count in counts)
    assert set(triangles.ravel().tolist()) == set(range(sum(counts)))
