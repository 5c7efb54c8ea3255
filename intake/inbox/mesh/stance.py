"""How an arch lies in its file: where its chewing surfaces look, and where its front teeth are."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from intake.inbox.mesh.drawable import Drawable, doubled_areas, evenly

Direction = NDArray[np.float64]
Doubles = NDArray[np.float64]

_ENOUGH = 50_000
"""So many triangles, taken out evenly, tell as much as all of them."""
_OPEN = 0.1
"""A closed surface has a mean normal of length 0; the open scans that were measured have one of 0.32 to 0.47."""
_ENOUGH_FOR_A_BOW = 2_000
_GUM = 0.1
"""How much the lower half of a scan counts beside the crowns where the bow of the arch is sought."""


@dataclass(frozen=True, eq=False)
class Stance:
    """Two directions of length 1, at a right angle.

    Attributes:
        occlusal: From the gum to the chewing surfaces and on.
        front: From the molars to the front teeth.
        inside_out: Whether the triangles look into the body from which the surface bulges: they run the wrong way, or
            it is the scan of an impression.
        sure: Whether `occlusal` was seen in the surface. A closed one shows no side: the rougher was taken.
    """

    occlusal: Direction
    front: Direction
    inside_out: bool
    sure: bool


def stance(drawable: Drawable) -> Stance:
    """Finds how one arch lies.

    An open scan looks along its mean normal, whichever way its triangles run; a closed surface along the axis of its
    least extent. Of a part of an arch the
    front is no more than the outside of its bow.
    """
    outward = _outward(drawable)
    faces = evenly(drawable.faces, _ENOUGH)
    centres = np.take(drawable.corners, faces, axis=0).mean(axis=1, dtype=np.float64)
    vectors = doubled_areas(drawable.corners, faces).astype(np.float64) * outward
    areas = np.linalg.norm(vectors, axis=1)
    mean = vectors.sum(axis=0) / areas.sum()
    strength = float(np.linalg.norm(mean))
    sure = strength > _OPEN
    occlusal = mean / strength if sure else _rough_side(centres, vectors, areas)
    return Stance(occlusal, _front(centres, areas, occlusal), outward < 0, sure)


def _outward(drawable: Drawable) -> float:
    """1 where the normals look out of a body, -1 where they look into it, as those of an inside-out scan do.

    A surface that bulges grows when every corner moves along its normal, and teeth bulge more than the gum between
    them is hollow (the first variation of area: it is the integral of twice the mean curvature).
    """
    faces = evenly(drawable.faces, _ENOUGH)
    step = np.float32(drawable.reach / 500)

    def area(by: np.float32) -> float:
        grown = doubled_areas(drawable.corners + drawable.normals * by, faces)
        return float(np.sqrt(np.einsum("ij,ij->i", grown, grown)).sum())

    return 1.0 if area(step) >= area(-step) else -1.0


def _rough_side(centres: Doubles, vectors: Doubles, areas: Doubles) -> Direction:
    """The axis of the least extent, toward the side whose triangles lie the less flat across it.

    Both sides of a closed surface throw the same shadow; a base throws it with flat triangles, cusps and fissures with
    steep ones. So it was in the crowns of both arches of one patient; more were not at hand.
    """
    away = centres - areas @ centres / areas.sum()
    _, axes = np.linalg.eigh((away * areas[:, None]).T @ away)
    axis: Direction = axes[:, 0]
    along = vectors @ axis
    flatness = np.divide(along**4, areas**3, out=np.zeros_like(areas), where=areas > 0)
    return axis if flatness[along > 0].sum() <= flatness[along < 0].sum() else -axis


def _front(centres: Doubles, areas: Doubles, occlusal: Direction) -> Direction:
    """The direction along which the crowns lie most nearly on a parabola that opens backward.

    Twelve per cent of an arch were cut off anywhere, in 160 trials with real crowns and invented arches: half of the
    directions were within 3 degrees of the middle of the teeth, all within 11.
    """
    right, up = _across(occlusal)
    some = slice(None, None, -(-len(centres) // _ENOUGH_FOR_A_BOW))
    height = centres[some] @ occlusal
    weights = areas[some] * np.where(height >= np.median(height), 1.0, _GUM)
    weights /= weights.sum()
    flat = centres[some] @ np.stack([right, up], axis=1)
    flat -= weights @ flat
    turns = [np.array([np.cos(angle), np.sin(angle)]) for angle in np.radians(range(360))]
    cos, sin = max(turns, key=lambda turn: _parabolic(flat @ turn, flat @ [-turn[1], turn[0]], weights))
    front: Direction = cos * right + sin * up
    return front


def _parabolic(along: Doubles, aside: Doubles, weights: Doubles) -> float:
    """How nearly places about their mean lie on aside² = a - b along + c aside: 1 exactly, -1 with b below 0.

    It is the partial correlation of `along` with the square of `aside`, with its sign changed.
    """
    square = aside**2
    spread = float(weights @ square)
    if not spread > 0:
        return -1.0
    square = square - spread - aside * (weights @ (square * aside) / spread)
    straight = along - aside * (weights @ (along * aside) / spread)
    size = np.sqrt((weights @ square**2) * (weights @ straight**2))
    return float(-(weights @ (square * straight)) / size) if size > 0 else -1.0


def _across(direction: Direction) -> tuple[Direction, Direction]:
    """Two directions at a right angle to one and to each other, always the same two."""
    one = np.cross(direction, np.eye(3)[np.argmin(np.abs(direction))])
    one /= np.linalg.norm(one)
    return one, np.cross(direction, one)
