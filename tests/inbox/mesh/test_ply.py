"""PLY as it comes, whole and damaged: G. Turk, The PLY Polygon File Format, 1994."""

from itertools import product

import numpy as np
import pytest

from intake.inbox.mesh.formats import read_mesh
from intake.inbox.mesh.mesh import MeshRefused
from tests.scans import writers
from tests.scans.arches import arch

ARCH = arch("upper", 1_500)
COUNT = len(ARCH.faces)
WHOLE = writers.ply(ARCH)
SQUARE = np.array([(0.0, 0, 0), (4, 0, 0), (4, 3, 0), (0, 3, 0), (2, 5, 1)])
CUT = "The file was cut short: its header says that it holds more than it does."
# The cube of the paper of 1994, with its comments.
CUBE = b"""ply
format ascii 1.0
comment made by anonymous
comment this file is a cube
element vertex 8
property float32 x
property float32 y
property float32 z
element face 6
property list uint8 int32 vertex_index
end_header
0 0 0
0 0 1
0 1 1
0 1 0
1 0 0
1 0 1
1 1 1
1 1 0
4 0 1 2 3
4 7 6 5 4
4 0 4 5 1
4 1 5 6 2
4 2 6 7 3
4 3 7 4 0
"""


def area(mesh):
    a, b, c = mesh.vertices[mesh.faces.T]
    return np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2


def volume(mesh):
    a, b, c = mesh.vertices[mesh.faces.T]
    return (np.cross(a, b) * c).sum() / 6


def refused(content):
    with pytest.raises(MeshRefused) as caught:
        read_mesh(content)
    return str(caught.value)


def test_the_cube_of_the_paper_is_a_cube():
    read = read_mesh(CUBE)
    assert (len(read.mesh.vertices), len(read.mesh.faces)) == (8, 12)
    assert area(read.mesh) == pytest.approx(6)
    assert abs(volume(read.mesh)) == pytest.approx(1)
    assert (read.format, read.unit, read.remarks) == ("ply", None, ())


@pytest.mark.parametrize("order", ["", "<", ">"])
@pytest.mark.parametrize("extra", [False, True])
def test_every_order_and_type_and_whatever_else_there_is_gives_the_same_arch(order, extra):
    for number, index, count in product(["float", "double"], ["int", "uint", "ushort"], ["uchar", "int"]):
        read = read_mesh(writers.ply(ARCH, order, number, index, count, extra))
        assert (len(read.mesh.vertices), len(read.mesh.faces), read.remarks) == (len(ARCH.vertices), COUNT, ())
        assert np.allclose(read.mesh.vertices[read.mesh.faces], ARCH.vertices[ARCH.faces], atol=1e-5)


def test_doubles_keep_every_digit():
    read = read_mesh(writers.ply(ARCH, ">", "double"))
    assert np.array_equal(read.mesh.vertices[read.mesh.faces], ARCH.vertices[ARCH.faces])


@pytest.mark.parametrize("order", ["", "<", ">"])
def test_quads_and_pentagons_among_triangles_are_cut_into_triangles(order):
    read = read_mesh(writers.polygons_ply(SQUARE, [[0, 1, 2, 3], [3, 2, 4], [0, 1, 2, 4, 3]], order))
    assert read.mesh.faces.tolist() == [[0, 1, 2], [0, 2, 3], [3, 2, 4], [0, 1, 2], [0, 2, 4], [0, 4, 3]]


@pytest.mark.parametrize("order", ["", "<", ">"])
@pytest.mark.parametrize("count", [0, 2])
def test_lists_of_other_things_are_passed_over(order, count):
    content = writers.polygons_ply(SQUARE[:4], [[0, 1, 2, 3]], order)
    strips = f"element strips {count}\nproperty list uchar int vertex_indices\nelement vertex".encode()
    before = content.replace(b"element vertex", strips)
    data = b"\2" + bytes(8) + b"\3" + bytes(12) if order else b"2 0 1\n3 0 1 2\n"
    read = read_mesh(before.replace(b"end_header\n", b"end_header\n" + data * bool(count)))
    assert (len(read.mesh.faces), read.remarks) == (2, ())


@pytest.mark.parametrize("order", ["", "<", ">"])
def test_nothing_but_quads_have_the_area_of_the_square(order):
    assert area(read_mesh(writers.polygons_ply(SQUARE[:4], [[0, 1, 2, 3]], order)).mesh) == 12


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_a_header_with_any_line_ends_is_read_even_where_the_data_begin_with_one(end):
    points = SQUARE.copy()
    points[0, 0] = np.frombuffer(b"\n\r\n\n\n\n\n?")[0]
    content = writers.polygons_ply(points, [[0, 1, 2, 3]])
    head, _, body = content.partition(b"end_header\n")
    read = read_mesh((head + b"end_header\n").replace(b"\n", end.encode()) + body)
    assert read.mesh.vertices[0, 0] == points[0, 0]


@pytest.mark.parametrize("keep", [-1, -13, len(WHOLE) // 2, WHOLE.index(b"end_header") + 11])
def test_a_truncated_file_is_refused(keep):
    assert refused(WHOLE[:keep]) == CUT


@pytest.mark.parametrize("order", ["", "<", ">"])
@pytest.mark.parametrize("less", [1, 20, 60])
def test_a_truncated_file_with_polygons_of_many_kinds_is_refused(order, less):
    content = writers.polygons_ply(SQUARE, [[0, 1, 2, 3], [3, 2, 4], [0, 1, 2, 4, 3]], order)
    cut = content[:-less] if order else content.rstrip()[: -less if less > 1 else -2]
    with pytest.raises(MeshRefused):
        read_mesh(cut)


@pytest.mark.parametrize("count", ["2000000000", "1000000000000000000", "99999999999999999999", "-5", "4.5", "many"])
@pytest.mark.parametrize("element", ["vertex", "face"])
def test_a_count_that_cannot_be_is_refused_and_takes_no_memory(element, count):
    lies = WHOLE.replace(f"element {element} ".encode(), f"element {element} {count}\ncomment ".encode())
    assert refused(lies) == CUT or "has a line that cannot be read" in refused(lies)


def test_a_header_without_end_is_refused():
    assert refused(WHOLE.replace(b"end_header", b"end_headed")) == "The header of the PLY file has no end."
    assert refused(b"ply\n" + b"comment nothing\n" * 10) == "The header of the PLY file has no end."


@pytest.mark.parametrize("order", ["", "<", ">"])
@pytest.mark.parametrize("row", [5, 200_000_000, -1])
def test_a_face_that_names_a_point_that_is_not_there_is_refused(order, row):
    assert "is not in the file" in refused(writers.polygons_ply(SQUARE, [[0, 1, 2], [0, 1, row]], order))


def test_a_file_of_points_only_is_refused():
    head, _, _ = CUBE.partition(b"element face")
    assert refused(head + b"end_header\n" + b"0 0 0\n" * 8) == "The PLY file has points, but no faces."
    assert refused(CUBE.replace(b"face 6", b"face 0")) == "The PLY file has points, but no faces."
    strips = b"element tristrips 1\nproperty list int int vertex_indices\nend_header\n"
    assert "strips of triangles" in refused(head + strips + b"0 0 0\n" * 8 + b"8 0 1 2 3 4 5 6 7\n")


def test_bytes_behind_the_last_element_are_passed_over_with_a_remark():
    for content in (WHOLE + b"\0\0\0\0", CUBE + b"4 0 1 2 3\n"):
        assert read_mesh(content).remarks == (
            "Something that is no part of the mesh follows it in the file; it was passed over.",
        )


@pytest.mark.parametrize(
    ("wrong", "right", "sentence"),
    [
        (b"0 1 1\n", b"0 1,5 1\n", "have a decimal comma ('1,5')"),
        (b"4 0 1 2 3\n", b"4 0 1 2 3.5\n", "Where the number of a point belongs, the file has '3.5'."),
        (b"4 0 1 2 3\n", b"-4 0 1 2 3\n", "a length that is no number, or negative"),
        (b"4 0 1 2 3\n", b"900000000 0 1 2 3\n", "A list in the PLY file is longer than any face."),
        (b"4 0 1 2 3\n", b"2 0 1\n", "a face with fewer than three corners"),
        (b"property float32 x\n", b"", "names no x of a vertex"),
        (b"vertex_index", b"corner", "names no vertex_indices of a face"),
        (b"list uint8 int32", b"list float32 int32", "has a line that cannot be read"),
        (b"list uint8 int32", b"list uint8 float32", None),
        (b"float32 x", b"list uint8 float32 x", "lists in its vertices"),
        (b"format ascii 1.0\n", b"", "does not say how it is written"),
        (b"format ascii 1.0\n", b"format morse 1.0\n", "has a line that cannot be read"),
        (b"element face 6\n", b"element vertex 8\nelement face 6\n", "has a line that cannot be read"),
        (b"element vertex 8\n", b"element vertex 0\n", "The PLY file has no vertices."),
        (b"4 3 7 4 0\n", b"", CUT),
    ],
)
def test_what_is_wrong_in_a_file_is_said(wrong, right, sentence):
    damaged = CUBE.replace(wrong, right)
    assert damaged != CUBE
    if sentence is None:  # text has whole numbers, whatever the header calls them
        assert len(read_mesh(damaged).mesh.faces) == 12
    else:
        assert sentence in refused(damaged)


def test_a_binary_file_that_numbers_its_points_in_fractions_is_refused():
    fractions = WHOLE.replace(b"list uchar int ", b"list uchar float ")
    assert refused(fractions) == "The PLY file numbers its vertices in fractions."


def test_a_list_with_a_negative_length_is_refused():
    content = writers.ply(ARCH, count="int")
    first = content.index(b"end_header\n") + 11 + 12 * len(ARCH.vertices)
    assert refused(content[:first] + b"\xff\xff\xff\xff" + content[first + 4 :]) == (
        "A list in the PLY file has a negative length."
    )
