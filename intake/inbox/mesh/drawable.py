"""What every picture needs of a mesh, worked out once: its corners about a middle, and the normals there."""

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from intake.inbox.mesh.mesh import Mesh

Singles = NDArray[np.float32]
Faces = NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Drawable:
    """Triangles ready to be drawn.

    Attributes:
        corners: (n, 3), about the middle; four bytes a number are plenty for a picture.
        normals: (n, 3), of length 1: the mean of the faces about a corner, weighted by area; 0 where no face is.
        faces: (m, 3), rows of `corners`.
    """

    corners: Singles
    normals: Singles
    faces: Faces

    @classmethod
    def of(cls, mesh: Mesh, middle: NDArray[np.float64] | None = None) -> Self:
        """A mesh about a point, without one about the middle of its box."""
        corners = (mesh.vertices - (middle_of(mesh) if middle is None else middle)).astype(np.float32)
        return cls(corners, _corner_normals(corners, mesh.faces), mesh.faces)

    @property
    def reach(self) -> float:
        """The distance of the farthest corner from the middle."""
        return float(np.sqrt(np.einsum("ij,ij->i", self.corners, self.corners).max()))


def middle_of(*meshes: Mesh) -> NDArray[np.float64]:
    """(3,): the middle of the box about all of them."""
    low = np.min([mesh.vertices.min(axis=0) for mesh in meshes], axis=0)
    high = np.max([mesh.vertices.max(axis=0) for mesh in meshes], axis=0)
    middle: NDArray[np.float64] = (low + high) / 2
    return middle


def evenly(faces: Faces, most: int) -> Faces:
    """At most so many of the faces, taken out evenly."""
    return faces[:: -(-len(faces) // most)]


def doubled_areas(corners: Singles, faces: Faces) -> Singles:
    """(m, 3): the normal of each face, twice its area long."""
    a, b, c = (np.take(corners, corner, axis=0).T for corner in faces.T)
    (ux, uy, uz), (vx, vy, vz) = b - a, c - a
    return np.stack([uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx], axis=1)


def _corner_normals(corners: Singles, faces: Faces) -> Singles:
    areas = doubled_areas(corners, faces)
    normals = np.zeros((len(corners), 3), np.float32)
    for axis in range(3):
        for corner in range(3):
            normals[:, axis] += np.bincount(faces[:, corner], areas[:, axis], len(corners))
    lengths = np.sqrt(np.einsum("ij,ij->i", normals, normals))[:, None]
    np.divide(normals, lengths, out=normals, where=lengths > 0)
    return normals
