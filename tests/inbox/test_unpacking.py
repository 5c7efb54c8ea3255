"""Zips of scans: what is in them lands under names of our own, and what would do harm is left out with the reason.

The format: PKWARE's APPNOTE.TXT 6.3.10, whose sections are named beside the bytes that are changed.
"""

import bz2
import gzip
import io
import lzma
import random
import stat
import struct
import sys
import tarfile
import tracemalloc
import zipfile
import zlib
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from intake.inbox.unpacking import Limits, Member, NotUnpacked, is_archive, unpack

STL = bytes(range(256)) * 20
LOCAL, CENTRAL, END = b"PK\x03\x04", b"PK\x01\x02", b"PK\x05\x06"


def zipped(*files, method=zipfile.ZIP_DEFLATED):
    """A zip of names and contents, or of ZipInfos and contents."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", method) as archive:
        for name, content in files:
            archive.writestr(name, content)
    return made.getvalue()


def info(name, *, mode=0, method=zipfile.ZIP_DEFLATED):
    made = zipfile.ZipInfo(name)
    made.external_attr, made.compress_type, made.create_system = mode << 16, method, 3
    return made


def patched(archive, header, at, value, size="<I"):
    """A zip with a field of its first local or central header (4.3.7, 4.3.12) changed."""
    changed = bytearray(archive)
    struct.pack_into(size, changed, archive.index(header) + at, value)
    return bytes(changed)


def contents(unpacked):
    return {member.name: member.path.read_bytes() for member in unpacked.members}


def test_what_is_in_a_zip_comes_out_under_names_of_our_own(tmp_path):
    unpacked = unpack(zipped(("scans/upper.stl", STL), ("scans/lower.stl", STL[:80]), ("notes.txt", b"")), tmp_path)
    assert contents(unpacked) == {"scans/upper.stl": STL, "scans/lower.stl": STL[:80], "notes.txt": b""}
    assert unpacked.said == ()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["member-001", "member-002", "member-003"]


def test_a_zip_on_the_disk_is_unpacked_as_one_in_memory(tmp_path):
    archive = tmp_path / "case.zip"
    archive.write_bytes(zipped(("upper.stl", STL), method=zipfile.ZIP_STORED))
    into = tmp_path / "into"
    into.mkdir()
    assert unpack(archive, into).members == (Member("upper.stl", into / "member-001"),)
    assert is_archive(archive)


def test_a_zip_of_another_writer_is_read(tmp_path):
    """The writer is Python's shutil with a data descriptor and folders, as streaming programs write (4.3.9)."""

    class Stream(io.RawIOBase):
        def __init__(self):
            self.made = io.BytesIO()

        def writable(self):
            return True

        def write(self, piece):
            return self.made.write(piece)

    stream = Stream()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.mkdir("scans")
        archive.writestr("scans/upper.stl", STL)
    made = stream.made.getvalue()
    assert made[made.rindex(LOCAL) + 6] & 8  # a data descriptor follows
    assert contents(unpack(made, tmp_path)) == {"scans/upper.stl": STL}


def test_what_programs_leave_beside_the_files_is_passed_over(tmp_path):
    names = ("__MACOSX/._upper.stl", ".DS_Store", "scans/.hidden/upper.stl", "scans/__MACOSX/x")
    unpacked = unpack(zipped(*((name, STL) for name in names), ("upper.stl", STL)), tmp_path)
    assert list(contents(unpacked)) == ["upper.stl"]
    assert unpacked.said == ()


def test_a_zip_of_nothing_says_so(tmp_path):
    for archive in (zipped(), zipped(("scans/", b"")), zipped((".DS_Store", b"x"))):
        unpacked = unpack(archive, tmp_path)
        assert (unpacked.members, unpacked.said) == ((), ("There is no file in the archive.",))


GOOD = ("good.stl", b"good" * 50)


def bad(name, content=STL, method=zipfile.ZIP_DEFLATED, **how):
    """A zip whose first member is the bad one."""
    return zipped((info(name, method=method, **how), content), GOOD)


LEFT_OUT = {
    "..": (bad("../upper.stl"), "points out of the archive"),
    ".. inside": (bad("scans/../../upper.stl"), "points out of the archive"),
    ".. with backslashes": (bad("..\\upper.stl"), "points out of the archive"),
    "absolute": (bad("/etc/upper.stl"), "place on a disk"),
    "drive letter": (bad("C:\\scans\\upper.stl"), "place on a disk"),
    "drive letter without a folder": (bad("C:upper.stl"), "place on a disk"),
    "share": (bad("\\\\server\\upper.stl"), "place on a disk"),
    "link": (bad("upper.stl", b"/etc/passwd", mode=stat.S_IFLNK | 0o777), "it is a link"),
    "device": (bad("upper.stl", b"", mode=stat.S_IFCHR | 0o666), "it is a device"),
    "nested": (bad("inner.zip", zipped(("upper.stl", STL))), "archive inside the archive"),
    "nested by another name": (bad("upper.stl", zipped(("a", STL))), "archive inside the archive"),
    "nested, of another kind": (bad("upper.rar", b"Rar!\x1a\x07\x01\x00" + STL), "archive inside the archive"),
    # 4.4.4, bit 0
    "encrypted": (patched(patched(bad("a"), CENTRAL, 8, 1, "<H"), LOCAL, 6, 1, "<H"), "needs a password"),
    # 4.4.7
    "bad check sum": (patched(bad("a"), CENTRAL, 16, 1), "not what the archive says of it"),
    "changed content": (bad("a", method=0).replace(STL, STL[::-1]), "not what the archive says of it"),
    # 4.4.9
    "longer than it says": (patched(bad("a"), CENTRAL, 24, 100), "not what the archive says of it"),
    "shorter than it says": (patched(bad("a"), CENTRAL, 24, len(STL) + 1), "shorter than the archive says"),
    # 4.4.8
    "cut short inside": (patched(bad("a"), CENTRAL, 20, 60), "not what the archive says of it"),
    # 4.4.16: where the content begins
    "beyond the end": (patched(bad("a"), CENTRAL, 42, 10**6), "it is damaged"),
    "damaged": (bad("a").replace(zlib.compress(STL)[2:12], b"\xff" * 10), "it is damaged"),
    "another name before the content": (bad("upper").replace(b"upper", b"lower", 1), "it is damaged"),
    # 4.4.5
    "bzip2": (bad("a", method=zipfile.ZIP_BZIP2), "packed in a way that is not opened"),
    "LZMA": (bad("a", method=zipfile.ZIP_LZMA), "packed in a way that is not opened"),
    "unknown method": (patched(bad("a"), CENTRAL, 10, 97, "<H"), "packed in a way that is not opened"),
    "1,000 times": (bad("a", bytes(20_000)), "more than 100 times its packed size"),
}


@pytest.mark.parametrize(("archive", "told"), LEFT_OUT.values(), ids=LEFT_OUT.keys())
def test_a_bad_member_is_left_out_with_the_reason_and_the_others_come(tmp_path, archive, told):
    into = tmp_path / "into"
    into.mkdir()
    unpacked = unpack(archive, into)
    assert contents(unpacked) == dict([GOOD])
    assert len(unpacked.said) == 1
    assert " was left out: " in unpacked.said[0]
    assert told in unpacked.said[0]
    assert unpacked.said[0].endswith(".")
    assert set(tmp_path.rglob("*")) == {into, unpacked.members[0].path}


def tarred():
    made = io.BytesIO()
    with tarfile.open(fileobj=made, mode="w") as archive:
        archive.addfile(tarfile.TarInfo("upper.stl"))
    return made.getvalue()


def overlapping():
    """Two members that share their content, as in D. Fifield, A better zip bomb, WOOT 2019."""
    archive = bad("a", STL * 40, method=zipfile.ZIP_STORED)
    first, second = archive.index(CENTRAL), archive.rindex(CENTRAL)
    header = archive[first : first + 46 + 1]
    end = bytearray(archive[archive.index(END) :])
    struct.pack_into("<HHI", end, 8, 2, 2, 2 * len(header))
    assert second > first
    return archive[:first] + header * 2 + bytes(end)


WHOLE = zipped(("upper.stl", STL), GOOD)
REFUSED = {
    "empty": (b"", "is no zip"),
    "a picture": (b"\x89PNG\r\n\x1a\n" + STL, "is no zip"),
    "a program that carries a zip": (b"MZ" + WHOLE, "is no zip"),
    "RAR": (b"Rar!\x1a\x07\x01\x00" + STL, "a RAR archive, not a zip"),
    "7z": (b"7z\xbc\xaf\x27\x1c" + STL, "a 7z archive, not a zip"),
    "gzip": (gzip.compress(STL), "packed by gzip, not a zip"),
    "bzip2": (bz2.compress(STL), "packed by bzip2, not a zip"),
    "xz": (lzma.compress(STL), "packed by xz, not a zip"),
    "tar": (tarred(), "a tar, not a zip"),
    "cut short": (WHOLE[:-30], "cut short or damaged"),
    "its beginning": (WHOLE[:100], "cut short or damaged"),
    "list damaged": (WHOLE.replace(CENTRAL, b"PK\x01\x03"), "cut short or damaged"),
    "one part of several": (b"PK\x07\x08" + WHOLE, "one part of an archive in several"),  # 8.5.3
    "3MF": (zipped(("[Content_Types].xml", b"x"), ("3D/3dmodel.model", b"x")), "one document"),
    "over one another": (overlapping(), "lie over one another"),
}


@pytest.mark.parametrize(("archive", "told"), REFUSED.values(), ids=REFUSED.keys())
def test_what_cannot_be_unpacked_is_refused_with_the_reason_and_nothing_is_left(tmp_path, archive, told):
    with pytest.raises(NotUnpacked, match=told) as refused:
        unpack(archive, tmp_path)
    assert str(refused.value).endswith(".")
    assert list(tmp_path.iterdir()) == []


def test_an_archive_beyond_any_bag_of_scans_is_refused(tmp_path):
    many = zipped(*((f"{number}.stl", b"x") for number in range(501)))
    with pytest.raises(NotUnpacked, match="501 files, more than 500"):
        unpack(many, tmp_path)
    with pytest.raises(NotUnpacked, match="more than 2,000 MB"):
        unpack(patched(WHOLE, CENTRAL, 24, 2_000_000_001), tmp_path)
    assert "larger than 512 MB" in _said(huge_in_name(512_000_001), tmp_path)
    assert "larger than 512 MB" not in _said(huge_in_name(512_000_000), tmp_path)


def huge_in_name(size):
    """A zip whose first member says that it has so many bytes; there is enough of it not to be a bomb by its ratio."""
    stored = bad("a", bytes(6_000_000), method=zipfile.ZIP_STORED)
    return patched(stored, CENTRAL, 24, size)


def _said(archive, into):
    unpacked = unpack(archive, into)
    for member in unpacked.members:
        member.path.unlink()
    return " ".join(unpacked.said)


def test_the_limits_are_the_last_number_that_is_taken(tmp_path):
    archive = zipped(("a", bytes(range(100))), ("b", bytes(range(100))))
    for limits in (Limits(members=2), Limits(in_a_member=100), Limits(in_all=200)):
        assert len(unpack(archive, _fresh(tmp_path), limits).members) == 2
    for limits in (Limits(members=1), Limits(in_all=199)):
        with pytest.raises(NotUnpacked):
            unpack(archive, _fresh(tmp_path), limits)
    assert unpack(archive, _fresh(tmp_path), Limits(in_a_member=99)).members == ()


def _fresh(folder):
    made = folder / f"{len(list(folder.iterdir()))}"
    made.mkdir()
    return made


def test_a_bomb_is_refused_before_it_fills_anything(tmp_path):
    """A member that grows a thousand times; zlib itself packs no tighter than about 1,030 times."""
    bomb = zipped(("upper.stl", bytes(60_000_000)))
    with pytest.raises(NotUnpacked, match="more than 100 times its size"):
        unpack(bomb, tmp_path)
    assert "more than 100 times its packed size" in _said(
        zipped(("a", bytes(200_000)), ("b", random_bytes(9_000))), tmp_path
    )
    lying = patched(bomb, CENTRAL, 24, 1_000)
    assert "not what the archive says of it" in _said(lying, tmp_path)
    assert list(tmp_path.iterdir()) == []


@contextmanager
def memory():
    """The most bytes that Python held at a time."""
    tracemalloc.start()
    try:
        yield lambda: tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


def random_bytes(count):
    return random.Random(1).randbytes(count)


def test_a_large_member_is_streamed_and_not_held_in_memory(tmp_path):
    piece = random_bytes(1_000_000)
    archive = tmp_path / "large.zip"
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as made, made.open("a", "w") as member:
        for _ in range(40):
            member.write(piece)
    with memory() as taken:
        (member,) = unpack(archive, _fresh(tmp_path)).members
        assert taken() < 4_000_000
    assert member.path.stat().st_size == 40_000_000


def test_a_list_of_a_million_members_is_not_even_read(tmp_path):
    """4.3.16: the size of the list stands at its end, and whoever reads the list whole reads what is said there."""
    listed = WHOLE[WHOLE.index(CENTRAL) : WHOLE.rindex(CENTRAL)] * 30_000
    end = bytearray(WHOLE[WHOLE.index(END) :])
    struct.pack_into("<HHI", end, 8, 30_000, 30_000, len(listed))
    archive = WHOLE[: WHOLE.index(CENTRAL)] + listed + bytes(end)
    with memory() as taken:
        with pytest.raises(NotUnpacked, match="list of files is far too long"):
            unpack(archive, tmp_path)
        assert taken() < 1_000_000


def test_equal_names_are_kept_apart_and_told_of(tmp_path):
    with pytest.warns(UserWarning, match="Duplicate name"):
        archive = zipped(("UPPER.STL", b"1"), ("upper.stl", b"2"), ("upper.stl", b"3"), ("lower.stl", b"4"))
    unpacked = unpack(archive, tmp_path)
    assert contents(unpacked) == {
        "UPPER.STL": b"1", "upper (2).stl": b"2", "upper (3).stl": b"3", "lower.stl": b"4"
    }  # fmt: skip
    assert [each for each in unpacked.said if "more than once" in each] == list(unpacked.said)
    assert len(unpacked.said) == 2


def test_a_mesh_or_a_document_that_is_a_zip_itself_is_one_file(tmp_path):
    """3MF is a package by ECMA-376, part 2; OpenDocument begins with its kind (ISO/IEC 26300-3, 3.3)."""
    mesh = zipped(("[Content_Types].xml", b"x"), ("3D/3dmodel.model", STL))
    letter = zipped(("mimetype", b"application/vnd.oasis.opendocument.text"), ("content.xml", b"x"))
    unpacked = unpack(zipped(("upper.3mf", mesh), ("letter.odt", letter)), tmp_path)
    assert contents(unpacked) == {"upper.3mf": mesh, "letter.odt": letter}
    assert not is_archive(mesh)
    assert not is_archive(letter)
    assert is_archive(WHOLE)
    assert not is_archive(STL)
    assert not is_archive(tmp_path / "gone")


def test_a_name_is_shown_as_it_is_meant(tmp_path):
    """Appendix D: names are in UTF-8 where a flag says so; some programs write UTF-8 and forget the flag."""
    flagged = zipped(("Grün/Łódź.stl", STL))
    forgotten = patched(patched(flagged, CENTRAL, 8, 0, "<H"), LOCAL, 6, 0, "<H")
    cp437 = zipped(("Gr_n.stl", STL)).replace(b"Gr_n", b"Gr\x81n")
    turned = zipped(("scan\u202elts.exe\n", STL))
    for archive, name in ((flagged, "Grün/Łódź.stl"), (forgotten, "Grün/Łódź.stl"), (cp437, "Grün.stl"),
                          (turned, "scanlts.exe"), (zipped(("scans\\upper.stl", STL)), "scans/upper.stl"),
                          (zipped(("\n", STL)), "a file without a name")):  # fmt: skip
        assert list(contents(unpack(archive, _fresh(tmp_path)))) == [name]


@pytest.mark.skipif(sys.platform == "win32", reason="no limit of a file's size there")
def test_a_full_disk_is_a_sentence_and_what_was_written_is_gone(tmp_path):
    import resource

    archive = zipped(("a", STL), ("b", random_bytes(3_000_000)))
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1_000_000, before[1]))
    try:
        with pytest.raises(NotUnpacked, match="cannot be unpacked here: File too large"):
            unpack(archive, tmp_path)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_or_not_empty_is_a_sentence(tmp_path):
    with pytest.raises(NotUnpacked, match="cannot be unpacked here"):
        unpack(WHOLE, tmp_path / "gone")
    (tmp_path / "member-002").write_bytes(b"somebody else's")
    with pytest.raises(NotUnpacked, match="cannot be unpacked here: File exists"):
        unpack(WHOLE, tmp_path)
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"member-002": b"somebody else's"}
    with pytest.raises(NotUnpacked, match="cannot be unpacked here"):
        unpack(tmp_path / "gone.zip", tmp_path)


SMALL = Limits(members=5, in_a_member=20_000, in_all=40_000)


def harmless(archive, folder):
    """Unpacks; gives what came. Whatever the archive holds, nothing lies elsewhere, and no more than was allowed."""
    with TemporaryDirectory(dir=folder) as made:
        into = Path(made) / "into"
        into.mkdir()
        try:
            unpacked = unpack(archive, into, SMALL)
        except NotUnpacked:
            assert list(Path(made).rglob("*")) == [into]
            return None
        assert {member.path for member in unpacked.members} | {into} == set(Path(made).rglob("*"))
        assert all(each.endswith(".") for each in unpacked.said)
        sizes = [member.path.stat().st_size for member in unpacked.members]
        assert all(size <= SMALL.in_a_member for size in sizes)
        assert sum(sizes) <= SMALL.in_all
        return contents(unpacked)


CHANGES = st.lists(st.tuples(st.floats(0, 1, exclude_max=True), st.binary(min_size=1, max_size=4)), max_size=8)
FUZZ = settings(suppress_health_check=[HealthCheck.function_scoped_fixture])


@FUZZ
@given(CHANGES, st.floats(0, 1))
def test_damaged_zips_do_no_harm(tmp_path, changes, kept):
    archive = bytearray(zipped(("scans/upper.stl", STL), ("lower.stl", STL[:300]), ("in.zip", WHOLE)))
    for at, content in changes:
        place = int(at * len(archive))
        archive[place : place + len(content)] = content
    whole = bytes(archive[: int(kept * len(archive)) + 1] if kept < 0.2 else archive)
    came = harmless(whole, tmp_path)
    if not changes and kept >= 0.2:
        assert came == {"scans/upper.stl": STL, "lower.stl": STL[:300]}


FIELDS = [(CENTRAL, at, size) for at, size in ((4, "<H"), (8, "<H"), (10, "<H"), (16, "<I"), (20, "<I"), (24, "<I"),
          (28, "<H"), (30, "<H"), (32, "<H"), (34, "<H"), (38, "<I"), (42, "<I"))]  # fmt: skip
FIELDS += [(END, at, size) for at, size in ((4, "<H"), (8, "<H"), (10, "<H"), (12, "<I"), (16, "<I"), (20, "<H"))]
FIELDS += [(LOCAL, at, size) for at, size in ((6, "<H"), (8, "<H"), (26, "<H"), (28, "<H"))]


@FUZZ
@given(st.lists(st.tuples(st.sampled_from(FIELDS), st.integers(0, 2**32 - 1)), min_size=1, max_size=3))
def test_three_hundred_zips_that_lie_do_no_harm(tmp_path, lies):
    archive = WHOLE
    for (header, at, size), value in lies:
        archive = patched(archive, header, at, value % (65_536 if size == "<H" else 2**32), size)
    harmless(archive, tmp_path)


NAMES = st.text(st.characters(codec="utf-8", exclude_characters="\0"), min_size=1, max_size=30)


@FUZZ
@given(st.dictionaries(NAMES, st.binary(max_size=200), max_size=5))
def test_no_name_whatever_leads_out_of_the_folder(tmp_path, files):
    came = harmless(zipped(*files.items()), tmp_path)
    assert set((came or {}).values()) <= set(files.values())
