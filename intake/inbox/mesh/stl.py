"""STL, binary and text: the format as it is known publicly, from the interface specification of 1989.

Binary: a header of 80 bytes, the number of triangles, then 50 bytes for each: normal and three corners as twelve
float32, and two bytes of no fixed meaning; all little-endian. Normals are not read: the order of the corners says the
same, and more reliably.
"""

import re

import numpy as np
from numpy.typing import NDArray

from intake.inbox.mesh.lines import blocks, floats, plain
from intake.inbox.mesh.mesh import MeshRefused
from intake.inbox.mesh.surface import CUT_SHORT, HEAD, TRAILING, Surface, refuse_too_many

HEADER = 84
_FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
_WORDS = {0: b"facet", 1: b"normal", 5: b"outer", 6: b"loop", 7: b"vertex", 11: b"vertex", 15: b"vertex",
          19: b"endloop", 20: b"endfacet"}  # fmt: skip
"""The words of a text triangle by their place among its 21; numbers stand between them."""
_COORDINATES = (8, 9, 10, 12, 13, 14, 16, 17, 18)
_SOLID = re.compile(rb"^[ \t]*((?:end)?solid)\b.*$", re.MULTILINE)


def says(head: bytes) -> int:
    """How many triangles the header of a binary STL file says that there are."""
    return int.from_bytes(head[HEADER - 4 : HEADER], "little")


def is_whole(head: bytes, size: int) -> bool:
    """Whether a file is exactly as long as a binary STL file with its number of triangles."""
    return says(head) > 0 and size == HEADER + says(head) * _FACET.itemsize


def is_text(head: bytes) -> bool:
    """Whether a file that is not a whole binary STL file begins as a text one does, in whatever letters."""
    text = plain(head)[0].lstrip().lower()
    return text.startswith(b"solid") and b"\0" not in text.rstrip(b"\0")


def looks_binary(head: bytes) -> bool:
    """Whether what follows the header is triangles, by the coordinates of those in it.

    Nine tenths of them are nothing or of a size that a scan has, and no more than half are nothing.
    """
    held = (len(head) - HEADER) // _FACET.itemsize
    if held < 1:
        return False
    size = np.abs(_facets(head, held)["corners"])
    with np.errstate(invalid="ignore"):
        usual, nothing = (size > 1e-6) & (size < 1e6), size == 0
    return bool(usual.mean() + nothing.mean() >= 0.9 and nothing.mean() <= 0.5)


def read_stl(content: bytes) -> Surface:
    """Reads a binary STL file.

    Raises:
        MeshRefused: where it has no triangles, or fewer than it says.
    """
    said, held = says(content), (len(content) - HEADER) // _FACET.itemsize
    if said > held:
        raise MeshRefused(f"{CUT_SHORT}, or is damaged: it says {said:,} triangles, and holds {max(held, 0):,}.")
    rest = len(content) - HEADER - said * _FACET.itemsize
    if rest and not looks_binary(content[:HEAD]):
        raise MeshRefused(f"The file says {said:,} triangles, but what it holds are none.")
    count, remarks = said, (TRAILING,) if rest else ()
    if rest >= _FACET.itemsize and _are_triangles(_facets(content, held)["corners"][said:]):
        count, remarks = held, (f"The file says {said:,} triangles, and holds {held:,}: all of them were read.",)
    refuse_too_many(0, count)
    return Surface(_facets(content, count)["corners"].astype(np.float32).reshape(-1, 3), None, remarks=remarks)


def _facets(content: bytes, count: int) -> NDArray[np.void]:
    return np.frombuffer(content, _FACET, count, HEADER)


def _are_triangles(corners: NDArray[np.float32]) -> bool:
    """Whether what follows the number of triangles that a file says is still triangles, not padding or noise."""
    with np.errstate(invalid="ignore"):
        return bool((np.abs(corners) < 1e6).all() and corners.any(axis=(1, 2)).all())


def read_stl_text(content: bytes) -> Surface:
    """Reads a text STL file.

    Raises:
        MeshRefused: where something else than triangles stands in it, or it ends within one.
    """
    corners, last, left = [np.empty((0, 9), np.float32)], b"", list[bytes]()
    count = 0
    for block in blocks(content):
        if b"solid" in block and (marks := _SOLID.findall(block)):
            last, block = marks[-1], _SOLID.sub(b"", block)
        words = left + block.split()
        whole = len(words) // 21
        left = words[whole * 21 :]
        corners.append(_corners(words[: whole * 21]))
        refuse_too_many(0, count := count + whole)
    if left[:1] == [b"facet"]:
        raise MeshRefused(f"{CUT_SHORT}: it ends in the middle of a triangle.")
    remarks = (TRAILING,) if left else ()
    if last != b"endsolid":
        if left:
            raise MeshRefused(_fault(left))
        remarks = ("The last line of the file, endsolid, is missing: it may have been cut short.",)
    return Surface(np.concatenate(corners).reshape(-1, 3), None, remarks=remarks)


def _corners(words: list[bytes]) -> NDArray[np.float32]:
    """The coordinates of whole triangles, (m, 9), as exact as a binary file has them."""
    count = len(words) // 21
    if any(words[place::21].count(word) != count for place, word in _WORDS.items()):
        raise MeshRefused(_fault(words))
    coordinates = np.empty((count, 9), np.float32)
    for column, place in enumerate(_COORDINATES):
        coordinates[:, column] = floats(words[place::21])
    return coordinates


def _fault(words: list[bytes]) -> str:
    """What is wrong with the first triangle that is wrong."""
    for start in range(0, len(words), 21):
        facet = words[start : start + 21]
        if all(facet[place : place + 1] == [word] for place, word in _WORDS.items()):
            continue
        if facet[:1] == [b"facet"] and facet[19:20] == [b"vertex"]:
            return "A facet has more than three corners, which STL does not allow."
        if facet[:1] == [b"facet"] and any(b"," in word for word in facet):
            return "The numbers have a decimal comma. Export the mesh with decimal points."
        break
    return "The file begins like a text STL file, but something else than triangles stands in it."
