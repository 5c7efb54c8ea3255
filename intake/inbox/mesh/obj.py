"""OBJ: vertices (`v`) and faces (`f`) of the Wavefront text format. Everything else in it is passed over.

A face names its corners by number, from 1, or backward from -1 at the newest vertex; `1/2/3` names a texture and a
normal too. A line that ends with a backslash goes on in the next. Materials (`mtllib`) are names of other files, which
are never opened.
"""

import re

import numpy as np

from intake.inbox.mesh.lines import blocks, floats, integers
from intake.inbox.mesh.mesh import MeshRefused
from intake.inbox.mesh.surface import NO_TRIANGLES, Rows, Surface, fans, refuse_too_many

_VERTEX = re.compile(rb"^[ \t]*v(?:[ \t]+[-+]?(?:[\d.]|nan|inf)\S*){3}", re.MULTILINE)
_JOINT = re.compile(rb"\\[ \t]*(?:\r\n|\n|\r)")


def is_obj(head: bytes) -> bool:
    """Whether the beginning of a text has a vertex in it."""
    return _VERTEX.search(head.lower().replace(b"\r", b"\n")) is not None and b"\0" not in head.rstrip(b"\0")


def read_obj(content: bytes) -> Surface:
    """Reads an OBJ file.

    Raises:
        MeshRefused: where a vertex or a face cannot be read, or there are none.
    """
    if b"\\" in content:
        content = _JOINT.sub(b" ", re.sub(rb"#[^\r\n]*", b"", content))
    points, triangles = [np.empty((0, 3))], [np.empty((0, 3), np.int32)]
    known = count = 0
    for block in blocks(content):
        vertices, faces = list[bytes](), list[list[bytes]]()
        newest = list[int]()  # how many vertices came before each face
        for line in block.split(b"\n"):
            words = line.split()
            if not words:
                continue
            if words[0] == b"v":
                if len(words) < 4:
                    raise MeshRefused("A vertex has fewer than three coordinates.")
                vertices += words[1:4]
            elif words[0] == b"f":
                faces.append(words[1:] if b"#" not in line else line.partition(b"#")[0].split()[1:])
                newest.append(known + len(vertices) // 3)
        points.append(floats(vertices).reshape(-1, 3))
        triangles.append(_triangles(faces, newest))
        known, count = known + len(vertices) // 3, count + len(triangles[-1])
        refuse_too_many(known, count)
    if not count:
        raise MeshRefused(NO_TRIANGLES if known else "The file holds neither vertices nor faces.")
    return Surface(np.concatenate(points), np.concatenate(triangles))


def _triangles(faces: list[list[bytes]], newest: list[int]) -> Rows:
    """Faces as rows of the vertices, cut into triangles.

    Args:
        faces: The words of each.
        newest: For each, how many vertices came before it.
    """
    counts = np.fromiter(map(len, faces), np.int64, len(faces))
    words = [word for face in faces for word in face]
    if b"/" in b"".join(words):
        words = [word.partition(b"/")[0] for word in words]
    numbers = integers(words)
    if not numbers.all():
        raise MeshRefused("A face names vertex 0; vertices are counted from 1.")
    rows = np.where(numbers > 0, numbers - 1, numbers + np.repeat(np.array(newest, np.int64), counts))
    if len(rows) and (rows.min() < 0 or rows.max() > np.iinfo(np.int32).max):
        raise MeshRefused("A face names a vertex that is not in the file.")
    return fans(rows.astype(np.int32), counts)
