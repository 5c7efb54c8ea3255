"""How a surface spreads in space: its middle, its principal axes, how far it reaches along them."""

from dataclasses import dataclass

import numpy as np

from intake.inbox.mesh.mesh import Mesh
from intake.inbox.mesh.patches import Floats, Patches, slices


@dataclass(frozen=True, eq=False)
class Spread:
    """A surface as a sheet of even weight."""

    middle: Floats
    """(3,) its centre of gravity."""
    moment: Floats
    """(3, 3) the mean of x xT, x from the middle."""
    axes: Floats
    """(3, 3) the principal axes, one a column, the farthest spread first."""
    radii: Floats
    """(3,) the root of the mean squared distance from the middle along each."""


def spread_of(mesh: Mesh, patches: Patches) -> Spread:
    """The first and second moments of the surface, exact for flat triangles.

    Over a triangle of area A with corners a, b, c and middle g, the integral of x xT is
    A / 12 (a aT + b bT + c cT + 9 g gT): that rule is exact for polynomials of the second degree.
    """
    middle = np.einsum("i,ij->j", patches.areas, patches.centres) / patches.area
    corner_weights = np.zeros(len(mesh.vertices))
    for corner in mesh.faces.T:
        corner_weights += np.bincount(corner, patches.areas, len(mesh.vertices))
    moment = _moment(mesh.vertices, corner_weights, middle) + 9 * _moment(patches.centres, patches.areas, middle)
    moment /= 12 * patches.area
    squares, axes = np.linalg.eigh(moment)
    return Spread(middle, moment, axes[:, ::-1], np.sqrt(np.maximum(squares[::-1], 0)))


def _moment(points: Floats, weights: Floats, middle: Floats) -> Floats:
    moment = np.zeros((3, 3))
    for some in slices(len(points)):
        away = points[some] - middle
        moment += np.einsum("ij,ik->jk", away * weights[some, None], away)
    return moment


def extents_along(mesh: Mesh, axes: Floats) -> tuple[float, float, float]:
    """How far the mesh reaches along each axis (a column each), longest first."""
    longest, second, third = sorted((float(np.ptp(mesh.vertices @ axis)) for axis in axes.T), reverse=True)
    return longest, second, third
