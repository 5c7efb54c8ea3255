"""OBJ as it comes, whole and damaged: the public Wavefront text format."""

import numpy as np
import pytest

from intake.inbox.mesh.formats import read_mesh
from intake.inbox.mesh.mesh import MeshRefused
from tests.scans import writers
from tests.scans.arches import arch

ARCH = arch("upper", 1_500)
COUNT = len(ARCH.faces)
SQUARE = b"v 0 0 0\nv 4 0 0\nv 4 3 0\nv 0 3 0\n"


def triangles(content):
    read = read_mesh(content)
    assert read.remarks == ()
    return read.mesh.faces.tolist()


def refused(content):
    with pytest.raises(MeshRefused) as caught:
        read_mesh(content)
    return str(caught.value)


@pytest.mark.parametrize("slashes", ["", "/1", "/1/1", "//1"])
@pytest.mark.parametrize("backward", [False, True])
def test_corners_with_textures_and_normals_counted_from_either_end_give_the_same_arch(slashes, backward):
    read = read_mesh(writers.obj(ARCH, slashes, backward))
    assert np.array_equal(read.mesh.vertices[read.mesh.faces], ARCH.vertices[ARCH.faces])
    assert (read.format, read.unit, read.not_finite, read.degenerate, read.remarks) == ("obj", None, 0, 0, ())


def test_polygons_are_cut_into_triangles():
    assert triangles(SQUARE + b"f 1 2 3 4\nf 2 3 4\n") == [[0, 1, 2], [0, 2, 3], [1, 2, 3]]


def test_a_corner_counted_backward_is_counted_from_the_newest_vertex_before_it():
    mesh = read_mesh(SQUARE + b"f -4 -3 -2\nv 9 9 9\nf -5 -3 -1\n").mesh
    assert mesh.vertices[mesh.faces[1]].tolist() == [[0, 0, 0], [4, 3, 0], [9, 9, 9]]


def test_a_line_that_goes_on_in_the_next_is_one():
    for end in (b"\n", b"\r\n", b"\r"):
        content = SQUARE + b"f 1 \\\n 2 \\\n3\nv 1 \\\n 2 3\nf 1 2 \\\n5 # to be \\\nf 3 4 1\n"
        assert triangles(content.replace(b"\n", end)) == [[0, 1, 2], [0, 1, 4], [2, 3, 0]]


def test_all_else_in_a_file_is_passed_over():
    content = b"# arch\nmtllib scan.mtl\no upper\ng gum\nusemtl pink\ns off\nvt 0 0\nvn 0 0 1\nvp 1 2\nl 1 2\np 1\n"
    colours = b"v 0 0 0 0.9 0.8 0.7\nv 4 0 0 1 1 1\nv 4 3 0 1\n"
    assert triangles(content + colours + b"f 1/1/1 2/1/1 3/1/1 # first\n\nF 3 2 1\n") == [[0, 1, 2], [2, 1, 0]]


def test_a_material_is_never_opened(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "scan.mtl").write_text("newmtl pink\n")
    content = b"mtllib scan.mtl\n" + SQUARE + b"usemtl pink\nf 1 2 3\n"
    monkeypatch.setattr("builtins.open", lambda *_, **__: pytest.fail("a file was opened"))
    assert triangles(content) == [[0, 1, 2]]


@pytest.mark.parametrize(
    ("faces", "sentence"),
    [
        (b"f 0 1 2\n", "A face names vertex 0; vertices are counted from 1."),
        (b"f 1 2 5\n", "A triangle names a point that is not in the file."),
        (b"f 1 2 1000000000000\n", "A face names a vertex that is not in the file."),
        (
            b"f 1 2 99999999999999999999999\n",
            "Where the number of a point belongs, the file has '99999999999999999999…'.",
        ),
        (b"f 1 2 -5\n", "A face names a vertex that is not in the file."),
        (b"f 1 2\n", "The file has a face with fewer than three corners."),
        (b"f\n", "The file has a face with fewer than three corners."),
        (b"f 1 2 x\n", "Where the number of a point belongs, the file has 'x'."),
        (b"f 1 2 3.0\n", "Where the number of a point belongs, the file has '3.0'."),
        (b"f 1 2 //3\n", "Where the number of a point belongs, the file has ''."),
        (b"", "The file holds no triangles."),
        (b"v 1 2\nf 1 2 3\n", "A vertex has fewer than three coordinates."),
        (b"v 1,5 2,0 3,5\nf 1 2 3\n", "The numbers have a decimal comma ('1,5'). Export the mesh with decimal points."),
        (b"v 1 2 x\nf 1 2 3\n", "Where a number belongs, the file has 'x'."),
        (b"v 1 2 \xff\x1b[31m\nf 1 2 3\n", "Where a number belongs, the file has '\\xff\\x1b[31m'."),
    ],
)
def test_what_is_wrong_in_a_file_is_said(faces, sentence):
    assert refused(SQUARE + faces) == sentence


def test_vertices_of_no_number_are_left_out_with_their_triangles():
    read = read_mesh(SQUARE + b"v nan 0 0\nv 1e30 0 0\nf 1 2 3\nf 1 2 5\nf 1 2 6\n")
    assert (len(read.mesh.faces), len(read.mesh.vertices), read.not_finite) == (1, 3, 2)


def test_vertices_that_no_face_has_are_left_out():
    assert len(read_mesh(SQUARE + b"v 500 500 500\nf 1 2 3\n").mesh.vertices) == 3


def test_a_scan_of_several_megabytes_is_read_across_its_blocks():
    large = arch("upper", 60_000)
    content = writers.obj(large, "/1/1", backward=True)
    assert len(content) > 3_000_000
    assert np.array_equal(read_mesh(content).mesh.faces, large.faces)
