"""Scans to be turned by hand: a picture from any side, coarse at once and fine at rest."""

from typing import Self

from intake.domain.scan_figures import JawKind
from intake.inbox.mesh.drawable import Drawable, middle_of
from intake.inbox.mesh.mesh import Mesh
from intake.inbox.mesh.scale_bar import ScaleBar, scale_bar
from intake.inbox.mesh.shading import INSIDE, LOWER, UPPER, Frame, Pixels, Scene, draw
from intake.inbox.mesh.stance import stance
from intake.inbox.mesh.thinning import thinned
from intake.inbox.mesh.views import Camera, ViewName, views_of_one, views_of_two

_QUICK_FACES = 40_000
_ROOM = 0.47
"""The reach of what is shown, as a share of the smaller side of the picture: it fits from every side."""


class Turntable:
    """One arch or two, worked out once and then drawn from any side. It never changes: any thread may draw it.

    Attributes:
        key: Each tint `#rrggbb` and what it means.
        home: The view to begin with.
        millimetres: How many mm one unit of the scans is; None where nobody knows.
    """

    def __init__(
        self,
        scene: Scene,
        views: dict[ViewName, Camera],
        home: ViewName,
        key: tuple[tuple[str, str], ...],
        millimetres: float | None,
    ) -> None:
        self.key, self.home, self.millimetres = key, home, millimetres
        self._scene, self._views = scene, views
        total = sum(len(drawable.faces) for drawable in scene.drawables)
        self._quick = Scene(
            tuple(thinned(drawable, _QUICK_FACES * len(drawable.faces) // total) for drawable in scene.drawables),
            scene.tints,
        )
        self._reach = max(drawable.reach for drawable in scene.drawables)

    @classmethod
    def of_one(cls, mesh: Mesh, jaw: JawKind | None, millimetres: float | None = None) -> Self:
        """One scan, at first seen on its chewing surfaces."""
        drawable = Drawable.of(mesh)
        key = ((UPPER, jaw or "scan"), (INSIDE, "inside"))
        return cls(Scene((drawable,), (UPPER,)), views_of_one(stance(drawable), jaw), "occlusal", key, millimetres)

    @classmethod
    def of_two(cls, upper: Mesh, lower: Mesh, millimetres: float | None = None) -> Self:
        """Two arches as they lie in one frame, at first seen from the front."""
        middle = middle_of(upper, lower)
        drawables = Drawable.of(upper, middle), Drawable.of(lower, middle)
        key = ((UPPER, "upper"), (LOWER, "lower"), (INSIDE, "inside"))
        return cls(Scene(drawables, (UPPER, LOWER)), views_of_two(*drawables), "front", key, millimetres)

    def frame(
        self,
        yaw: float,
        pitch: float,
        width: int,
        height: int,
        view: ViewName | None = None,
        zoom: float = 1,
        aside: tuple[float, float] = (0, 0),
        quick: bool = False,
    ) -> Pixels:
        """What is seen, (height, width, 4) of red, green, blue and cover.

        Args:
            yaw: By how many degrees the near side is turned to the picture's right, from the view.
            pitch: By how many degrees the near side is then turned downward.
            width: In pixels.
            height: In pixels.
            view: Where the turning begins; without one, at `home`.
            zoom: How much larger than it just fits.
            aside: How far to the right and downward the middle is moved before zooming, as a share of the smaller side.
            quick: Coarse and without smoothing, for a hand that is turning.
        """
        x, y = (width / 2 + aside[0] * min(width, height) * zoom, height / 2 + aside[1] * min(width, height) * zoom)
        frame = Frame(width, height, self._scale(width, height, zoom), (x, y))
        camera = self._views[view or self.home].turned(yaw, pitch)
        return draw(self._quick if quick else self._scene, camera, frame, 1 if quick else 2).pixels

    def bar(self, width: int, height: int, zoom: float = 1) -> ScaleBar:
        """The scale bar of such a frame."""
        return scale_bar(self._scale(width, height, zoom), self.millimetres, width)

    def _scale(self, width: int, height: int, zoom: float) -> float:
        return min(width, height) * _ROOM / self._reach * zoom
