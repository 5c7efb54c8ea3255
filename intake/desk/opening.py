"""Files on their way in, each with what it is: those of a folder, and those in an archive."""

import io
import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from hashlib import file_digest
from pathlib import Path

from intake.desk.desk import Desk
from intake.errors import IntakeError
from intake.inbox.scan_files import NoRoom
from intake.inbox.sorting import FileKind, kind_of, too_large
from intake.inbox.unpacking import NotUnpacked, unpack
from intake.inbox.watched import ASIDE, MOST_IN_A_FOLDER

_PASSED_OVER = ("thumbs.db", "desktop.ini")
"""What Windows leaves in folders."""
_LOOKS = ".mtl"
"""The materials of an OBJ: nothing is made by them."""


class TooMany(IntakeError):
    """A folder holds more than a case does."""


@dataclass(frozen=True)
class File:
    """A file on its way in."""

    name: str
    source: Path | bytes
    what: FileKind
    folder: str = ""
    """Where it lies within what brought it."""
    problem: str = ""
    """Why it is not taken in as what it is, in a sentence."""

    @property
    def content(self) -> bytes:
        """What is in it. Raises OSError."""
        return self.source if isinstance(self.source, bytes) else self.source.read_bytes()

    @property
    def fingerprint(self) -> str:
        """The SHA-256 of what is in it, which may be more than is read at once. Raises OSError."""
        with io.BytesIO(self.source) if isinstance(self.source, bytes) else self.source.open("rb") as file:
            return file_digest(file, "sha256").hexdigest()


def read_file(source: Path | bytes, name: str, folder: str = "") -> File:
    """A file with what it is; of one that is too large only why, and it is not read. Raises OSError."""
    if isinstance(source, Path) and source.exists() and not source.is_file():  # a pipe would be waited for
        return File(name, b"", "unknown", folder, "It is no file.")
    what = kind_of(source, name)
    problem = too_large(what, len(source) if isinstance(source, bytes) else source.stat().st_size)
    if not problem:
        return File(name, source, what, folder)
    note = f"{name}: {problem}".encode("utf-8", "replace")
    return File(name, note, "unknown", folder, problem)


def files_of_folder(folder: Path) -> list[File]:
    """The files in a folder and in those under it; hidden ones and links are left alone. Raises TooMany and OSError."""
    files = []
    for path in _paths(folder):
        inside = path.parent.relative_to(folder).as_posix()
        try:
            files.append(read_file(path, path.name, "" if inside == "." else inside))
        except FileNotFoundError:  # taken away meanwhile by whoever put it there
            continue
        except OSError as error:
            problem = f"It cannot be opened: {error.strerror or type(error).__name__}."
            files.append(File(path.name, path, "unknown", inside, problem))
    return files


@contextmanager
def opened(desk: Desk, files: Sequence[File]) -> Iterator[list[File]]:
    """The files with those in archives in the place of the archives, as long as the block runs.

    An archive of which something was left out stays among them, with why. Raises NoRoom.
    """
    if not any(_is_packed(file) for file in files):
        yield list(files)
        return
    with desk.scan_files.room() as place:
        yield [each for number, file in enumerate(files) for each in _out_of(file, place / str(number))]


def _is_packed(file: File) -> bool:
    return file.what == "archive" and not file.problem


def _out_of(file: File, into: Path) -> list[File]:
    if not _is_packed(file):
        return [file]
    try:
        into.mkdir()
        unpacked = unpack(file.source, into)
    except NotUnpacked as problem:
        if isinstance(problem.__context__, OSError):  # nothing is wrong with the archive, but with the disk
            raise NoRoom(str(problem)) from None
        return [replace(file, problem=str(problem))]
    members = []
    for member in unpacked.members:
        inside, _, name = member.name.rpartition("/")
        members.append(read_file(member.path, name, "/".join(filter(None, (file.folder, inside)))))
    left_out = [replace(file, problem=" ".join(unpacked.said))] if unpacked.said else []
    return [*(each for each in members if not _is_passed_over(each.name)), *left_out]


def _paths(folder: Path) -> Iterator[Path]:
    count = 0
    for place, folders, names in os.walk(folder, onerror=_raise):
        folders[:] = sorted(name for name in folders if not name.startswith(".") and name not in ASIDE)
        for path in (Path(place, name) for name in sorted(names) if not _is_passed_over(name)):
            if path.is_file() and not path.is_symlink():
                count += 1
                if count > MOST_IN_A_FOLDER:
                    raise TooMany(f"It holds more than {MOST_IN_A_FOLDER:,} files, as no case does. Take in its parts.")
                yield path


def _is_passed_over(name: str) -> bool:
    return name.startswith(".") or name.lower() in _PASSED_OVER or name.lower().endswith(_LOOKS)


def _raise(error: OSError) -> None:
    raise error
