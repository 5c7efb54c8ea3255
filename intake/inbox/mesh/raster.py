"""Triangles to pixels without a graphics card: of all the triangles behind a pixel's middle the nearest is kept.

Each triangle becomes rows, each row a run of pixels, many of them at once in numpy. A pixel belongs to a triangle when
its middle lies inside; on an edge of two triangles it belongs to exactly one of them, so that nothing shines through.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from intake.inbox.mesh.drawable import Faces, Singles, evenly

Counts = NDArray[np.int32]
Rows = NDArray[np.intp]

_TRIANGLES, _CELLS = 1 << 14, 1 << 15
"""So many triangles, and rows or pixels of theirs, at a time: it bounds the memory and stays in the cache."""
_DEEPEST = (1 << 31) - 1


@dataclass(frozen=True, eq=False)
class Seen:
    """What each pixel sees.

    Attributes:
        faces: (height, width), the row of the nearest triangle; -1 where there is none.
        depths: (height, width), larger is nearer to the eye; of no meaning where there is no triangle.
    """

    faces: NDArray[np.int32]
    depths: Singles


def rasterise(points: Singles, faces: Faces, width: int, height: int) -> Seen:
    """Finds the nearest triangle behind each pixel.

    Args:
        points: (n, 3): to the right and downward in pixels, the first pixel's middle at 0.5; depth, larger nearer.
        faces: (m, 3), rows of `points`.
        width: Of the picture.
        height: Of the picture.
    """
    nearest = np.full(width * height, -1, np.int64)  # the depth in the upper half, the triangle in the lower
    deep = float(points[:, 2].min())
    scale = _DEEPEST / max(float(points[:, 2].max()) - deep, 1e-9)
    for begin in range(0, len(faces), _TRIANGLES):
        for face, pixel, depth in _pixels(points, faces[begin : begin + _TRIANGLES], width, height):
            key = np.clip((depth - deep) * scale, 0, _DEEPEST).astype(np.int64)
            np.maximum.at(nearest, pixel, (key << 32) | (face + begin))
    shown = nearest.astype(np.int32).reshape(height, width)
    nearest >>= 32
    depths = nearest.astype(np.float32).reshape(height, width)
    depths /= np.float32(scale)
    depths += np.float32(deep)
    return Seen(shown, depths)


def work_of(points: Singles, faces: Faces, width: int, height: int) -> float:
    """About how many rows and pixels `rasterise` would go through, judged by some of the triangles."""
    some = evenly(faces, _TRIANGLES)
    a, b, c = (np.take(points[:, :2], corner, axis=0).T for corner in some.T)
    most = np.array([[width], [height]], np.float32)
    low, high = np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)
    across, down = np.clip(high, 0, most) - np.clip(low, 0, most)
    cells = down + np.minimum(np.abs(doubled(a, b, c)) / 2, across * down)
    return float(cells.sum(dtype=float)) * len(faces) / len(some)


def doubled(a: Singles, b: Singles, c: Singles) -> Singles:
    """Twice the areas of triangles with corners (2 or more, m): above 0 where they run clockwise, y downward."""
    product: Singles = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    return product


def _pixels(points: Singles, faces: Faces, width: int, height: int) -> Iterator[tuple[Rows, Rows, Singles]]:
    """Triangle, pixel and depth of all the pixels that some triangles cover, in batches."""
    top, middle, bottom = _from_top(points, faces)
    begins, ends = _first_inside(top[1], height), _first_inside(bottom[1], height)
    there = np.flatnonzero(ends > begins)
    for some in _batches(there, ends - begins):
        count = ends[some] - begins[some]
        face = np.repeat(some, count)
        row = _within(count) + begins[face]
        at = row + np.float32(0.5)
        edge = _crossing(top[:, face], bottom[:, face], at)
        upper = at < middle[1, face]
        bend = middle[:, face]
        other = _crossing(np.where(upper, top[:, face], bend), np.where(upper, bend, bottom[:, face]), at)
        swap = edge[0] > other[0]
        left, right = np.where(swap, other, edge), np.where(swap, edge, other)
        for run, column in _columns(left[0], right[0], width):
            share = (column + np.float32(0.5) - left[0, run]) / (right[0, run] - left[0, run])
            yield face[run], row[run].astype(np.intp) * width + column, left[1, run] + (right - left)[1, run] * share


def _columns(left: Singles, right: Singles, width: int) -> Iterator[tuple[Rows, Counts]]:
    """Run and column of all the pixels whose middles lie between left and right, in batches."""
    begins, ends = _first_inside(left, width), _first_inside(right, width)
    there = np.flatnonzero(ends > begins)
    for some in _batches(there, ends - begins):
        count = ends[some] - begins[some]
        run = np.repeat(some, count)
        yield run, _within(count) + begins[run]


def _from_top(points: Singles, faces: Faces) -> list[Singles]:
    """The corners (3, m) of triangles, the highest in the picture first.

    Of two as high the one to the left is first: an edge then runs the same way in both its triangles, and rounds alike.
    """
    corners = [np.take(points, corner, axis=0).T for corner in faces.T]
    for one, other in ((0, 1), (1, 2), (0, 1)):
        a, b = corners[one], corners[other]
        swap = (a[1] > b[1]) | ((a[1] == b[1]) & (a[0] > b[0]))
        corners[one], corners[other] = np.where(swap, b, a), np.where(swap, a, b)
    return corners


def _first_inside(place: Singles, most: int) -> Counts:
    """The first pixel whose middle is at a place or after it."""
    first: Counts = np.clip(np.ceil(place - np.float32(0.5)), 0, most).astype(np.int32)
    return first


def _crossing(begin: Singles, end: Singles, at: Singles) -> Singles:
    """(2, m): to the right and depth, where edges that run downward cross a height."""
    height = end[1] - begin[1]
    share = np.divide(at - begin[1], height, out=np.zeros_like(height), where=height > 0)
    return np.stack([begin[0] + (end[0] - begin[0]) * share, begin[2] + (end[2] - begin[2]) * share])


def _within(counts: NDArray[Any]) -> Counts:
    """0, 1, 2 ... for each count, one after another."""
    ends = np.cumsum(counts, dtype=np.int32)
    within: Counts = np.arange(ends[-1], dtype=np.int32) - np.repeat(ends - counts, counts)
    return within


def _batches(there: Rows, counts: Counts) -> Iterator[Rows]:
    """Parts of `there` whose counts add up to about as many cells as are taken at a time."""
    totals = np.cumsum(counts[there], dtype=np.int64)
    begin = 0
    while begin < len(there):
        done = totals[begin - 1] if begin else 0
        end = max(int(np.searchsorted(totals, done + _CELLS, side="right")), begin + 1)
        yield there[begin:end]
        begin = end
