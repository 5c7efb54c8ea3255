"""Every format against trimesh, a general-purpose library for meshes that reads them in its own way."""

from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
import trimesh

from intake.inbox.mesh.formats import read_mesh
from tests.scans import writers
from tests.scans.arches import arch, crowns, half, with_debris

SCANS = Path(__file__).parents[4] / "shared" / "scans"
MESHES = {
    "upper": arch("upper", 6_000),
    "lower": arch("lower", 6_000),
    "half": half(arch("upper", 6_000)),
    "debris": with_debris(arch("lower", 3_000)),
    "crowns": crowns("upper", 3_000),
}
FORMATS = {
    "stl": (writers.stl, "stl"),
    "stl-text": (writers.stl_text, "stl_ascii"),
    "ply": (writers.ply, "ply"),
    "ply-big-endian": (lambda mesh: writers.ply(mesh, ">", "double"), "ply"),
    "ply-text": (lambda mesh: writers.ply(mesh, ""), "ply"),
    "obj": (writers.obj, "obj"),
    "obj-slashes": (lambda mesh: writers.obj(mesh, "//1"), "obj"),
}


def expect_the_same(content, file_type):
    """That both read one surface: as many points (once merged) and faces, one area, one volume, one box."""
    read = read_mesh(content)
    other = trimesh.load(BytesIO(content), file_type=file_type, process=False, force="mesh")
    assert len(other.faces) == len(read.mesh.faces) + read.degenerate
    other.merge_vertices(merge_tex=True, merge_norm=True)
    ours = trimesh.Trimesh(read.mesh.vertices, read.mesh.faces, process=False)
    assert len(ours.vertices) == len(other.vertices)
    assert ours.area == pytest.approx(other.area, rel=1e-6)
    assert ours.volume == pytest.approx(other.volume, rel=1e-5, abs=1e-3)
    assert np.allclose(ours.bounds, other.bounds, atol=1e-5)
    assert ours.is_watertight == other.is_watertight
    assert ours.euler_number == other.euler_number or read.degenerate


@pytest.mark.parametrize("format", FORMATS)
@pytest.mark.parametrize("mesh", MESHES)
@pytest.mark.sampled(12)
def test_both_read_one_surface(mesh, format):
    write, file_type = FORMATS[format]
    expect_the_same(write(MESHES[mesh]), file_type)


@pytest.mark.parametrize("file_type", ["stl", "stl_ascii", "ply", "obj"])
def test_what_trimesh_writes_is_read(file_type):
    mesh = trimesh.creation.icosphere(subdivisions=3, radius=30)
    exported = mesh.export(file_type=file_type)
    content = exported.encode() if isinstance(exported, str) else exported
    read = read_mesh(content)
    assert (len(read.mesh.vertices), len(read.mesh.faces), read.remarks) == (len(mesh.vertices), len(mesh.faces), ())
    assert trimesh.Trimesh(read.mesh.vertices, read.mesh.faces, process=False).volume == pytest.approx(
        mesh.volume, 1e-5
    )


@pytest.mark.parametrize("path", sorted(SCANS.glob("*.[op][bl][jy]")) or [None], ids=lambda path: path and path.stem)
def test_real_scans_are_read(path):
    """Crown surfaces of one patient from published research data; their README states origin and counts."""
    if path is None:
        pytest.skip("the real scans are not on this machine")
    read = read_mesh(path)
    assert (read.not_finite, read.remarks) == (0, ())
    expect_the_same(path.read_bytes(), path.suffix[1:])


@pytest.mark.parametrize(
    ("name", "points", "faces", "area"),
    [("crowns_a_upper.obj", 42_644, 85_232, 3_247), ("crowns_a_lower_own_origin.obj", 41_659, 83_262, 2_906)],
)
def test_real_scans_have_what_their_readme_says(name, points, faces, area):
    if not (SCANS / name).exists():
        pytest.skip("the real scans are not on this machine")
    mesh = read_mesh(SCANS / name).mesh
    assert (len(mesh.vertices), len(mesh.faces)) == (points, faces)
    assert trimesh.Trimesh(mesh.vertices, mesh.faces, process=False).area == pytest.approx(area, abs=0.5)
