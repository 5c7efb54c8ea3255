"""What spoils a scan shows in its figures, each in its own and by the amount that was done."""

import numpy as np
import pytest
import trimesh

from intake.inbox.mesh.figures import mesh_figures
from intake.inbox.mesh.mesh import Mesh, MeshRefused
from tests.scans import arches
from tests.scans.arches import arch
from tests.scans.real import real_scan


@pytest.mark.parametrize("jaw", ["upper", "lower"])
def test_a_good_open_scan_is_one_piece_with_one_border(jaw):
    figures = mesh_figures(arch(jaw))
    assert (figures.parts, figures.closed_parts, figures.largest_share) == (1, 0, 1)
    assert len(figures.loops) == 1
    assert 227 <= figures.loops[0] <= 482  # the borders of 31 open scans of research data and casts
    assert 2875 <= figures.area <= 12_644  # their areas
    assert 57.9 <= figures.extents[0] <= 72.9  # their longest extents
    assert figures.extents[1] >= 41.0
    assert figures.strength >= 0.32


@pytest.mark.parametrize("jaw", ["upper", "lower"])
def test_a_quadrant_is_narrower_than_any_full_arch(jaw):
    assert mesh_figures(arches.half(arch(jaw))).extents[1] < 39.5


@pytest.mark.parametrize("radius", [1.5, 2.0, 3.0])
def test_a_hole_is_a_second_border(radius):
    whole, holed = mesh_figures(arch("upper", 60_000)), mesh_figures(arches.with_hole(arch("upper", 60_000), radius))
    assert len(holed.loops) == 2
    assert holed.loops[0] == pytest.approx(whole.loops[0])
    assert 2 * np.pi * radius * 0.9 < holed.loops[1]
    assert holed.area < whole.area


def test_two_holes_and_a_loose_piece_leave_the_borders_of_the_largest_piece_longest_first():
    mesh = arches.with_hole(arches.with_hole(arch("upper"), 2.0), 3.0, near=(-15.5, -14.0))
    loose = arches.moved_by(arches.half(arch("lower")), (0, 0, -60))
    figures = mesh_figures(arches.together(loose, mesh))
    assert len(figures.loops) == 3
    assert figures.loops == tuple(sorted(figures.loops, reverse=True))
    assert figures.loops == pytest.approx(mesh_figures(mesh).loops)
    assert figures.parts == 2


def test_of_a_sieve_the_twenty_longest_borders_are_kept():
    mesh = arch("upper")
    keep = np.ones(len(mesh.faces), dtype=bool)
    keep[520 : len(keep) // 2 : 151] = False
    figures = mesh_figures(arches.kept(mesh, keep))
    assert len(figures.loops) == 20
    assert figures.open_edges > mesh_figures(mesh).open_edges + 3 * 50


@pytest.mark.parametrize("share", [0.01, 0.05, 0.3])
def test_triangles_that_look_the_wrong_way_show_by_their_share(share):
    mesh = arches.flipped(arch("lower"), share)
    figures = mesh_figures(mesh)
    # An edge shows it when one of its two triangles was turned and the other was not.
    assert figures.flipped_share == pytest.approx(2 * share * (1 - share), rel=0.1)
    assert figures.area == pytest.approx(mesh_figures(arch("lower")).area)
    assert figures.open_edges == mesh_figures(arch("lower")).open_edges


def test_an_inside_out_scan_looks_the_other_way_and_is_not_called_flipped():
    right, wrong = mesh_figures(arch("upper")), mesh_figures(arches.inside_out(arch("upper")))
    assert wrong.flipped_share == 0
    assert np.array(wrong.normal) == pytest.approx(-np.array(right.normal))


def test_fins_show_as_edges_of_more_than_two_triangles():
    mesh = arches.with_fins(arch("upper"), 150)
    _, times = np.unique(
        np.sort(trimesh.Trimesh(mesh.vertices, mesh.faces, process=False).edges), axis=0, return_counts=True
    )
    figures = mesh_figures(mesh)
    assert 100 < np.count_nonzero(times > 2) <= 150
    assert figures.non_manifold_share == pytest.approx(np.count_nonzero(times > 2) / len(times))
    assert figures.open_edges == np.count_nonzero(times == 1)
    assert figures.parts == 1  # a fin hangs on the edge that it spoils


def test_a_mesh_with_every_triangle_twice_has_no_edge_of_two_triangles():
    mesh = arch("lower", 600)
    figures = mesh_figures(Mesh(mesh.vertices, np.concatenate([mesh.faces, mesh.faces])))
    once = mesh_figures(mesh)
    assert figures.open_edges == 0
    assert figures.non_manifold_share == pytest.approx(1 - once.open_edges / _edges(mesh))


def _edges(mesh):
    return len(np.unique(np.sort(trimesh.Trimesh(mesh.vertices, mesh.faces, process=False).edges), axis=0))


def test_pieces_that_touch_at_a_corner_alone_are_two():
    mesh = Mesh(
        np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [-1, 0, 0], [0, -1, 0.0]]),
        np.array([[0, 1, 2], [0, 3, 4]], dtype=np.int32),
    )
    assert mesh_figures(mesh).parts == 2


def test_debris_is_many_pieces_and_the_largest_is_less_than_all():
    figures = mesh_figures(arches.with_debris(arch("lower"), pieces=7))
    assert (figures.parts, figures.closed_parts) == (8, 7)
    assert 0.9 < figures.largest_share < 0.98


def test_crowns_are_separate_closed_shells():
    figures = mesh_figures(arches.crowns())
    assert (figures.parts, figures.closed_parts, figures.open_edges, figures.loops) == (14, 14, 0, ())
    assert figures.strength == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("size", [0.0, 1e-200])
def test_a_mesh_without_an_area_is_refused_with_the_reason(size):
    with pytest.raises(MeshRefused, match="no area"):
        mesh_figures(arches.scaled(arch("upper", 600), size))


def test_no_triangles_at_all_are_refused():
    with pytest.raises(MeshRefused, match="no area"):
        mesh_figures(Mesh(np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int32)))


def test_real_crowns_are_fourteen_closed_shells():
    """Counts, box and area as the description of the files states them."""
    upper, lower = (
        mesh_figures(real_scan("crowns_a_upper.obj")),
        mesh_figures(real_scan("crowns_a_lower_own_origin.obj")),
    )
    for figures in (upper, lower):
        assert (figures.parts, figures.closed_parts, figures.open_edges) == (14, 14, 0)
        assert (figures.flipped_share, figures.non_manifold_share) == (0, 0)
        assert figures.jaw_score is None
    assert upper.box == pytest.approx((63.7, 11.3, 48.3), abs=0.06)
    assert upper.area == pytest.approx(3247, abs=1)
    assert lower.box == pytest.approx((62.1, 11.7, 44.8), abs=0.06)
    assert lower.area == pytest.approx(2906, abs=1)
