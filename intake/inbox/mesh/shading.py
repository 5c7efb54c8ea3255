"""How a surface looks: lit from the upper left, darker in its hollows, its inside in another tint."""

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from intake.inbox.mesh.drawable import Drawable, Singles
from intake.inbox.mesh.raster import doubled, rasterise, work_of
from intake.inbox.mesh.views import Camera

Pixels = NDArray[np.uint8]
"""(height, width, 4): red, green, blue, and how much of the pixel is covered."""

UPPER, LOWER, INSIDE = "#e6d5b4", "#a9c4d6", "#9c6f92"
"""The tints: of a single arch or an upper, of the lower beside it, and of the inside of any surface."""

_LIGHTS = ((0.62, (-0.45, 0.65, 0.62)), (0.14, (0.7, -0.1, 0.7)), (0.16, (0.0, 0.0, 1.0)))
"""How strong, and where it stands: to the right, up, toward the eye. The first shows the form, the others soften it."""
_EVERYWHERE = 0.28
_DARKEST_HOLLOW = 0.45
_PIXELS = 1 << 15
"""So many are coloured at a time, which bounds the memory."""
_MOST_WORK = 8e6
"""Rows and pixels; a scan of 250,000 triangles at 1024 pixels makes 1.1 million."""


@dataclass(frozen=True)
class Frame:
    """The paper of a picture.

    Attributes:
        width: In pixels.
        height: In pixels.
        scale: Pixels to a unit of the mesh.
        middle: Where the drawable's own middle comes to lie, from the upper left corner.
    """

    width: int
    height: int
    scale: float
    middle: tuple[float, float]

    def enlarged(self, by: float) -> Self:
        """The same picture with more pixels, or with fewer."""
        x, y = self.middle
        return type(self)(round(self.width * by), round(self.height * by), self.scale * by, (x * by, y * by))


@dataclass(frozen=True, eq=False)
class Scene:
    """Drawables about one middle, each with its tint `#rrggbb`."""

    drawables: tuple[Drawable, ...]
    tints: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Drawing:
    """What was drawn, and the share of it that shows the inside of a surface, 0 to 1."""

    pixels: Pixels
    inside: float


def draw(scene: Scene, camera: Camera, frame: Frame, finer: int = 2) -> Drawing:
    """Draws a scene.

    A mesh whose triangles lie over one another a hundredfold, which no scan is, is drawn coarser and enlarged: it
    may not hold up the desk.

    Args:
        scene: What.
        camera: From where.
        frame: On which paper.
        finer: So many times finer it is drawn each way, and then averaged.
    """
    fine = frame.enlarged(finer)
    drawable = _merged(scene.drawables)
    points = _points(drawable.corners, camera, fine)
    if work_of(points, drawable.faces, fine.width, fine.height) > _MOST_WORK and min(frame.width, frame.height) > 16:
        return (
            draw(scene, camera, frame, 1)
            if finer > 1
            else _enlarged(draw(scene, camera, frame.enlarged(0.5), 1), frame)
        )
    seen = rasterise(points, drawable.faces, fine.width, fine.height)
    sight = _Sight(scene, drawable, points, camera)
    total = np.zeros((4, frame.height * frame.width), np.float32)
    inside = 0
    for down in range(finer):
        for right in range(finer):
            faces = seen.faces[down::finer, right::finer].ravel()
            there = np.flatnonzero(faces >= 0)
            for at in np.split(there, range(_PIXELS, len(there), _PIXELS)):
                row, column = np.divmod(at, frame.width)
                place = np.stack([column * finer + (right + 0.5), row * finer + (down + 0.5)]).astype(np.float32)
                inside += _add(total, at, sight, faces[at], place)
    covered = total[3]
    light = 1 - _hollows(seen.faces[::finer, ::finer] >= 0, seen.depths[::finer, ::finer] / np.float32(finer)).ravel()
    total[:3] *= np.divide(light, covered, out=np.zeros_like(covered), where=covered > 0)
    share = inside / max(float(covered.sum()), 1)
    covered *= 255 / finer**2
    pixels = np.ascontiguousarray(np.round(total).astype(np.uint8).T)
    return Drawing(pixels.reshape(frame.height, frame.width, 4), share)


class _Sight:
    """A scene as one camera sees it: where its corners are, how bright from both sides, and the tints."""

    def __init__(self, scene: Scene, drawable: Drawable, points: Singles, camera: Camera) -> None:
        self.points, self.faces = points, drawable.faces
        self.bright = np.concatenate([_brightness(side, camera) for side in (drawable.normals, -drawable.normals)])
        self.ends = np.cumsum([len(part.faces) for part in scene.drawables])
        self.tints = np.array([_rgb(tint) for tint in (*scene.tints, INSIDE)], np.float32).T


def _add(total: Singles, at: NDArray[np.intp], sight: _Sight, faces: NDArray[np.int32], place: Singles) -> int:
    """Adds colour and cover of faces, each at a place in it, to some of the pixels of a total (4, k).

    Returns:
        How many show an inside.
    """
    corners = np.take(sight.faces, faces, axis=0).T
    shares, back = _shares(sight.points, corners, place)
    behind = back * np.int32(len(sight.points))
    light = np.zeros(len(at), np.float32)
    for corner, share in zip(corners, shares, strict=True):
        light += np.take(sight.bright, corner + behind) * share
    tint = np.where(back, len(sight.ends), np.searchsorted(sight.ends, faces, side="right"))
    for plane, tints in zip(total, sight.tints, strict=False):
        plane[at] += np.minimum(np.take(tints, tint) * light, 255)
    total[3, at] += 1
    return int(back.sum())


def _merged(drawables: tuple[Drawable, ...]) -> Drawable:
    if len(drawables) == 1:
        return drawables[0]
    firsts = np.cumsum([0, *(len(drawable.corners) for drawable in drawables)]).astype(np.int32)
    return Drawable(
        np.concatenate([drawable.corners for drawable in drawables]),
        np.concatenate([drawable.normals for drawable in drawables]),
        np.concatenate([drawable.faces + first for drawable, first in zip(drawables, firsts[:-1], strict=True)]),
    )


def _enlarged(drawing: Drawing, frame: Frame) -> Drawing:
    rows, columns = (
        np.arange(to) * of // to for to, of in zip((frame.height, frame.width), drawing.pixels.shape, strict=False)
    )
    return Drawing(drawing.pixels[rows[:, None], columns], drawing.inside)


def _points(corners: Singles, camera: Camera, frame: Frame) -> Singles:
    points: Singles = corners @ (camera.axes.T * frame.scale).astype(np.float32)
    points[:, 0] += np.float32(frame.middle[0])
    points[:, 1] = np.float32(frame.middle[1]) - points[:, 1]
    return points


def _shares(points: Singles, corner: NDArray[np.int32], place: Singles) -> tuple[Singles, NDArray[np.int32]]:
    """How much each corner of a triangle counts at a place in it, (3, k), and 1 where its back is seen, else 0."""
    a, b, c = (np.take(points, of, axis=0).T for of in corner)
    area = doubled(a, b, c)
    of_a, of_b = (
        np.clip(np.divide(part, area, out=np.zeros_like(area), where=area != 0), 0, 1)
        for part in (doubled(b, c, place), doubled(c, a, place))
    )
    return np.stack([of_a, of_b, np.clip(1 - of_a - of_b, 0, 1)]), (area > 0).astype(np.int32)


def _brightness(normals: Singles, camera: Camera) -> Singles:
    bright = np.full(len(normals), _EVERYWHERE, np.float32)
    for strength, stands in _LIGHTS:
        direction = np.array(stands) / np.linalg.norm(stands) @ camera.axes
        bright += np.float32(strength) * np.clip(normals @ direction.astype(np.float32), 0, None)
    return bright


def _hollows(there: NDArray[np.bool_], depths: Singles) -> Singles:
    """How much darker a pixel is for lying behind those about it, 0 to 1.

    Luft, Colditz and Deussen, Image enhancement by unsharp masking the depth buffer, 2006: its dark half.
    """
    size = max(3, round(min(there.shape) / 40)) | 1
    depth = np.where(there, depths, np.float32(0))
    share = ndimage.uniform_filter(there.astype(np.float32), size)
    mean = ndimage.uniform_filter(depth, size)
    behind = np.divide(mean, share, out=np.zeros_like(mean), where=share > 1e-6) - depth
    return np.where(there, np.clip(behind / size, 0, _DARKEST_HOLLOW), np.float32(0))


def _rgb(colour: str) -> tuple[int, ...]:
    return tuple(int(colour[at : at + 2], 16) for at in (1, 3, 5))
