"""STL as it comes, whole and damaged. The format is public by use: an interface specification of 1989."""

import struct

import numpy as np
import pytest

from intake.inbox.mesh.formats import HEAD, is_mesh, read_mesh
from intake.inbox.mesh.mesh import Mesh, MeshRefused
from tests.scans import writers
from tests.scans.arches import arch

ARCH = arch("lower", 1_500)
COUNT = len(ARCH.faces)
WHOLE = writers.stl(ARCH)
TEXT = writers.stl_text(ARCH)
TRIANGLE = b"facet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\n"


def faces(content):
    read = read_mesh(content)
    assert read.remarks == ()
    return len(read.mesh.faces)


def refused(content):
    with pytest.raises(MeshRefused) as caught:
        read_mesh(content)
    return str(caught.value)


def with_corner(value, triangles):
    """The whole file with one coordinate of the first triangles something else."""
    facets = np.frombuffer(WHOLE, writers.FACET, offset=84).copy()
    facets["corners"][:triangles, 1, 2] = value
    return WHOLE[:84] + facets.tobytes()


def test_a_triangle_is_read_as_the_format_says_byte_by_byte():
    content = bytes(80) + struct.pack("<I12fH", 1, 0, 0, 1, 0, 0, 0, 2, 0, 0, 0, 3, 0.5, 7)
    read = read_mesh(content)
    assert read.mesh.vertices[read.mesh.faces].tolist() == [[[0, 0, 0], [2, 0, 0], [0, 3, 0.5]]]
    assert (read.format, read.unit) == ("stl", None)


def test_a_binary_file_whose_header_begins_with_solid_is_read_silently():
    assert faces(writers.stl(ARCH, header=b"solid upper facet normal")) == COUNT


def test_colour_bytes_are_passed_over():
    assert faces(writers.stl(ARCH, header=b"COLOR=\x01\x02\x03\xff", attribute=0x7FFF)) == COUNT


@pytest.mark.parametrize("keep", [84 + 50 * 700, 84 + 50 * 700 + 23, 84 + 50])
def test_a_truncated_scan_is_refused_with_the_reason(keep):
    cut = WHOLE[:keep]
    assert is_mesh(cut[:HEAD], len(cut)) == "stl"
    held = (keep - 84) // 50
    sentence = f"The file was cut short, or is damaged: it says {COUNT:,} triangles, and holds {held:,}."
    assert refused(cut) == sentence


def test_a_scan_cut_within_its_first_triangle_is_refused():
    assert refused(WHOLE[:120]).startswith("The file is no mesh that can be read")
    assert refused(WHOLE[:83]) == "The file has 83 bytes, which is too short for a mesh."


def test_a_file_that_says_four_billion_triangles_is_refused():
    assert "says 4,294,967,295 triangles" in refused(writers.stl(ARCH, says=0xFFFF_FFFF))


@pytest.mark.parametrize("says", [0, 10, COUNT - 1])
def test_a_file_that_says_fewer_triangles_than_it_holds_is_read_whole_with_a_remark(says):
    read = read_mesh(writers.stl(ARCH, says=says))
    assert len(read.mesh.faces) == COUNT
    assert read.remarks == (f"The file says {says:,} triangles, and holds {COUNT:,}: all of them were read.",)


@pytest.mark.parametrize("behind", [b"\0", b"made by a scanner", bytes(500), b"\xff" * 120])
def test_bytes_behind_the_triangles_are_passed_over_with_a_remark(behind):
    read = read_mesh(WHOLE + behind)
    assert len(read.mesh.faces) == COUNT
    assert read.remarks == ("Something that is no part of the mesh follows it in the file; it was passed over.",)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf"), 1e30, -1e30])
def test_triangles_with_a_corner_that_is_nowhere_are_left_out_with_a_remark(value):
    read = read_mesh(with_corner(value, 3))
    assert (len(read.mesh.faces), read.not_finite) == (COUNT - 3, 3)
    assert np.abs(read.mesh.vertices).max() < 100
    assert read.remarks == (
        f"3 of {COUNT:,} triangles have a corner that is no number, or lies absurdly far; they were left out.",
    )


def test_a_file_of_nothing_but_nan_is_refused():
    assert refused(with_corner(float("nan"), COUNT)) == (
        "Every triangle has a corner that is no number, or lies absurdly far."
    )


def test_a_signalling_nan_is_no_number_either():
    facets = bytearray(WHOLE)
    facets[84 + 12 : 84 + 16] = b"\x01\x00\xa0\x7f"
    assert read_mesh(bytes(facets)).not_finite == 1


def test_a_file_whose_triangles_have_no_area_is_refused():
    line = Mesh(ARCH.vertices * [1, 0, 0], ARCH.faces)
    assert refused(writers.stl(line)) == "No triangle has an area."
    assert refused(writers.stl(Mesh(ARCH.vertices, ARCH.faces[:, [0, 0, 1]]))) == "No triangle has an area."


@pytest.mark.parametrize("noise", [b"\x00\x01\x7f\x80" * 200, bytes(range(256)) * 8])
def test_noise_behind_the_word_solid_is_refused(noise):
    assert refused(b"solid " + noise).startswith("The file")


# Text


@pytest.mark.parametrize(
    "content",
    [
        TEXT,
        TEXT.upper(),
        TEXT.replace(b"\n", b"\r\n"),
        TEXT.replace(b"\n", b"\r"),
        b"\xef\xbb\xbf" + TEXT,
        b"  \r\n\t" + TEXT,
        TEXT.replace(b"  facet", b"\t facet").replace(b"vertex ", b"vertex\t  "),
        TEXT.replace(b"solid arch", b"solid"),
        TEXT.replace(b"solid arch", "solid gebiß 3,5 mm".encode()),
        TEXT + b"\n\n\x1a",
        TEXT + b"\0\0\0",
        TEXT.replace(b"normal 0 0 0", b"normal -nan(ind) -nan(ind) nan"),
    ],
)
def test_a_text_file_is_read_silently_however_it_is_spaced_and_spelt(content):
    assert faces(content) == COUNT


def test_two_solids_in_one_file_are_one_scan():
    half = COUNT // 2
    first, second = Mesh(ARCH.vertices, ARCH.faces[:half]), Mesh(ARCH.vertices, ARCH.faces[half:])
    assert faces(writers.stl_text(first, "one") + writers.stl_text(second, "two")) == COUNT


def test_text_and_binary_of_one_scan_give_the_very_same_points():
    assert np.array_equal(read_mesh(TEXT).mesh.vertices, read_mesh(WHOLE).mesh.vertices)


def test_a_file_without_its_last_line_may_have_been_cut_short():
    read = read_mesh(TEXT[: TEXT.rindex(b"endsolid")])
    assert len(read.mesh.faces) == COUNT
    assert read.remarks == ("The last line of the file, endsolid, is missing: it may have been cut short.",)


@pytest.mark.parametrize("place", [b"vertex", b"endloop", b"outer", b"normal"])
def test_a_text_file_that_ends_within_a_triangle_is_refused(place):
    assert refused(TEXT[: TEXT.rindex(place)]) == "The file was cut short: it ends in the middle of a triangle."


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"solid a\n" + TRIANGLE.replace(b"1 0 0", b"1,5 0,0 0,25") + b"endsolid\n", "have a decimal comma ('1,5')"),
        (
            b"solid a\n" + TRIANGLE.replace(b"endloop", b"vertex 1 1 0\nendloop") + b"endsolid\n",
            "A facet has more than three corners",
        ),
        (b"solid a\n" + TRIANGLE.replace(b"1 0 0", b"1 zero 0") + b"endsolid\n", "the file has 'zero'"),
        (b"solid a\n" + TRIANGLE.replace(b"1 0 0", b"1 1_0 0") + b"endsolid\n", "the file has '1_0'"),
        (b"solid a\nthese are no triangles at all\n", "something else than triangles stands in it"),
        (b"solid a\n" + TRIANGLE + b"and now for something else " * 9, "something else than triangles stands in it"),
        (b"solid a\nendsolid a\n" + b" " * 80, "The file holds no triangles."),
        (b"solid", "The file holds no triangles."),
    ],
)
def test_a_text_file_that_is_not_all_triangles_is_refused_with_the_reason(content, sentence):
    assert sentence in refused(content)


def test_words_behind_the_last_line_are_passed_over_with_a_remark():
    assert read_mesh(TEXT + b"made by a scanner\n").remarks == (
        "Something that is no part of the mesh follows it in the file; it was passed over.",
    )


@pytest.mark.parametrize("spelt", [b"nan", b"-nan(ind)", b"1.#QNAN", b"inf", b"-1.#INF", b"1e30", b"1e999"])
def test_what_writers_spell_as_no_number_is_read_as_none(spelt):
    good, bad = TRIANGLE, TRIANGLE.replace(b"1 0 0", spelt + b" 0 0")
    read = read_mesh(b"solid a\n" + good + bad + b"endsolid a\n")
    assert (len(read.mesh.faces), read.not_finite) == (1, 1)
