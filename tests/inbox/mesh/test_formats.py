"""A scan of any format is told by its content; whatever is none is refused in a sentence."""

import tracemalloc
import zipfile
from io import BytesIO

import numpy as np
import pytest

from intake.inbox.mesh import formats
from intake.inbox.mesh.formats import HEAD, is_mesh, read_mesh
from intake.inbox.mesh.mesh import MeshRefused
from tests.scans import writers
from tests.scans.arches import arch

ARCH = arch("upper", 1_500)
WRITTEN = {
    "stl": [writers.stl(ARCH), writers.stl(ARCH, header=b"solid made by a scanner")],
    "stl-text": [writers.stl_text(ARCH), b"\xef\xbb\xbf \n" + writers.stl_text(ARCH)],
    "ply": [writers.ply(ARCH), writers.ply(ARCH, ">", "double"), writers.ply(ARCH, ""), writers.ply(ARCH, extra=True)],
    "obj": [writers.obj(ARCH), writers.obj(ARCH, "/1/1"), writers.obj(ARCH, backward=True)],
    "3mf": [writers.one_part(ARCH)],
    "dicom": [writers.dicom(writers.stl(ARCH)), writers.dicom(writers.obj(ARCH), writers.OBJ_CLASS)],
}
EVERY = [(format, content) for format, contents in WRITTEN.items() for content in contents]


@pytest.mark.parametrize(("format", "content"), EVERY)
def test_the_same_arch_comes_out_of_every_format(format, content):
    read = read_mesh(content)
    assert read.format == format == is_mesh(content[:HEAD], len(content))
    assert (read.not_finite, read.degenerate, read.remarks) == (0, 0, ())
    assert read.mesh.vertices.dtype == np.float64
    assert read.mesh.faces.dtype == np.int32
    assert len(read.mesh.vertices) == len(ARCH.vertices)
    corners, given = read.mesh.vertices[read.mesh.faces], ARCH.vertices[ARCH.faces]
    assert np.allclose(corners, given, atol=1e-5)


@pytest.mark.parametrize(("format", "content"), EVERY)
def test_the_order_of_corners_and_so_the_outside_is_kept(format, content):
    read = read_mesh(content).mesh
    a, b, c = read.vertices[read.faces.T]
    given_a, given_b, given_c = ARCH.vertices[ARCH.faces.T]
    assert np.allclose(np.cross(b - a, c - a), np.cross(given_b - given_a, given_c - given_a), atol=1e-4)


def test_a_file_is_read_from_where_it_lies_whatever_its_name(tmp_path):
    (tmp_path / "upper.obj").write_bytes(writers.stl(ARCH))
    assert read_mesh(tmp_path / "upper.obj").format == "stl"


@pytest.mark.parametrize(
    ("path", "why"),
    [("nowhere.stl", "cannot be read: "), ("", "cannot be read: "), ("a\0b.stl", "no file can have")],
)
def test_a_file_that_cannot_be_opened_is_refused(tmp_path, path, why):
    with pytest.raises(MeshRefused, match=why):
        read_mesh(tmp_path / path)


def zipped(name):
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr(name, writers.stl(ARCH))
    return packed.getvalue()


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "The file is empty."),
        (b"\x01\x02\x03" * 20, "The file has 60 bytes, which is too short for a mesh."),
        (bytes(84), "The file holds no triangles."),
        (bytes(5_000), "The file is no mesh that can be read"),
        (bytes(range(256)) * 40, "The file is no mesh that can be read"),
        (b"<!DOCTYPE html><html><body>Sign in to download</body></html>" * 9, "The file is a web page, not a mesh."),
        (b"\n <HTML>" + b" " * 200, "The file is a web page, not a mesh."),
        (b"\x89PNG\r\n\x1a\n" + bytes(500), "The file is a picture, not a mesh."),
        (b"\xff\xd8\xff\xe0" + bytes(500), "The file is a picture, not a mesh."),
        (b"%PDF-1.7\n" + bytes(500), "The file is a PDF document, not a mesh."),
        (zipped("upper.stl"), "The file is a zip archive, not a mesh."),
        (zipped("3D/upper.stl"), "The file is a zip archive, not a mesh."),
        (b"From: desk@example.com\r\n\r\nSee the scan.\r\n" * 10, "The file is no mesh that can be read"),
        (b'{"format": "intake-case/1", "practice": "MARLOW1"}' * 9, "The file is no mesh that can be read"),
        (bytes(128) + b"DICM" + bytes(300), "The file is a DICOM file of something else, not a mesh."),
    ],
)
def test_what_is_no_mesh_is_refused_with_what_it_is(content, sentence):
    assert is_mesh(content[:HEAD], len(content)) is None
    with pytest.raises(MeshRefused) as refused:
        read_mesh(content)
    assert str(refused.value).startswith(sentence)


def test_a_file_that_is_far_too_large_is_refused_before_it_is_read(tmp_path, monkeypatch):
    huge = tmp_path / "huge.stl"
    with huge.open("wb") as file:
        file.truncate(formats.MOST_BYTES + 1)  # a hole: takes no room on the disk
    monkeypatch.setattr(type(huge), "open", lambda *_: pytest.fail("it was opened"))
    with pytest.raises(MeshRefused, match=r"^The file is larger than 512 MB\.$"):
        read_mesh(huge)


def test_a_mesh_that_does_not_fit_into_memory_is_refused(monkeypatch):
    def no_memory(_):
        raise MemoryError

    monkeypatch.setitem(formats._READERS, "stl", no_memory)
    with pytest.raises(MeshRefused, match="more memory"):
        read_mesh(writers.stl(ARCH))


@pytest.mark.parametrize("written", [writers.stl_text(ARCH), writers.obj(ARCH), writers.ply(ARCH, "")])
@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-be"])
def test_text_in_utf_16_is_read_with_a_remark(written, encoding):
    mark = b"\xfe\xff" if encoding.endswith("be") else b""
    read = read_mesh(mark + written.decode().encode(encoding))
    assert len(read.mesh.faces) == len(ARCH.faces)
    assert read.remarks == ("The file is written in UTF-16.",)


@pytest.mark.parametrize("written", [writers.stl_text(ARCH), writers.obj(ARCH), writers.ply(ARCH, "")])
@pytest.mark.parametrize("end", [b"\r\n", b"\r"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_line_ends_of_every_kind_and_a_byte_order_mark_are_read_silently(written, end, mark):
    read = read_mesh(mark + written.replace(b"\n", end))
    assert len(read.mesh.faces) == len(ARCH.faces)
    assert read.remarks == ()


@pytest.mark.parametrize("beginning", [b"solid arch\n", b"v 1 2 3\n", b"ply\nformat ascii 1.0\nelement vertex 3\n"])
def test_a_line_without_an_end_is_refused_and_takes_no_memory(beginning):
    if beginning.startswith(b"ply"):
        beginning += b"property float x\nproperty float y\nproperty float z\nelement face 1\n"
        beginning += b"property list uchar int vertex_indices\nend_header\n"
    with pytest.raises(MeshRefused, match="A line of the file is longer than 250,000 characters"):
        read_mesh(beginning + b"f" + b" 1 2 3" * 500_000)


@pytest.mark.parametrize("write", [writers.stl, writers.ply, writers.stl_text, writers.obj, writers.one_part])
@pytest.mark.sampled(2)
def test_reading_takes_little_memory_beside_the_content(write):
    """Twice the same mesh as binary STL (50 bytes a triangle): the whole check of a scan has to stay within three.

    What the work on one block takes does not grow with the scan.
    """
    scan = arch("upper", 200_000 if write in (writers.stl, writers.ply) else 30_000)
    content = write(scan)
    tracemalloc.start()
    try:
        read_mesh(content)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert peak < 2 * 50 * len(scan.faces) + 6_000_000
