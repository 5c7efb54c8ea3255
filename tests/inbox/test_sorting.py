"""Files are told apart by what is in them, and never by their names."""

import io
import random
import tracemalloc
import zipfile

import pytest

from intake.documents.blank_prescription import draw_blank
from intake.documents.letter import draw_letter
from intake.inbox.sorting import kind_of, too_large, what_is
from tests.documents.filling import filled_by_pypdf
from tests.documents.samples import BLANK, LETTER, REPLY_FORM
from tests.scans import arches, writers


@pytest.mark.parametrize(
    ("content", "kind"),
    [
        (draw_letter(REPLY_FORM), "reply"),
        (draw_letter(LETTER), "reply"),
        (draw_blank(BLANK), "blank"),
        (filled_by_pypdf(draw_blank(BLANK), {"patient-label": "J.T."}), "blank"),
        (b"%PDF-1.7 damaged", "reply"),
        (b"\x89PNG\r\n\x1a\n", "reply"),
        (b"\xff\xd8\xff\xe0", "reply"),
        (b' {"format": "intake-case/1"}', "prescription"),
        (b'\xef\xbb\xbf{"format": "intake-case/1"}', "prescription"),
        (b"{ not json", "unknown"),
        (b'{"a": \xff}', "unknown"),
        (b'{"a": ' + b"[" * 100_000, "unknown"),
        (b"[1]", "unknown"),
        (b"From: a@example.com\n\nhello", "mail"),
        (b"Received: by mail.example.com\r\nfrom: a@example.com\r\n\r\n", "mail"),
        (b"Dear lab,\n\nfrom: us", "unknown"),
        (b"PK\x03\x04", "unknown"),
        (b"", "unknown"),
    ],
)
def test_a_file_is_what_is_in_it(content, kind):
    assert what_is(content) == kind


def test_whatever_comes_is_sorted():
    chance = random.Random(5)
    heads = (b"", b"%PDF-1.7\n", b"{", b"From: a\n", b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff")
    for _ in range(2_000):
        assert what_is(chance.choice(heads) + chance.randbytes(chance.randrange(400)))


# Scans and archives


def zipped(names):
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for name in names:
            archive.writestr(name, b"content")
    return packed.getvalue()


ARCH = arches.arch("upper", 500)
MESH_OR_NOT = [
    ("upper.stl", writers.stl(ARCH), "scan"),
    ("upper.stl", writers.stl(ARCH, header=b"solid from a text program"), "scan"),
    ("upper.txt", writers.stl_text(ARCH), "scan"),
    ("upper", writers.ply(ARCH), "scan"),
    ("upper.bin", writers.ply(ARCH, order=""), "scan"),
    ("upper.jpg", writers.obj(ARCH), "scan"),
    ("upper.zip", writers.one_part(ARCH), "scan"),
    ("upper", writers.dicom(writers.stl(ARCH)), "scan"),
    ("upper.stl", writers.stl(ARCH)[:-400], "scan"),
    ("upper.STL", b"<html>Please log in</html>", "scan"),
    ("lower.ply", b"", "scan"),
    ("scans.zip", zipped(["upper.stl"]), "archive"),
    ("upper.stl", zipped(["upper.stl"]), "archive"),
    ("nothing.zip", zipped([]), "archive"),
    ("letter.docx", zipped(["[Content_Types].xml", "word/document.xml"]), "unknown"),
    ("slip.stl", draw_letter(LETTER), "reply"),
    ("photo.obj", b"\x89PNG\r\n\x1a\n", "reply"),
    ("order.json", b'{"format": "intake-case/1"}', "prescription"),
    ("mail.eml", b"From: a@example.com\nSubject: solid upper\n\nhello", "mail"),
    ("v.txt", b"v for victory\n", "unknown"),
]


@pytest.mark.parametrize("as_file", [False, True])
@pytest.mark.parametrize(("name", "content", "kind"), MESH_OR_NOT)
def test_scans_and_archives_are_told_by_what_is_in_them(tmp_path, name, content, kind, as_file):
    path = tmp_path / name
    path.write_bytes(content)
    assert kind_of(path if as_file else content, name) == kind


def test_a_large_file_is_told_by_its_beginning_and_not_read(tmp_path):
    begin = tracemalloc.start() or tracemalloc.get_traced_memory()[0]
    for name, head, kind in (
        ("a.stl", b"", "scan"),
        ("a.bin", b"", "unknown"),
        ("a.pdf", b"%PDF-1.7", "reply"),
        ("a.json", b"{", "unknown"),
    ):
        path = tmp_path / name
        with path.open("wb") as file:
            file.write(head)
            file.truncate(2_000_000_001)
        assert kind_of(path, name) == kind
    most = tracemalloc.get_traced_memory()[1] - begin
    tracemalloc.stop()
    assert most < 5_000_000


@pytest.mark.parametrize(
    ("what", "size", "said"),
    [
        ("scan", 512_000_000, ""),
        ("scan", 512_000_001, "It is larger than 512 MB."),
        ("archive", 2_000_000_000, ""),
        ("archive", 2_000_000_001, "It is larger than 2,000 MB."),
        ("mail", 60_000_000, ""),
        ("unknown", 60_000_001, "It is larger than 60 MB."),
    ],
)
def test_each_kind_of_file_has_a_size_from_which_on_it_is_not_read(what, size, said):
    assert too_large(what, size) == said


def test_no_scan_that_can_be_read_is_too_large_to_be_taken_in():
    from intake.inbox.mesh.surface import MOST_BYTES

    assert too_large("scan", MOST_BYTES) == ""
    assert too_large("scan", MOST_BYTES + 1)


def test_whatever_comes_is_sorted_by_its_name_as_well():
    chance = random.Random(6)
    heads = (b"", b"PK\x03\x04", b"solid a\n", b"ply\n", b"v 1 2 3\n", b"\0" * 128 + b"DICM")
    for _ in range(500):
        content = chance.choice(heads) + chance.randbytes(chance.randrange(400))
        assert kind_of(content, chance.choice(("a", "a.stl", "b.zip", "")))
