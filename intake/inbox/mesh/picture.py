"""Pictures of scans: one arch from its occlusal side, and two arches together from the front and from both sides."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from intake.domain.scan_figures import JawKind
from intake.inbox.mesh.captions import Captions, captioned, line_height
from intake.inbox.mesh.drawable import Drawable, middle_of
from intake.inbox.mesh.mesh import Mesh
from intake.inbox.mesh.scale_bar import scale_bar
from intake.inbox.mesh.shading import INSIDE, LOWER, UPPER, Drawing, Frame, Scene, draw
from intake.inbox.mesh.stance import stance
from intake.inbox.mesh.views import Camera, ViewName, views_of_one, views_of_two

GROUND, INK = "#fafbfb", "#172126"
"""Of a light window."""
SIDES: tuple[ViewName, ...] = ("front", "right", "left")
TITLES: dict[ViewName, str] = {
    "occlusal": "Occlusal",
    "front": "Front",
    "right": "Patient’s right side",
    "left": "Patient’s left side",
}
_SIDE_GUESSED = "closed surface: the side is a guess"
_INSIDE_OUT = "inside out, or the scan of an impression"
_SOME = 0.02
"""The share of a picture that shows the inside of a surface and is worth a word."""


def occlusal_picture(
    mesh: Mesh, jaw: JawKind | None, millimetres: float | None, size: int = 512, ground: str = GROUND, ink: str = INK
) -> bytes:
    """One arch, seen on its chewing surfaces, as PNG.

    An open scan is seen along its mean normal from the side on which it bulges, so that one whose triangles run the
    wrong way shows its inside, in another tint and in words. Of a closed surface the side is a guess, and the picture
    says so. The front teeth are at the top (`views_of_one`).

    Args:
        mesh: Of at least one triangle with an area.
        jaw: What it is taken for; None where nobody knows.
        millimetres: How many mm one unit of the file is; None where nobody knows.
        size: Width and height in pixels, at least 128.
        ground: What it lies on, `#rrggbb`.
        ink: The colour of the words.
    """
    drawable = Drawable.of(mesh)
    lies = stance(drawable)
    camera = views_of_one(lies, jaw)["occlusal"]
    scene = Scene((drawable,), (UPPER,))
    notes = [*((_SIDE_GUESSED,) if not lies.sure else ()), *((_INSIDE_OUT,) if lies.inside_out else ())]
    frame = _fitted(scene, (camera,), size, size, len(notes))[0]
    drawing = draw(scene, camera, frame)
    captions = Captions(
        jaw.capitalize() if jaw else "Scan", tuple(notes), _key(drawing), scale_bar(frame.scale, millimetres, size)
    )
    return captioned(drawing.pixels, captions, ground, ink)


def pair_pictures(
    upper: Mesh,
    lower: Mesh,
    millimetres: float | None,
    width: int = 512,
    height: int = 384,
    ground: str = GROUND,
    ink: str = INK,
) -> tuple[bytes, bytes, bytes]:
    """Two arches as they lie in one frame, the upper above: the front, the right side and the left side, as PNG.

    Right and left are the patient's: the right side is seen by one who stands at the patient's right hand, and shows
    the front teeth on the picture's right. They follow from where the front teeth were found, so a picture whose front
    teeth are at the back has its sides changed over as well. All three are drawn equally large.
    """
    middle = middle_of(upper, lower)
    drawables = Drawable.of(upper, middle), Drawable.of(lower, middle)
    views = views_of_two(*drawables)
    scene = Scene(drawables, (UPPER, LOWER))
    frames = _fitted(scene, [views[side] for side in SIDES], width, height)

    def picture(side: ViewName, frame: Frame) -> bytes:
        drawing = draw(scene, views[side], frame)
        captions = Captions(
            TITLES[side],
            (),
            _key(drawing, (UPPER, "upper"), (LOWER, "lower")),
            scale_bar(frame.scale, millimetres, width),
        )
        return captioned(drawing.pixels, captions, ground, ink)

    front, right, left = (picture(side, frame) for side, frame in zip(SIDES, frames, strict=True))
    return front, right, left


def _key(drawing: Drawing, *tints: tuple[str, str]) -> tuple[tuple[str, str], ...]:
    """What the tints of a drawing mean; the inside is named where it is seen."""
    return (*tints, (INSIDE, "inside")) if drawing.inside > _SOME else tints


def _fitted(scene: Scene, cameras: Sequence[Camera], width: int, height: int, notes: int = 0) -> list[Frame]:
    """A frame for each camera, in one scale, such that all of the scene shows between the words."""
    line = line_height(width)
    top, bottom, aside = (2 + notes) * line, 2 * line, line / 2
    boxes = [_box(scene, camera) for camera in cameras]
    room = np.array([width - 2 * aside, height - top - bottom])
    scale = min(float((room / np.maximum(high - low, 1e-12)).min()) for low, high in boxes)
    frames = []
    for low, high in boxes:
        right, up = (low + high) / 2 * scale
        frames.append(Frame(width, height, scale, (width / 2 - right, (top + height - bottom) / 2 + up)))
    return frames


def _box(scene: Scene, camera: Camera) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The least and the greatest to the right and up, as a camera sees a scene."""
    flat = [drawable.corners @ camera.axes[:2].T.astype(np.float32) for drawable in scene.drawables]
    low, high = np.min([f.min(axis=0) for f in flat], axis=0), np.max([f.max(axis=0) for f in flat], axis=0)
    return low.astype(np.float64), high.astype(np.float64)
