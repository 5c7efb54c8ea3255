"""3MF: a zip package with a model in XML (3MF Core Specification 1.3; the package is one of ECMA-376, part 2).

Objects are meshes, or placed copies of objects that were named before them; what counts is what the build items place.
Extensions that only add are passed over; a file that requires one is refused, as the specification asks.
"""

import math
import re
import zipfile
from array import array
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from io import BytesIO
from itertools import accumulate
from typing import IO
from xml.parsers import expat

import numpy as np
from numpy.typing import NDArray

from intake.inbox.mesh.mesh import MeshRefused, Unit
from intake.inbox.mesh.surface import MOST_BYTES, NO_TRIANGLES, Rows, Surface, refuse_too_many

Matrix = NDArray[np.float64]
"""4 x 4, for points as rows."""

_CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02 "
_MODEL = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
_RELATIONSHIP = "http://schemas.openxmlformats.org/package/2006/relationships Relationship"
_USUAL_PART = "3D/3dmodel.model"
_UNITS: dict[str, Unit] = {
    "micron": "um", "millimeter": "mm", "centimeter": "cm", "inch": "inch", "foot": "foot", "meter": "m",
}  # fmt: skip
_MODEL_PART = re.compile(rb"3D/[\x20-\x7e]{1,200}\.model")
_PACKAGE = (b"[Content_Types].xml", b"_rels/.rels", b"3D/")
"""Names that its head has, where the model comes late in it."""
_BLOCK = 1_000_000
_LONGEST_TAG = 4_000_000
"""A longer tag or comment would be read from its beginning again and again, once a block."""
_TOO_MANY_PARTS = "The 3MF file is made of more parts than any scan."
_MOST_TIMES_SMALLER = 100
"""Meshes are packed to a fifth or less; a file that unpacks to more than this is made to fill a disk."""
_MOST_PARTS = 10_000
"""In the package, and of objects in the model."""


def is_3mf(head: bytes) -> bool:
    """Whether a file begins as a zip package with a model in it."""
    if not head.startswith(b"PK\x03\x04"):
        return False
    return _MODEL_PART.search(head) is not None or all(name in head for name in _PACKAGE)


def read_3mf(content: bytes) -> Surface:
    """Reads a 3MF file.

    Raises:
        MeshRefused: and nothing else, whatever the file holds.
    """
    if content.count(b"PK\x01\x02") > _MOST_PARTS:  # how each entry of the directory begins
        raise MeshRefused(_TOO_MANY_PARTS)
    try:
        with zipfile.ZipFile(BytesIO(content)) as package:
            return _read_model(package)
    except (MeshRefused, MemoryError):
        raise
    except Exception as error:  # a damaged zip, XML that is none, a number that is none, an object that is not there
        raise MeshRefused(f"The 3MF file is damaged and cannot be read ({type(error).__name__}).") from None


def _read_model(package: zipfile.ZipFile) -> Surface:
    model = _Model()
    _parse(_open(package, _model_part(package)), model.starts())
    parts = list(model.built.in_place(np.identity(4)))
    if not any(len(faces) for _, faces in parts):
        raise MeshRefused(NO_TRIANGLES)
    before = accumulate((len(points) for points, _ in parts), initial=0)
    faces = [faces + offset for (_, faces), offset in zip(parts, before, strict=False)]
    return Surface(np.concatenate([points for points, _ in parts]), np.concatenate(faces), model.unit)


def _model_part(package: zipfile.ZipFile) -> str:
    """The name of the part that the package begins with."""
    found = list[str]()

    def relationship(of: dict[str, str]) -> None:
        if of.get("Type") == _MODEL:
            found.append(of["Target"].lstrip("/"))

    if "_rels/.rels" in package.namelist():
        _parse(_open(package, "_rels/.rels"), {_RELATIONSHIP: relationship})
    return found[0] if found else _USUAL_PART


def _open(package: zipfile.ZipFile, name: str) -> IO[bytes]:
    """A part of the package, which gives no more bytes than its directory says, and those are few enough."""
    try:
        part = package.getinfo(name)
    except KeyError:
        raise MeshRefused("The file is a zip archive without a 3MF model in it.") from None
    if part.flag_bits & 1:
        raise MeshRefused("The 3MF file is encrypted.")
    if part.file_size > MOST_BYTES or part.file_size > _MOST_TIMES_SMALLER * max(part.compress_size, 1_000):
        raise MeshRefused("The 3MF file unpacks to far more than a mesh can be.")
    return package.open(part)


def _parse(stream: IO[bytes], starts: dict[str, Callable[[dict[str, str]], None]]) -> None:
    """Calls for each element that begins what is named for it, with its attributes.

    A document type, by which XML could name other files or grow without end, is refused, as the specification asks.
    """

    def refuse(*_: object) -> None:
        raise MeshRefused("The 3MF file has a document type in its XML, which 3MF does not allow.")

    def start(name: str, attributes: dict[str, str]) -> None:
        if begin := starts.get(name):
            begin(attributes)

    parser = expat.ParserCreate(namespace_separator=" ")
    parser.StartDoctypeDeclHandler = refuse
    parser.StartElementHandler = start
    with stream:
        read = 0
        while block := stream.read(_BLOCK):
            parser.Parse(block)
            read += len(block)
            if read - parser.CurrentByteIndex > _LONGEST_TAG:
                raise MeshRefused("The 3MF file has a tag in its XML that is longer than any.")
        parser.Parse(b"", True)


@dataclass
class _Object:
    """A mesh, or objects placed in one."""

    points: "array[float]" = field(default_factory=lambda: array("d"))
    corners: "array[int]" = field(default_factory=lambda: array("i"))
    components: list[tuple["_Object", Matrix]] = field(default_factory=list)
    parts: int = 1
    """How many objects it comes to, itself among them."""
    placed_points: int = 0
    placed_triangles: int = 0
    """What its components come to."""

    def place(self, part: "_Object", matrix: Matrix) -> None:
        """Adds a component.

        Raises:
            MeshRefused: where the object comes to more than any scan is.
        """
        self.components.append((part, matrix))
        self.parts += part.parts
        self.placed_points += len(part.points) // 3 + part.placed_points
        self.placed_triangles += len(part.corners) // 3 + part.placed_triangles
        refuse_too_many(self.placed_points, self.placed_triangles)
        if self.parts > _MOST_PARTS:
            raise MeshRefused(_TOO_MANY_PARTS)

    def in_place(self, matrix: Matrix) -> Iterator[tuple[Matrix, Rows]]:
        """Its meshes where a matrix puts them: points, and corners as rows of them."""
        for component, within in self.components:
            yield from component.in_place(within @ matrix)
        if self.corners:
            points = np.frombuffer(self.points).reshape(-1, 3) @ matrix[:3, :3] + matrix[3, :3]
            corners = np.frombuffer(self.corners, np.int32).reshape(-1, 3)
            if corners.min() < 0 or corners.max() >= len(points):
                raise MeshRefused("A triangle names a point that is not in the file.")
            # A mirrored copy would be inside out: a negative determinant must not change the sign of a volume (3.3).
            yield points, corners[:, ::-1] if np.linalg.det(matrix[:3, :3]) < 0 else corners


class _Model:
    """What the elements of a model say, in the order in which they come."""

    def __init__(self) -> None:
        self.unit: Unit = "mm"
        self.built = _Object()
        self._objects = dict[str, _Object]()
        self._newest = _Object()

    def starts(self) -> dict[str, Callable[[dict[str, str]], None]]:
        """What to do where an element begins."""
        return {
            f"{_CORE}model": self._model,
            f"{_CORE}object": self._object,
            f"{_CORE}vertex": self._vertex,
            f"{_CORE}triangle": self._triangle,
            f"{_CORE}component": self._component,
            f"{_CORE}item": self._item,
        }

    def _model(self, of: dict[str, str]) -> None:
        if of.get("requiredextensions", "").strip():
            raise MeshRefused("The 3MF file needs an extension of 3MF that is not read here. Export it without.")
        unit = of.get("unit", "millimeter").strip()
        if unit not in _UNITS:
            raise MeshRefused("The 3MF file states a unit that 3MF does not have.")
        self.unit = _UNITS[unit]

    def _object(self, of: dict[str, str]) -> None:
        if of["id"] in self._objects:
            raise MeshRefused("The 3MF file names two objects alike.")
        if len(self._objects) >= _MOST_PARTS:
            raise MeshRefused(_TOO_MANY_PARTS)
        self._newest = self._objects[of["id"]] = _Object()

    def _vertex(self, of: dict[str, str]) -> None:
        self._newest.points.extend((float(of["x"]), float(of["y"]), float(of["z"])))

    def _triangle(self, of: dict[str, str]) -> None:
        self._newest.corners.extend((int(of["v1"]), int(of["v2"]), int(of["v3"])))

    def _component(self, of: dict[str, str]) -> None:
        part = self._objects[of["objectid"]]
        if part is self._newest:
            raise MeshRefused("The 3MF file has an object that is a part of itself.")
        self._newest.place(part, _matrix(of))

    def _item(self, of: dict[str, str]) -> None:
        self._newest = _Object()  # no object goes on behind what was placed of it
        self.built.place(self._objects[of["objectid"]], _matrix(of))


def _matrix(of: dict[str, str]) -> Matrix:
    """Twelve numbers row by row, m00 m01 m02 m10 ... m32; the last column is 0 0 0 1 (3.3)."""
    matrix = np.identity(4)
    if "transform" in of:
        numbers = [float(word) for word in of["transform"].split()]
        if len(numbers) != 12 or not all(map(math.isfinite, numbers)):
            raise MeshRefused("The 3MF file places a part by something else than twelve numbers.")
        matrix[:, :3] = np.reshape(numbers, (4, 3))
    return matrix
