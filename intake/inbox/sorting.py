"""What a file is, by its content; its name helps only where a mesh is too damaged to be told by it."""

import json
from pathlib import Path
from typing import Literal

from intake.domain.blank_fields import BlankNumberRefused, read_blank_number
from intake.domain.form_check import FORM
from intake.inbox.message import MOST_BYTES, is_mail
from intake.inbox.pdf_form import PdfUnreadable, is_pdf, read_form
from intake.inbox.unpacking import LIMITS, is_archive

FileKind = Literal["prescription", "mail", "blank", "reply", "scan", "archive", "unknown"]
"""prescription: a prescription file; mail: a message; blank: a blank prescription filled in; reply: any other PDF or
picture, which may be a returned reply form; scan: a mesh; archive: a zip of files; unknown: nothing that can be taken
in."""
PICTURES = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff")
MESHES = (".stl", ".ply", ".obj", ".3mf", ".dcm")
"""How the names of meshes end: one that is too damaged to be told by its content is still a scan by its name."""
_HEAD = 65_536


def kind_of(source: Path | bytes, name: str) -> FileKind:
    """What a file is. A mesh or an archive is told by its first bytes, so that a large one is not read for it.

    Nor is anything else that is larger than it may be. Raises OSError where the file cannot be read.
    """
    head, size = _beginning(source)
    is_page = is_pdf(head) or head.startswith(PICTURES)
    if not is_page and is_archive(source):
        return "archive"
    if not is_page and (_is_mesh(head, size) or name.lower().endswith(MESHES)):
        return "scan"
    if size > MOST_BYTES:
        return "reply" if is_page else "unknown"
    return what_is(source if isinstance(source, bytes) else source.read_bytes())


def too_large(what: FileKind, size: int) -> str:
    """Why a file of so many bytes is not read, in a sentence; empty where it is."""
    most = {"scan": LIMITS.in_a_member, "archive": LIMITS.in_all}.get(what, MOST_BYTES)
    return f"It is larger than {most // 1_000_000:,} MB." if size > most else ""


def what_is(content: bytes) -> FileKind:
    """What a file is that is neither a mesh nor an archive."""
    if is_pdf(content):
        return "blank" if _is_blank(content) else "reply"
    if content.startswith(PICTURES):
        return "reply"
    if _is_json(content):
        return "prescription"
    return "mail" if is_mail(content) else "unknown"


def _beginning(source: Path | bytes) -> tuple[bytes, int]:
    if isinstance(source, bytes):
        return source[:_HEAD], len(source)
    with source.open("rb") as file:
        return file.read(_HEAD), source.stat().st_size


def _is_mesh(head: bytes, size: int) -> bool:
    from intake.inbox.mesh.formats import is_mesh  # numpy is slow to import, and most files are none

    return is_mesh(head, size) is not None


def _is_json(content: bytes) -> bool:
    if not content.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{"):
        return False
    try:
        json.loads(content)
    except (ValueError, RecursionError):
        return False
    return True


def _is_blank(content: bytes) -> bool:
    try:
        read_blank_number(read_form(content).fields.get(FORM, ""))
    except (PdfUnreadable, BlankNumberRefused):
        return False
    return True
