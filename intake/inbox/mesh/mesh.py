"""A surface of triangles as a value."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from intake.errors import IntakeError

MeshFormat = Literal["stl", "stl-text", "ply", "obj", "3mf", "dicom"]
"""stl: binary; stl-text: ASCII; dicom: a mesh encapsulated in a DICOM file."""
Unit = Literal["um", "mm", "cm", "inch", "foot", "m"]


class MeshRefused(IntakeError):
    """A file holds no mesh that can be trusted; the message says why."""


@dataclass(frozen=True, eq=False)
class Mesh:
    """Triangles that share their corners.

    Attributes:
        vertices: (n, 3), each place once, in the unit of the file.
        faces: (m, 3), three rows of `vertices` each, anticlockwise seen from outside.
    """

    vertices: NDArray[np.float64]
    faces: NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class ReadMesh:
    """A mesh as it was read."""

    mesh: Mesh
    format: MeshFormat
    unit: Unit | None
    """The unit that the file itself states; None where its format states none."""
    not_finite: int = 0
    """Triangles left out because a corner is no number, infinite or absurdly far."""
    degenerate: int = 0
    """Triangles left out because they have no area: two corners are one, or all three lie in a line."""
    remarks: tuple[str, ...] = ()
    """What was odd about the file but could be read, in sentences."""
