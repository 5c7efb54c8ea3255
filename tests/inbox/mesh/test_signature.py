"""The same scan is known again, and another one is not taken for it."""

import itertools

import pytest
import trimesh

from intake.domain.scan_signature import same_scan, signature_difference
from intake.inbox.mesh.figures import mesh_figures
from intake.inbox.mesh.mesh import Mesh
from tests.scans import arches
from tests.scans.arches import arch
from tests.scans.real import real_scan


def compared(one, other):
    return same_scan(mesh_figures(one), mesh_figures(other))


@pytest.mark.parametrize(
    "again",
    [
        arches.moved,
        arches.reordered,
        arches.mirrored,
        lambda mesh: arches.moved(arches.reordered(mesh, 4), 9),
        lambda mesh: Mesh(mesh.vertices.astype("f4").astype("f8"), mesh.faces),
        arches.rounded,
    ],
    ids=["moved", "reordered", "mirrored", "moved and reordered", "in single precision", "with two decimals"],
)
def test_a_scan_sent_again_is_the_same(again):
    mesh = arch("upper")
    assert compared(mesh, again(mesh)) == "same"


def test_exact_copies_agree_to_a_millionth():
    mesh = arch("lower")
    assert signature_difference(mesh_figures(mesh), mesh_figures(arches.moved(arches.reordered(mesh), 3))) < 1e-9


def test_a_scan_with_other_triangles_is_probably_the_same():
    mesh = arch("upper", 20_000)
    finer = trimesh.Trimesh(mesh.vertices, mesh.faces, process=False).subdivide()
    assert compared(mesh, Mesh(finer.vertices, finer.faces.astype("i4"))) == "probably"
    assert compared(mesh, arch("upper", 90_000)) == "probably"


def test_different_arches_are_not_the_same():
    meshes = [
        arch("upper"),
        arch("lower"),
        arches.scaled(arch("upper"), 1.03),
        arches.one_arm_short(arch("upper")),
        arches.half(arch("lower")),
        arches.crowns(),
    ]
    for one, other in itertools.combinations(meshes, 2):
        assert compared(one, other) == "no"


def test_figures_without_a_signature_match_nothing():
    figures = mesh_figures(arch("upper", 600))
    bare = figures.model_copy(update={"signature": ()})
    assert same_scan(bare, bare) == "no"
    assert signature_difference(figures, bare) is None


def test_real_crowns_in_another_place_and_format_are_found_again():
    upper, lower, again = (
        mesh_figures(real_scan(f"crowns_a_{name}"))
        for name in ("upper.obj", "lower_own_origin.obj", "lower_closed.ply")
    )
    assert same_scan(lower, again) == "same"
    assert signature_difference(lower, again) < 1e-6
    assert same_scan(upper, lower) == "no"
