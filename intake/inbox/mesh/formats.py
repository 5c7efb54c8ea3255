"""A scan of whatever format, told by its content and never by its name."""

import re
from collections.abc import Callable
from pathlib import Path

import numpy as np

from intake.inbox.mesh.dicom import holds_a_mesh, is_dicom, read_dicom
from intake.inbox.mesh.lines import plain
from intake.inbox.mesh.mesh import MeshFormat, MeshRefused, ReadMesh
from intake.inbox.mesh.obj import is_obj, read_obj
from intake.inbox.mesh.ply import read_ply
from intake.inbox.mesh.stl import HEADER, is_text, is_whole, looks_binary, read_stl, read_stl_text
from intake.inbox.mesh.surface import HEAD, MOST_BYTES, NO_TRIANGLES, Surface
from intake.inbox.mesh.threemf import is_3mf, read_3mf
from intake.inbox.mesh.welding import sound

_READERS: dict[MeshFormat, Callable[[bytes], Surface]] = {
    "stl": read_stl, "stl-text": read_stl_text, "ply": read_ply, "obj": read_obj, "3mf": read_3mf, "dicom": read_dicom,
}  # fmt: skip
_TEXTS: tuple[MeshFormat, ...] = ("stl-text", "ply", "obj")
_OTHERS = (
    (b"%PDF", "a PDF document"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"PK", "a zip archive"),
    (b"7z\xbc\xaf\x27\x1c", "a packed archive"),
    (b"Rar!", "a packed archive"),
    (b"\x1f\x8b", "a packed file"),
)
_WEB_PAGE = re.compile(rb"\s*<(!doctype html|html|head|body)", re.IGNORECASE)


def is_mesh(head: bytes, size: int) -> MeshFormat | None:
    """Which format of mesh a file is in, whole or damaged; None where it is none.

    Args:
        head: Its first 64 kB (HEAD), or all of it.
        size: Its bytes in all.
    """
    if is_3mf(head):
        return "3mf"
    if holds_a_mesh(head):
        return "dicom"
    if is_whole(head, size):
        return "stl"  # even where the header begins with the "solid" of a text file
    text = plain(head)[0]
    if text.startswith((b"ply\n", b"ply\r")):
        return "ply"
    if is_text(head):
        return "stl-text"
    if is_obj(text):
        return "obj"
    if text.startswith(b"solid") or (looks_binary(head) and not _other(head)):
        return "stl"
    return None


def read_mesh(source: bytes | Path) -> ReadMesh:
    """Reads a mesh.

    Args:
        source: The content of a file, or where it is.

    Raises:
        MeshRefused: and nothing else, whatever the file holds; the message says why.
    """
    content = source if isinstance(source, bytes) else _content(source)
    _refuse_too_large(len(content))
    format = is_mesh(content[:HEAD], len(content))
    if format is None:
        raise MeshRefused(_why_none(content))
    try:
        content, remarks = plain(content) if format in _TEXTS else (content, ())
        with np.errstate(all="ignore"):  # what is no number is looked for, and dropped
            return sound(_READERS[format](content), format, remarks)
    except MemoryError:
        raise MeshRefused("The mesh needs more memory than this machine has.") from None


def _content(path: Path) -> bytes:
    try:
        size = path.stat().st_size
        _refuse_too_large(size)
        with path.open("rb") as file:
            return file.read(size)
    except OSError as error:
        raise MeshRefused(f"The file cannot be read: {error.strerror or type(error).__name__}.") from None
    except ValueError:  # a zero in its name
        raise MeshRefused("The file cannot be read: no file can have its name.") from None


def _refuse_too_large(size: int) -> None:
    if size > MOST_BYTES:
        raise MeshRefused(f"The file is larger than {MOST_BYTES // 1_000_000} MB.")


def _other(head: bytes) -> str:
    """What else a file is, where its beginning says so; a scan may be in it, bit for bit."""
    if is_dicom(head):
        return "a DICOM file of something else"
    if _WEB_PAGE.match(plain(head)[0]):
        return "a web page"
    return next((what for beginning, what in _OTHERS if head.startswith(beginning)), "")


def _why_none(content: bytes) -> str:
    """What a file that is no mesh is, as far as it can be told."""
    if not content:
        return "The file is empty."
    if what := _other(content[:HEAD]):
        return f"The file is {what}, not a mesh."
    if len(content) < HEADER:
        return f"The file has {len(content)} bytes, which is too short for a mesh."
    if len(content) == HEADER and not any(content[HEADER - 4 :]):
        return NO_TRIANGLES
    return "The file is no mesh that can be read: neither STL, PLY, OBJ, 3MF nor a DICOM file with one of them."
