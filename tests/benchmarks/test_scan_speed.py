"""How long a scan takes to be measured, and how much memory."""

import pytest
import trimesh

from tests.benchmarks.measuring import BINARY_STL, least_time, most_memory
from tests.scans import arches


@pytest.mark.benchmark
@pytest.mark.parametrize("order", [lambda mesh: mesh, arches.reordered], ids=["as scanned", "shuffled"])
def test_a_scan_of_250_000_triangles_is_measured_within_300_ms(order, record_property, allowed):
    from intake.inbox.mesh.figures import mesh_figures

    mesh = order(arches.arch("upper", 250_000))
    taken = least_time(lambda: mesh_figures(mesh))
    memory = most_memory(lambda: mesh_figures(mesh)) + mesh.vertices.nbytes + mesh.faces.nbytes
    record_property("ms", round(taken * 1000))
    record_property("bytes a triangle, the mesh itself among them", round(memory / len(mesh.faces)))
    assert memory <= 3 * BINARY_STL * len(mesh.faces)
    assert taken <= allowed(0.3)


@pytest.mark.benchmark
def test_a_scan_is_read_and_measured_sooner_than_trimesh_has_read_it(tmp_path, record_property, allowed):
    """trimesh, a general-purpose library: its plain load of a binary STL, which joins equal corners as ours does."""
    from intake.inbox.mesh.figures import mesh_figures
    from intake.inbox.mesh.formats import read_mesh

    mesh = arches.reordered(arches.arch("upper", 250_000))
    file = tmp_path / "scan.stl"
    trimesh.Trimesh(mesh.vertices, mesh.faces, process=False).export(file)
    theirs = least_time(lambda: trimesh.load(file))
    ours = least_time(lambda: mesh_figures(read_mesh(file).mesh))
    memory = most_memory(lambda: mesh_figures(read_mesh(file).mesh))
    record_property("ms", round(ours * 1000))
    record_property("trimesh_ms", round(theirs * 1000))
    record_property("bytes a triangle", round(memory / len(mesh.faces)))
    assert memory <= 3 * file.stat().st_size
    assert ours <= allowed(theirs)


@pytest.mark.benchmark
def test_a_pair_of_261_000_and_195_000_triangles_is_held_together_within_350_ms(record_property, allowed):
    from intake.inbox.mesh.occlusion import pair_figures

    pair = arches.pair(261_000, lower_triangles=195_000)
    taken = least_time(lambda: pair_figures(pair.upper, pair.lower))
    memory = most_memory(lambda: pair_figures(pair.upper, pair.lower))
    triangles = len(pair.upper.faces) + len(pair.lower.faces)
    record_property("ms", round(taken * 1000))
    record_property("bytes a triangle", round(memory / triangles))
    assert memory <= 3 * BINARY_STL * triangles
    assert taken <= allowed(0.35)


@pytest.mark.benchmark
def test_a_pair_is_read_checked_and_pictured_with_its_occlusion_within_3_s(tmp_path, record_property, allowed):
    """From two binary STL files of 261,000 and 195,000 triangles to every figure and all five pictures."""
    from intake.domain.scan_rules import ScanRules
    from intake.inbox.mesh.checking import check_arches, check_mesh
    from tests.scans.writers import stl

    pair, rules = arches.pair(261_000, lower_triangles=195_000), ScanRules()
    files = {"upper.stl": pair.upper, "lower.stl": pair.lower}
    for name, mesh in files.items():
        (tmp_path / name).write_bytes(stl(mesh))

    def check():
        found = [check_mesh(tmp_path / name, name, rules) for name in files]
        upper, lower = ((tmp_path / name, 1.0) for name in files)
        return [*found, check_arches(upper, lower, None)]

    taken, memory = least_time(check), most_memory(check)
    record_property("ms", round(taken * 1000))
    record_property("bytes a triangle of both", round(memory / (len(pair.upper.faces) + len(pair.lower.faces))))
    assert memory <= 3 * sum(file.stat().st_size for file in tmp_path.iterdir())
    assert taken <= allowed(3)
