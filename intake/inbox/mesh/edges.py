"""One sort of a mesh's edges, and what it tells: which are open, looked at from two sides, or shared by too many."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from intake.inbox.mesh.mesh import Mesh

Neighbours = tuple[NDArray[np.int32], NDArray[np.int32]]
"""Triangles that share an edge: the one and the other."""


@dataclass(frozen=True, eq=False)
class Edges:
    """The edges of a mesh; the same two corners are one edge, whichever way a triangle runs along it."""

    count: int
    open: NDArray[np.int32]
    """(k, 2) corners: edges of one triangle alone."""
    open_faces: NDArray[np.int32]
    """(k,) that triangle of each."""
    between_two: int
    """Edges of exactly two triangles."""
    flipped: int
    """Of these, how many both run along the same way: the two look opposite ways."""
    non_manifold: int
    """Edges of more than two."""


def edges_of(mesh: Mesh) -> tuple[Edges, Neighbours]:
    """Sorts the edges once, in some 75 bytes a triangle."""
    places = len(mesh.vertices)
    keys, owners = _sorted_edges(mesh)
    forward = (keys & 1).astype(np.bool_)
    keys >>= 1
    # Whether an edge other than the one before stands here; one more at the end, so that the last edge ends too.
    begins = np.ones(len(keys) + 1, dtype=np.bool_)
    np.not_equal(keys[1:], keys[:-1], out=begins[1:-1])
    first, second, third = begins[:-1], ~begins[1:-1] & begins[:-2], ~begins[2:-1] & ~begins[1:-2] & begins[:-3]
    pair = second & begins[2:]
    lone = first & begins[1:]
    ends = keys[lone]
    edges = Edges(
        count=int(np.count_nonzero(first)),
        open=np.stack([ends // places, ends % places], axis=1).astype(np.int32),
        open_faces=owners[lone],
        between_two=int(np.count_nonzero(pair)),
        flipped=int(np.count_nonzero(pair & (forward[1:] == forward[:-1]))),
        non_manifold=int(np.count_nonzero(third)),
    )
    again = ~begins[1:-1]
    return edges, (owners[:-1][again], owners[1:][again])


def _sorted_edges(mesh: Mesh) -> tuple[NDArray[np.int64], NDArray[np.int32]]:
    """Every edge of every triangle as a number, and its triangle: equal ones together, the last bit the way it runs."""
    faces, places = len(mesh.faces), len(mesh.vertices)
    keys = np.empty(3 * faces, dtype=np.int64)
    for corner in range(3):
        here, there = mesh.faces[:, corner], mesh.faces[:, (corner + 1) % 3]
        part = keys[corner * faces : (corner + 1) * faces]
        np.multiply(np.minimum(here, there), places, out=part, dtype=np.int64)
        part += np.maximum(here, there)
        part *= 2
        part += here < there
    order = np.argsort(keys)
    keys = keys[order]
    order %= faces
    return keys, order.astype(np.int32)
