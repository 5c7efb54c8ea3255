"""The figures of a mesh against trimesh, a general-purpose library for meshes, and shapes out of any handbook."""

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.inbox.mesh.figures import mesh_figures
from intake.inbox.mesh.mesh import Mesh
from tests.scans import arches
from tests.scans.arches import arch

MESHES = {
    "upper": arch("upper"),
    "lower": arch("lower"),
    "fine upper": arch("upper", 60_000),
    "coarse lower": arch("lower", 600),
    "elsewhere": arches.moved(arch("lower"), 3),
    "shuffled": arches.reordered(arch("upper"), 5),
    "half": arches.half(arch("upper")),
    "short": arches.one_arm_short(arch("lower")),
    "hole": arches.with_hole(arch("upper"), 3.0),
    "debris": arches.with_debris(arch("lower")),
    "crowns": arches.crowns(),
    "pair in one file": arches.together(arch("upper"), arch("lower")),
    "in inch": arches.in_unit(arch("upper"), "inch"),
}


@pytest.fixture(params=MESHES.values(), ids=MESHES.keys(), scope="module")
def mesh(request):
    return request.param


@pytest.fixture(scope="module")
def figures(mesh):
    return mesh_figures(mesh)


@pytest.fixture(scope="module")
def known(mesh):
    """The same mesh in trimesh."""
    return as_trimesh(mesh)


def as_trimesh(mesh):
    return trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)


def alike(value):
    return pytest.approx(value, rel=1e-6)


def test_area_box_and_counts_are_those_of_trimesh(figures, known):
    assert figures.area == alike(known.area)
    assert figures.box == alike(tuple(known.extents))
    assert (figures.triangles, figures.vertices) == (len(known.faces), len(known.vertices))


def pieces_of(known):
    return trimesh.graph.connected_components(known.face_adjacency, nodes=np.arange(len(known.faces)))


def test_the_pieces_are_those_of_trimesh(figures, known):
    pieces = pieces_of(known)
    closed = [known.submesh([piece], append=True, repair=False).is_watertight for piece in pieces]
    assert figures.parts == len(pieces) == known.body_count
    assert figures.largest_share == alike(max(known.area_faces[piece].sum() for piece in pieces) / known.area)
    assert figures.closed_parts == sum(closed)


def test_the_open_edges_are_those_of_trimesh(figures, known):
    _, times = np.unique(known.edges_sorted, axis=0, return_counts=True)
    assert figures.open_edges == np.count_nonzero(times == 1)
    assert figures.non_manifold_share == 0
    assert figures.flipped_share == 0
    assert known.is_winding_consistent


def test_the_borders_are_as_long_as_those_of_trimesh(figures, known):
    largest = max(pieces_of(known), key=lambda piece: known.area_faces[piece].sum())
    piece = known.submesh([largest], append=True, repair=False)
    border = piece.edges_sorted[trimesh.grouping.group_rows(piece.edges_sorted, require_count=1)]
    lengths = np.linalg.norm(np.diff(piece.vertices[border], axis=1)[:, 0], axis=1)
    loops = [lengths[np.isin(border[:, 0], loop)].sum() for loop in trimesh.graph.connected_components(border)]
    assert figures.loops == alike(tuple(sorted(loops, reverse=True)))


def test_the_mean_normal_is_that_of_trimesh(figures, known):
    mean = known.area_faces @ known.face_normals / known.area
    assert np.array(figures.normal) * figures.strength == pytest.approx(mean, abs=1e-9)


def test_the_extents_are_along_the_axes_that_the_rule_of_the_middles_of_edges_gives(figures, known):
    """The integral of a quadratic over a triangle is a third of its area times the sum at the middles of its edges.

    A rule of any handbook of finite elements (Strang and Fix 1973, table 4.1, from memory), over the triangles and the
    areas of trimesh; the axes are those of the second moment.
    """
    corners = known.triangles
    middles = (corners + np.roll(corners, 1, axis=1)) / 2
    weights = np.repeat(known.area_faces / 3, 3)
    points = middles.reshape(-1, 3)
    centre = weights @ points / weights.sum()
    _, axes = np.linalg.eigh((points - centre).T @ ((points - centre) * weights[:, None]))
    sides = np.ptp(known.vertices @ axes, axis=0)
    assert sorted(figures.extents) == alike(sorted(sides.tolist()))


@pytest.mark.sampled(6)
def test_extents_and_signature_are_those_of_many_points_spread_evenly(figures, known):
    """Each triangle is cut into 16, whose middles alone are then as good as the surface."""
    cuts = np.array([[[1, 0, 0], [0, 1, 0], [0, 0, 1]]], dtype=float)
    for _ in range(2):
        a, b, c = cuts[:, 0], cuts[:, 1], cuts[:, 2]
        ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
        cuts = np.concatenate([np.stack(cut, axis=1) for cut in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))])
    weights = np.repeat(known.area_faces, len(cuts)) / len(cuts)
    points = np.einsum("pc,mcx->mpx", cuts.mean(axis=1), known.triangles, optimize=True).reshape(-1, 3)
    away = points - np.average(points, axis=0, weights=weights)
    squares, axes = np.linalg.eigh((away * weights[:, None]).T @ away / weights.sum())
    cubes = np.average(np.linalg.norm(away, axis=1) ** 3, weights=weights)
    expected = (np.sqrt(weights.sum()), *np.sqrt(squares[::-1]), np.cbrt(cubes))
    assert figures.signature == pytest.approx(expected, rel=2e-3)
    assert figures.extents == pytest.approx(sorted(np.ptp(known.vertices @ axes, axis=0), reverse=True), rel=1e-3)


# Shapes of known measure


def sheet(length, width, steps=40):
    """A flat rectangle."""
    x, y = np.meshgrid(np.linspace(0, length, steps + 1), np.linspace(0, width, steps + 1), indexing="ij")
    rows = np.arange((steps + 1) ** 2).reshape(steps + 1, steps + 1)
    a, b, c, d = (part.ravel() for part in (rows[:-1, :-1], rows[1:, :-1], rows[1:, 1:], rows[:-1, 1:]))
    faces = np.concatenate([np.stack([a, b, c], axis=1), np.stack([a, c, d], axis=1)])
    return Mesh(np.stack([x.ravel(), y.ravel(), np.zeros(x.size)], axis=1), faces.astype(np.int32))


def test_a_flat_sheet_has_the_second_moment_of_a_rectangle():
    """Second moment of area of a rectangle about its middle: b h**3 / 12 (tables of any handbook of statics)."""
    figures = mesh_figures(arches.moved(sheet(60.0, 30.0, 4), 7))
    assert figures.extents == pytest.approx((60, 30, 0), abs=1e-9)
    assert figures.area == alike(1800)
    assert figures.signature[:4] == pytest.approx((1800**0.5, 60 / 12**0.5, 30 / 12**0.5, 0), abs=1e-6)
    assert figures.loops == alike((180.0,))
    assert figures.strength == alike(1)
    assert (figures.parts, figures.closed_parts, figures.open_edges) == (1, 0, 16)


def test_a_ball_has_the_area_and_radii_of_a_sphere():
    """Area 4 pi r**2; moment of inertia of a hollow ball 2/3 m r**2 (any handbook): along each axis r**2 / 3."""
    ball = trimesh.creation.icosphere(subdivisions=5, radius=20.0)
    figures = mesh_figures(Mesh(np.asarray(ball.vertices), np.asarray(ball.faces, dtype=np.int32)))
    assert figures.area == pytest.approx(4 * np.pi * 400, rel=1e-3)
    assert figures.signature[1:4] == pytest.approx((20 / 3**0.5,) * 3, rel=1e-3)
    assert figures.signature[4] == pytest.approx(20, rel=1e-3)
    assert (figures.open_edges, figures.loops, figures.parts, figures.closed_parts) == (0, (), 1, 1)
    assert figures.strength == pytest.approx(0, abs=1e-9)
    assert figures.normal == (0, 0, 0)
    assert figures.jaw_score is None


def test_a_single_triangle_is_measured():
    figures = mesh_figures(Mesh(np.array([[0, 0, 0], [3, 0, 0], [0, 4, 0.0]]), np.array([[0, 1, 2]], dtype=np.int32)))
    assert (figures.area, figures.loops, figures.open_edges, figures.strength) == (
        alike(6),
        alike((12.0,)),
        3,
        alike(1),
    )


# What must not change them

SMALL = [arch("upper", 700), arch("lower", 700), arches.with_hole(arch("upper", 5000)), arches.crowns(triangles=2000)]
SEEDS = st.integers(0, 10_000)


def same_but_for_size(after, before):
    for name in ("triangles", "vertices", "parts", "closed_parts", "open_edges"):
        assert getattr(after, name) == getattr(before, name)
    for name in ("flipped_share", "non_manifold_share", "largest_share"):
        assert getattr(after, name) == alike(getattr(before, name))
    assert after.strength == pytest.approx(before.strength, rel=1e-6, abs=1e-9)
    assert (after.jaw_score is None) == (before.jaw_score is None)
    assert after.jaw_score is None or after.jaw_score == pytest.approx(before.jaw_score, abs=0.02)


def same(after, before):
    """All that the place of a scan and the order of its file must not change."""
    same_but_for_size(after, before)
    for name in ("extents", "loops", "signature", "area"):
        assert getattr(after, name) == alike(getattr(before, name))


@settings(deadline=None, max_examples=40)
@given(mesh=st.sampled_from(SMALL), seed=SEEDS)
def test_a_scan_that_is_moved_and_turned_has_the_same_figures(mesh, seed):
    before, after = mesh_figures(mesh), mesh_figures(arches.moved(mesh, seed))
    same(after, before)
    assert after.normal == pytest.approx(arches.rotation(seed) @ before.normal, abs=1e-6)


@settings(deadline=None, max_examples=40)
@given(mesh=st.sampled_from(SMALL), seed=SEEDS)
def test_a_scan_with_its_corners_and_triangles_in_another_order_has_the_same_figures(mesh, seed):
    before, after = mesh_figures(mesh), mesh_figures(arches.reordered(mesh, seed))
    same(after, before)
    assert after.box == before.box


@settings(deadline=None, max_examples=40)
@given(mesh=st.sampled_from(SMALL), factor=st.floats(1e-3, 1e3))
def test_lengths_grow_with_the_scale_and_areas_with_its_square(mesh, factor):
    before, after = mesh_figures(mesh), mesh_figures(arches.scaled(mesh, factor))
    for name in ("box", "extents", "loops", "signature"):
        assert getattr(after, name) == alike(tuple(length * factor for length in getattr(before, name)))
    assert after.area == alike(before.area * factor**2)
    same_but_for_size(after, before)


def test_a_scan_far_from_the_origin_keeps_its_figures():
    mesh = arch("upper", 2000)
    same(mesh_figures(arches.moved_by(mesh, (3e4, -2e4, 1e4))), mesh_figures(mesh))
