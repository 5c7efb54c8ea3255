"""From what stands in a file to a mesh that can be measured: each place once, and only triangles that have an area."""

from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from intake.inbox.mesh.mesh import Mesh, MeshFormat, MeshRefused, ReadMesh
from intake.inbox.mesh.surface import NO_TRIANGLES, Points, Rows, Surface, refuse_too_many

FARTHEST = 1e7
"""A coordinate beyond it, in whatever unit, is none: 1e7 um are ten metres."""
_BLOCK = 16_384
"""So many rows at a time stay in the processor's cache, and what is worked out of them needs no room."""
_ODD = tuple(np.uint64(odd) for odd in (0x9E3779B97F4A7C15, 0xC2B2AE3D27D4EB4F, 0x165667B19E3779F9))
"""Large odd numbers: multiplied with one, each bit of a number reaches all higher ones."""


def sound(surface: Surface, format: MeshFormat, remarks: tuple[str, ...] = ()) -> ReadMesh:
    """Welds a surface, and leaves out and counts what is no triangle.

    Raises:
        MeshRefused: where a triangle names a point that is not there, or none is left.
    """
    corners = surface.corners
    refuse_too_many(len(surface.points), len(surface.points) // 3 if corners is None else len(corners))
    points = surface.points
    points += points.dtype.type(0)  # turns -0.0, which has other bits, into 0.0
    if corners is None:
        points, where = weld(points)
        corners = where.reshape(-1, 3)
    elif len(corners):
        if corners.min() < 0 or corners.max() >= len(points):
            raise MeshRefused("A triangle names a point that is not in the file.")
        points, where = weld(points)
        corners = where[corners]
    if not len(corners):
        raise MeshRefused(NO_TRIANGLES)

    near: NDArray[np.bool_] = np.all(np.abs(points) <= FARTHEST, axis=1)  # false of what is no number, too
    finite = corners if near.all() else corners[near[corners].all(axis=1)]
    vertices = points.astype(np.float64)
    wide = _have_area(vertices, finite)
    faces = finite if wide.all() else finite[wide]
    not_finite, degenerate = len(corners) - len(finite), len(finite) - len(faces)
    if not len(finite):
        raise MeshRefused("Every triangle has a corner that is no number, or lies absurdly far.")
    if not len(faces):
        raise MeshRefused("No triangle has an area.")
    if not_finite:
        left_out = f"{not_finite:,} of {len(corners):,} triangles have a corner that is no number, or lies absurdly far"
        remarks = (*remarks, f"{left_out}; they were left out.")
    return ReadMesh(
        mesh=_used(vertices, faces),
        format=format,
        unit=surface.unit,
        not_finite=not_finite,
        degenerate=degenerate,
        remarks=(*surface.remarks, *remarks),
    )


def weld(points: Points) -> tuple[Points, Rows]:
    """Each place once, in the order in which they first come, and for each point the row of its place.

    Two points are one where every bit of them is the same. Points are sorted by a hash whose lower bits are replaced by
    the point's row: sorting plain numbers is several times as fast as sorting rows by rows. Should two places share a
    hash, which is checked, the rows themselves are sorted.
    """
    if not len(points):
        return points, np.empty(0, np.int32)
    row_bits = np.uint64(int(len(points) - 1).bit_length())
    row_mask = (np.uint64(1) << row_bits) - np.uint64(1)
    keys = _hashes(points)
    keys &= ~row_mask
    keys |= np.arange(len(points), dtype=np.uint32)
    keys.sort()
    rows = np.empty(len(points), np.int32)
    np.bitwise_and(keys, row_mask, out=rows, casting="unsafe")
    keys >>= row_bits
    begins = np.ones(len(points), bool)
    np.not_equal(keys[1:], keys[:-1], out=begins[1:])
    del keys
    places, where = _numbered(points, rows, begins)
    if _are_equal(points, places, where):
        return places, where
    bits = _bits(points)
    rows = np.lexsort(bits.T).astype(np.int32)
    begins[1:] = (bits[rows[1:]] != bits[rows[:-1]]).any(axis=1)
    return _numbered(points, rows, begins)


def _bits(points: Points) -> NDArray[np.unsignedinteger[Any]]:
    return np.ascontiguousarray(points).view(np.uint32 if points.itemsize == 4 else np.uint64)


def _hashes(points: Points) -> NDArray[np.uint64]:
    """A number of 64 bits for each point, whose upper bits depend on all three coordinates."""
    hashes = np.zeros(len(points), np.uint64)
    bits = _bits(points)
    for start in range(0, len(points), _BLOCK):
        mixed = hashes[start : start + _BLOCK]
        for column, odd in zip(bits[start : start + _BLOCK].T, _ODD, strict=True):
            mixed ^= column
            mixed *= odd
            mixed ^= mixed >> np.uint64(29)
        mixed *= _ODD[0]
    return hashes


def _numbered(points: Points, rows: Rows, begins: NDArray[np.bool_]) -> tuple[Points, Rows]:
    """The places of points that were sorted, numbered by their first point.

    Args:
        points: (n, 3).
        rows: (n,), the rows of `points` with equal ones together, lowest first.
        begins: (n,), whether another place begins with that row.
    """
    first = np.zeros(len(points), bool)
    first[rows[begins]] = True
    number = np.cumsum(first, dtype=np.int32)
    numbers = number[rows[begins]] - 1
    del number
    group = np.cumsum(begins, dtype=np.int32)
    group -= 1
    where = np.empty(len(points), np.int32)
    where[rows] = numbers[group]
    return points[first], where


def _are_equal(points: Points, places: Points, where: Rows) -> bool:
    """Whether each point has the very bits of its place."""
    given, found = _bits(points), _bits(places)
    blocks = pairwise([*range(0, len(points), _BLOCK), len(points)])
    return all(bool((found[where[start:end]] == given[start:end]).all()) for start, end in blocks)


def _have_area(vertices: NDArray[np.float64], corners: Rows) -> NDArray[np.bool_]:
    """For each triangle, whether its three corners span an area at all: how little does not matter.

    The cross product of two edges is nothing where they are parallel. Differences of float32 numbers that are alike in
    size, and their products, fit the 53 bits of a float64: for those it is exact.
    """
    wide = np.empty(len(corners), bool)
    for start in range(0, len(corners), _BLOCK):
        a, b, c = vertices[corners[start : start + _BLOCK].T]
        b -= a
        c -= a
        area = b[:, 1] * c[:, 2] != b[:, 2] * c[:, 1]
        area |= b[:, 2] * c[:, 0] != b[:, 0] * c[:, 2]
        area |= b[:, 0] * c[:, 1] != b[:, 1] * c[:, 0]
        wide[start : start + _BLOCK] = area
    return wide


def _used(vertices: NDArray[np.float64], faces: Rows) -> Mesh:
    """A mesh without the points that no face has."""
    used = np.zeros(len(vertices), bool)
    used[faces] = True
    if not used.all():
        number = np.cumsum(used, dtype=np.int32)
        number -= 1
        vertices, faces = vertices[used], number[faces]
    return Mesh(vertices, faces)
