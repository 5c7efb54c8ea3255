"""The whole check of a scan and of two arches, from files: figures, reasons and pictures."""

import io
import logging

import pytest
from PIL import Image

from intake.domain.scan_rules import ScanRules
from intake.inbox.mesh import checking
from intake.inbox.mesh.checked import CheckedArches, CheckedMesh
from intake.inbox.mesh.checking import check_arches, check_mesh
from intake.inbox.mesh.figures import mesh_figures
from intake.inbox.mesh.mesh import Mesh
from intake.inbox.mesh.occlusion import pair_figures
from tests.scans import arches, writers
from tests.scans.real import FOLDER

RULES = ScanRules()
PAIR = arches.pair(2_000)


def file(folder, content, name="upper.stl"):
    path = folder / name
    path.write_bytes(content)
    return path


def is_picture(png):
    with Image.open(io.BytesIO(png)) as picture:
        return picture.format == "PNG" and min(picture.size) >= 100


@pytest.mark.parametrize(
    ("write", "format", "unit"),
    [
        (writers.stl, "stl", None),
        (writers.ply, "ply", None),
        (writers.obj, "obj", None),
        (writers.one_part, "3mf", "mm"),
        (lambda mesh: writers.dicom(writers.stl(mesh)), "dicom", "mm"),
    ],
    ids=["stl", "ply", "obj", "3mf", "dicom"],
)
def test_a_scan_is_read_measured_and_pictured(tmp_path, write, format, unit):
    found = check_mesh(file(tmp_path, write(PAIR.upper)), "upper.stl", RULES)
    assert (found.problem, found.format, found.unit, found.left_out) == ("", format, unit, 0)
    assert found.figures.triangles == len(PAIR.upper.faces)
    assert found.figures.extents == pytest.approx(mesh_figures(PAIR.upper).extents, rel=1e-5)
    assert is_picture(found.png)


def test_what_had_to_be_left_out_is_counted(tmp_path):
    vertices = PAIR.upper.vertices.copy()
    vertices[0] = float("nan")
    touched = int((PAIR.upper.faces == 0).any(axis=1).sum())
    found = check_mesh(file(tmp_path, writers.stl(Mesh(vertices, PAIR.upper.faces))), "upper.stl", RULES)
    assert (found.left_out, found.problem) == (touched, "")


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"", "The file is empty."),
        (writers.stl(PAIR.upper)[:-1000], "cut short"),
        (b"<html><body>Please log in</body></html>", "a web page"),
        (b"ply\nformat ascii 1.0\n", ""),
    ],
    ids=["empty", "cut short", "web page", "no end of header"],
)
def test_a_scan_that_cannot_be_read_has_the_reason_and_nothing_else(tmp_path, content, why):
    found = check_mesh(file(tmp_path, content), "upper.stl", RULES)
    assert found == CheckedMesh(None, found.problem)
    assert found.problem.endswith((".", "?"))
    assert why in found.problem


def test_a_scan_that_is_gone_is_told(tmp_path):
    assert "cannot be read" in check_mesh(tmp_path / "gone.stl", "gone.stl", RULES).problem


def test_two_arches_are_measured_in_mm_whatever_unit_each_is_in(tmp_path):
    upper = file(tmp_path, writers.stl(arches.in_unit(PAIR.upper, "inch")), "upper.stl")
    lower = file(tmp_path, writers.ply(PAIR.lower, number="double"), "lower.ply")
    found = check_arches((upper, 25.4), (lower, 1), None)
    wanted = pair_figures(PAIR.upper, PAIR.lower)
    assert isinstance(found, CheckedArches)
    assert found.figures.near_half == pytest.approx(wanted.near_half, rel=0.02)
    assert found.figures.facing == pytest.approx(wanted.facing, abs=1e-4)
    assert found.bite is None
    assert len(set(found.pictures)) == 3
    assert all(map(is_picture, found.pictures))


def test_a_bite_scan_is_held_against_both_arches(tmp_path):
    pair = arches.pair(20_000)
    files = [
        (file(tmp_path, writers.stl(mesh), name), 1.0)
        for mesh, name in ((pair.upper, "upper.stl"), (pair.lower, "lower.stl"), (arches.bite(pair), "bite.stl"))
    ]
    found = check_arches(*files)
    assert min(found.bite.near_upper, found.bite.near_lower) > RULES.bite_share


def test_arches_of_which_one_cannot_be_read_are_not_measured_and_why(tmp_path):
    lower = file(tmp_path, writers.stl(PAIR.lower), "lower.stl"), 1.0
    assert "cannot be read" in check_arches((tmp_path / "gone.stl", 1.0), lower, None)


def test_real_crowns_bite_as_they_were_placed():
    """The crowns of one patient, and their placing: 326 mm² within 0.5 mm, 581 within 1 mm (scans/README.md there)."""
    upper, lower = FOLDER / "crowns_a_upper.obj", FOLDER / "crowns_a_lower_closed.ply"
    if not upper.exists():
        pytest.skip("the real scans are not on this machine")
    found = check_arches((upper, 1.0), (lower, 1.0), None)
    assert (found.figures.near_half, found.figures.near_one) == pytest.approx((326, 581), abs=1)


def break_with(error):
    def breaks(*_):
        raise error

    return breaks


@pytest.mark.parametrize(
    ("error", "says"),
    [
        (MemoryError(), "The mesh needs more memory than this machine has."),
        (
            IndexError("of patient Jones"),
            "It could not be checked, because of a fault in Intake (IndexError in test_ch",
        ),
    ],
    ids=["memory", "fault"],
)
def test_what_nobody_foresaw_is_a_sentence_and_stands_in_the_log(tmp_path, monkeypatch, caplog, error, says):
    path = file(tmp_path, writers.stl(PAIR.upper))
    monkeypatch.setattr(checking, "mesh_figures", break_with(error))
    monkeypatch.setattr(checking, "pair_figures", break_with(error))
    with caplog.at_level(logging.ERROR):
        problem = check_mesh(path, "upper.stl", RULES).problem
        between = check_arches((path, 1.0), (path, 1.0), None)
    assert problem.startswith(says)
    assert between.startswith(says)
    assert "Jones" not in problem + between
    assert len(caplog.records) == (0 if isinstance(error, MemoryError) else 2)
