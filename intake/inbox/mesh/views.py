"""Where the eye stands: the four views of an arch, and each of them turned by hand."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from intake.domain.scan_figures import JawKind
from intake.inbox.mesh.drawable import Drawable
from intake.inbox.mesh.stance import Direction, Stance, stance

ViewName = Literal["occlusal", "front", "right", "left"]
_OPPOSED = -0.3
"""Two arches look at one another where the cosine between their mean normals is below it; true pairs have -0.64."""
_APART = 0.05
"""The share of an arch's reach by which the upper must lie below the lower to be taken for upside down."""


@dataclass(frozen=True, eq=False)
class Camera:
    """An eye far away, so that lengths across the picture are true.

    Attributes:
        axes: (3, 3), its rows of length 1: to the picture's right, up in it, and out of it toward the eye.
    """

    axes: Direction

    def turned(self, yaw: float, pitch: float) -> "Camera":
        """The same, after what it looks at was turned: in degrees, its near side to the right, then downward."""
        y, p = np.radians([yaw, pitch])
        right = np.array([[np.cos(y), 0, np.sin(y)], [0, 1, 0], [-np.sin(y), 0, np.cos(y)]])
        down = np.array([[1, 0, 0], [0, np.cos(p), -np.sin(p)], [0, np.sin(p), np.cos(p)]])
        return Camera(down @ right @ self.axes)


def views_of_one(stance: Stance, jaw: JawKind | None) -> dict[ViewName, Camera]:
    """The views of one arch.

    In the occlusal view the front teeth are at the top, of an upper as of a lower (common practice, no source). The
    others show an upper with its teeth downward, anything else with its teeth upward.
    """
    up = -stance.occlusal if jaw == "upper" else stance.occlusal
    return _views(up, stance.front, stance.occlusal)


def views_of_two(upper: Drawable, lower: Drawable) -> dict[ViewName, Camera]:
    """The views of two arches about one middle, the upper above; the occlusal view looks down on both from above.

    Where the arches do not look at one another, the upper stands upright and the lower shows as it lies.
    """
    one, other = stance(upper), stance(lower)
    up = other.occlusal - one.occlusal if one.occlusal @ other.occlusal < _OPPOSED else -one.occlusal
    up = up / np.linalg.norm(up)
    if not one.sure and not other.sure:  # then it is sooner told from where they lie
        rise = float(upper.corners.mean(axis=0) @ up - lower.corners.mean(axis=0) @ up)
        up = -up if rise < -_APART * upper.reach else up
    front = one.front + other.front if one.front @ other.front > 0 else one.front
    front = front - front @ up * up
    return _views(up, front / np.linalg.norm(front), up)


def _views(up: Direction, front: Direction, occlusal: Direction) -> dict[ViewName, Camera]:
    """The views by the directions of the body; its left follows from up and front, as in every human being."""
    left = np.cross(up, front)
    return {
        "occlusal": _camera(occlusal, front),
        "front": _camera(front, up),
        "right": _camera(-left, up),
        "left": _camera(left, up),
    }


def _camera(toward: Direction, up: Direction) -> Camera:
    return Camera(np.stack([np.cross(up, toward), up, toward]))
