"""A zip of scans, unpacked under names of our own; nothing that stands in it decides where a file goes.

The format: PKWARE's APPNOTE.TXT 6.3.10 (ISO/IEC 21320-1 is the part of it that is used everywhere). The limits were
measured: meshes deflate 1.7 to 4.8 times, a file made to fill a disk 1,000 times.
"""

import io
import re
import stat
import unicodedata
import zipfile
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from intake.errors import IntakeError
from intake.inbox.file_names import clean_name

MOST_IN_THE_DIRECTORY = 1_000_000
"""Bytes of the list of members: 500 with names of 2,000."""
PIECE = 1 << 18
_ZIP = (b"PK\x03\x04", b"PK\x05\x06")
_OTHER_ARCHIVES = {
    b"Rar!\x1a\x07": "a RAR archive",
    b"7z\xbc\xaf\x27\x1c": "a 7z archive",
    b"\x1f\x8b": "packed by gzip",
    b"BZh": "packed by bzip2",
    b"\xfd7zXZ\x00": "packed by xz",
    b"\x28\xb5\x2f\xfd": "packed by Zstandard",
    b"MSCF": "a cabinet archive",
    b"PK\x07\x08": "one part of an archive in several",
}
_ENCRYPTED, _NAME_IN_UTF_8 = 0x1, 0x800
_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
"""The only ones of which Python reads no more than it is asked for."""


class NotUnpacked(IntakeError):
    """An archive cannot be unpacked at all; the message says why. Nothing of it is left in the folder."""


@dataclass(frozen=True)
class Limits:
    """What no bag of scans comes near."""

    members: int = 500
    in_a_member: int = 512_000_000
    in_all: int = 2_000_000_000
    times: int = 100
    """How many times its packed size a member, or the whole, may have."""


LIMITS = Limits()


@dataclass(frozen=True)
class Member:
    """One file of an archive."""

    name: str
    """As the archive has it, cleaned, with the folders in it: `scans/upper.stl`."""
    path: Path
    """Where it lies now, under a name of our own."""


@dataclass(frozen=True)
class Unpacked:
    """What came out of an archive, and what did not: a sentence for each file that was left out or odd."""

    members: tuple[Member, ...]
    said: tuple[str, ...]


class _LeftOut(Exception):
    """Why one member is left out, as the end of a sentence."""


def is_archive(source: bytes | Path) -> bool:
    """Whether a file is a zip of files, by its content; a document that is a zip itself, such as a 3MF, is none."""
    try:
        with _opened(source) as file:
            return file.read(4) in _ZIP and not _is_one_document(file)
    except (OSError, NotUnpacked):
        return False


def unpack(source: bytes | Path, into: Path, limits: Limits = LIMITS) -> Unpacked:
    """Unpacks a zip into an empty folder. A single bad member is left out and told of.

    Raises NotUnpacked where nothing of it can be had, and where the disk is full.
    """
    written: list[Path] = []
    try:
        with _opened(source) as file:
            _refuse_what_no_zip_is(file)
            return _unpacked(file, into, limits, written)
    except BaseException as problem:
        for path in written:
            with suppress(OSError):
                path.unlink()
        if isinstance(problem, OSError):
            why = problem.strerror or str(problem)
            raise NotUnpacked(f"The archive cannot be unpacked here: {why}.") from None
        raise


def _opened(source: bytes | Path) -> BinaryIO:
    return io.BytesIO(source) if isinstance(source, bytes) else source.open("rb")


def _unpacked(file: BinaryIO, into: Path, limits: Limits, written: list[Path]) -> Unpacked:
    size = file.seek(0, io.SEEK_END)
    archive = _archive(file)
    infos = [info for info in archive.infolist() if not info.is_dir() and not _is_passed_over(info)]
    if len(infos) > limits.members:
        raise NotUnpacked(f"The archive holds {len(infos):,} files, more than {limits.members}. Nothing was unpacked.")
    _refuse_too_much(sum(info.file_size for info in infos), size, limits)
    if sum(info.compress_size for info in infos) > size:
        raise NotUnpacked("The files in the archive lie over one another, as in one made to do harm.")
    members: list[Member] = []
    said: list[str] = []
    names: set[str] = set()
    total = 0
    for number, info in enumerate(infos, 1):
        name = _name(info)
        path = into / f"member-{number:03}"
        try:
            _refuse_by_what_is_said_of_it(info, limits)
            with path.open("xb") as target:
                written.append(path)
                total += _write(archive, info, target)
            _refuse_too_much(total, size, limits)
            _refuse_an_archive(path)
        except _LeftOut as why:
            path.unlink(missing_ok=True)
            said.append(f"{name} was left out: {why}.")
            continue
        other = _free(name, names)
        if other != name:
            said.append(f"{name} is in the archive more than once; one is called {other} here.")
        names.add(_alike(other))
        members.append(Member(other, path))
    if not infos:
        said.append("There is no file in the archive.")
    return Unpacked(tuple(members), tuple(said))


def _refuse_what_no_zip_is(file: BinaryIO) -> None:
    head = file.read(512)
    file.seek(0)
    if other := _other_archive(head):
        raise NotUnpacked(f"The file is {other}, not a zip. Unpack it with a program of its own, or ask for a zip.")
    if not head.startswith(_ZIP):
        raise NotUnpacked("The file is no zip. Ask the practice to send it again.")
    if _is_one_document(file):
        raise NotUnpacked("The file is one document that is packed as a zip, such as a 3MF; it is not unpacked.")


def _other_archive(head: bytes) -> str:
    """What a file is that is packed, but no zip; empty where it is not packed."""
    is_tar = head[257:262] == b"ustar"
    return next((what for mark, what in _OTHER_ARCHIVES.items() if head.startswith(mark)), "a tar" if is_tar else "")


def _is_one_document(file: BinaryIO) -> bool:
    """Whether a zip is one document: by the Open Packaging Conventions (ECMA-376, part 2: 3MF and office files).

    Other office files (ISO/IEC 26300, part 3, 3.3) and books begin with a member that names their kind.
    """
    try:
        names = [info.filename for info in _archive(file).infolist()[:2000]]
    except NotUnpacked:
        return False
    finally:
        file.seek(0)
    return "[Content_Types].xml" in names or names[:1] == ["mimetype"]


class _ShortReads:
    """A file of which nobody reads much at once: `zipfile` takes the size of the list of members from the list."""

    def __init__(self, file: BinaryIO) -> None:
        self._file = file
        self.seek, self.tell, self.seekable = file.seek, file.tell, file.seekable

    def read(self, size: int = -1) -> bytes:
        if size > MOST_IN_THE_DIRECTORY:
            raise NotUnpacked("The archive’s list of files is far too long.")
        return self._file.read(size)


def _archive(file: BinaryIO) -> zipfile.ZipFile:
    """The zip's list of members. Raises NotUnpacked where it has none that can be read."""
    try:
        return zipfile.ZipFile(_ShortReads(file))
    except NotUnpacked:
        raise
    except Exception:  # BadZipFile, and whatever else Python comes upon in a damaged list
        raise NotUnpacked(
            "The archive is cut short or damaged: its list of files cannot be read. Ask the practice to send it again."
        ) from None


def _is_passed_over(info: zipfile.ZipInfo) -> bool:
    """What programs leave beside the files: never a scan."""
    return any(part == "__MACOSX" or (part.startswith(".") and part.strip(".")) for part in _parts(info.orig_filename))


def _parts(name: str) -> list[str]:
    return name.replace("\\", "/").split("/")


def _name(info: zipfile.ZipInfo) -> str:
    parts = (clean_name(part) for part in _parts(_as_meant(info)))
    return "/".join(part for part in parts if part.strip(".")) or "a file without a name"


def _as_meant(info: zipfile.ZipInfo) -> str:
    """The name of a member: in UTF-8 where its flag says so (APPNOTE, appendix D), and where it is but no flag does."""
    with suppress(UnicodeError):
        if not info.flag_bits & _NAME_IN_UTF_8:
            return info.orig_filename.encode("cp437").decode()
    return info.orig_filename


def _refuse_by_what_is_said_of_it(info: zipfile.ZipInfo, limits: Limits) -> None:
    """What can be told without reading a member."""
    name = info.orig_filename.replace("\\", "/")
    kind = stat.S_IFMT(info.external_attr >> 16)
    if name.startswith("/") or re.match(r"[A-Za-z]:", name):
        raise _LeftOut("its name is a place on a disk, as no honest program writes it")
    if ".." in _parts(name):
        raise _LeftOut("its name points out of the archive (“..”)")
    if stat.S_ISLNK(kind):
        raise _LeftOut("it is a link, not a file")
    if kind not in (0, stat.S_IFREG):
        raise _LeftOut("it is a device or the like, not a file")
    if info.flag_bits & _ENCRYPTED:
        raise _LeftOut("it needs a password. Ask the practice to send it without one")
    if info.compress_type not in _METHODS:
        raise _LeftOut("it is packed in a way that is not opened here. Ask the practice for an ordinary zip")
    if info.file_size > limits.in_a_member:
        raise _LeftOut(f"it is larger than {limits.in_a_member // 1_000_000} MB")
    if info.file_size > limits.times * max(info.compress_size, 1):
        raise _LeftOut(f"it would grow to more than {limits.times} times its packed size, as no scan does")


def _refuse_too_much(total: int, size: int, limits: Limits) -> None:
    if total > limits.in_all:
        raise NotUnpacked(f"The archive would fill more than {limits.in_all // 1_000_000:,} MB. Nothing was unpacked.")
    if total > limits.times * size:
        raise NotUnpacked(
            f"The archive would grow to more than {limits.times} times its size, as no scans do. Nothing was unpacked."
        )


def _write(archive: zipfile.ZipFile, info: zipfile.ZipInfo, target: BinaryIO) -> int:
    """Streams one member into a file; gives its bytes. Raises _LeftOut, and OSError where the disk takes no more."""
    total = 0
    for piece in _pieces(archive, info):
        total += len(piece)
        if total > info.file_size:
            raise _LeftOut("it is larger than the archive says")
        target.write(piece)
    if total != info.file_size:
        raise _LeftOut("it is shorter than the archive says. Ask the practice to send it again")
    return total


def _pieces(archive: zipfile.ZipFile, info: zipfile.ZipInfo) -> Iterator[bytes]:
    try:
        with archive.open(info) as member:
            while piece := member.read(PIECE):
                yield piece
    except zipfile.BadZipFile as bad:
        what = "its content is not what the archive says of it" if "CRC" in str(bad) else "it is damaged"
        raise _LeftOut(f"{what}. Ask the practice to send it again") from None
    except Exception:  # cut short or damaged: EOFError, zlib.error, struct.error, a negative place to seek to
        raise _LeftOut("it is damaged. Ask the practice to send it again") from None


def _refuse_an_archive(path: Path) -> None:
    """An archive in the archive is not opened: a person does, who sees what it is."""
    with path.open("rb") as file:
        head = file.read(512)
        file.seek(0)
        if _other_archive(head) or (head.startswith(_ZIP) and not _is_one_document(file)):
            raise _LeftOut("it is an archive inside the archive. Unpack it yourself, and drop the files here")


def _free(name: str, names: set[str]) -> str:
    free, number = name, 2
    stem, dot, suffix = name.rpartition(".")
    while _alike(free) in names:
        free, number = f"{stem} ({number}).{suffix}" if dot and stem else f"{name} ({number})", number + 1
    return free


def _alike(name: str) -> str:
    return unicodedata.normalize("NFKC", name).casefold()
