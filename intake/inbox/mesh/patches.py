"""The triangles of a mesh as patches of a surface: their middles, areas and directions."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from intake.inbox.mesh.mesh import Mesh, MeshRefused

Floats = NDArray[np.float64]
_AT_ONCE = 1 << 14
"""Triangles: what is in hand at one time stays in the processor's cache."""


@dataclass(frozen=True, eq=False)
class Patches:
    """Of each triangle, in the order of the mesh's faces."""

    centres: Floats
    """(m, 3)"""
    areas: Floats
    """(m,)"""
    area: float
    """Of all."""
    mean_normal: Floats
    """(3,) the mean of all normals weighted by area: its length is 0 for a closed surface, 1 for a flat sheet."""


def patches_of(mesh: Mesh) -> Patches:
    """Takes 32 bytes a triangle.

    Raises:
        MeshRefused: when all triangles together have no area.
    """
    count = len(mesh.faces)
    centres, areas, total = np.empty((count, 3)), np.empty(count), np.zeros(3)
    for some in slices(count):
        a, b, c = _corners(mesh, mesh.faces[some])
        vectors = _vectors(a, b, c)
        total += vectors.sum(axis=1)
        areas[some] = np.sqrt(np.einsum("ij,ij->j", vectors, vectors))
        centres[some] = ((a + b + c) / 3).T
    area = float(areas.sum())
    if not area > 0:
        raise MeshRefused("The scan has no surface: all its triangles together have no area.")
    return Patches(centres, areas, area, total / area)


def vectors_of(mesh: Mesh, faces: NDArray[np.intp]) -> Floats:
    """The normals of some triangles, (k, 3), as long as their areas."""
    return _vectors(*_corners(mesh, mesh.faces[faces])).T


def slices(count: int) -> Iterator[slice]:
    """All of so many, some at a time."""
    return (slice(first, min(first + _AT_ONCE, count)) for first in range(0, count, _AT_ONCE))


def _corners(mesh: Mesh, faces: NDArray[np.int32]) -> tuple[Floats, Floats, Floats]:
    """The three corners of each, (3, k): coordinates first, which is quicker to reckon with."""
    a, b, c = (mesh.vertices[corner].T for corner in faces.T)
    return a, b, c


def _vectors(a: Floats, b: Floats, c: Floats) -> Floats:
    (ux, uy, uz), (vx, vy, vz) = b - a, c - a
    return np.stack([uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx]) / 2
