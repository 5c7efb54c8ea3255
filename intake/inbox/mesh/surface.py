"""What a reader takes out of a file, before it is made sound, and the most that any file may hold."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from intake.inbox.mesh.mesh import MeshRefused, Unit

HEAD = 65_536
"""So many bytes of a file tell what it is."""
MOST_BYTES = 512_000_000
MOST_TRIANGLES = 10_000_000
"""Twenty times the largest scan of an arch that was seen; as binary STL they are 500 MB."""
MOST_POINTS = 3 * MOST_TRIANGLES

NO_TRIANGLES = "The file holds no triangles."
CUT_SHORT = "The file was cut short"
TRAILING = "Something that is no part of the mesh follows it in the file; it was passed over."

Points = NDArray[np.floating[Any]]
Rows = NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Surface:
    """Points and triangles as they stand in a file.

    Attributes:
        points: (n, 3), of float32 or float64, a copy that may be changed.
        corners: (m, 3), rows of `points`, not yet known to be rows of it; None where each three points are a triangle.
        unit: The unit that the file states.
        remarks: What was odd about it, in sentences.
    """

    points: Points
    corners: Rows | None
    unit: Unit | None = None
    remarks: tuple[str, ...] = ()


def refuse_too_many(points: int, triangles: int) -> None:
    """Raises MeshRefused where a file says, or turns out, to hold more than any scan does."""
    if points > MOST_POINTS or triangles > MOST_TRIANGLES:
        raise MeshRefused(f"The file holds more than {MOST_TRIANGLES:,} triangles, or points for as many.")


def fans(corners: Rows, counts: NDArray[np.int64]) -> Rows:
    """Polygons cut into triangles, each from its first corner: right where a polygon is convex, as those of a scan are.

    Args:
        corners: (sum of counts,), the corners of one polygon after another.
        counts: (k,), how many corners each polygon has.

    Returns:
        (m, 3), the triangles in the order of their polygons.

    Raises:
        MeshRefused: where a polygon has fewer than three corners, or there are too many.
    """
    if not len(counts):
        return np.empty((0, 3), np.int32)
    if counts.min() < 3:
        raise MeshRefused("The file has a face with fewer than three corners.")
    if counts.max() == 3:
        return corners.reshape(-1, 3)
    each = counts - 2
    refuse_too_many(0, int(each.sum()))
    first = np.repeat(np.cumsum(counts) - counts, each)
    step = np.arange(len(first)) - np.repeat(np.cumsum(each) - each, each)
    triangles: Rows = corners[np.stack([first, first + step + 1, first + step + 2], axis=1)]
    return triangles
