"""How a scan is held before the eye, as a value, and in words."""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from intake.inbox.mesh.views import ViewName

VIEWS: "tuple[ViewName, ...]" = ("occlusal", "front", "right", "left")
"""In the order of their keys."""
_WORDS = {
    "occlusal": "Occlusal",
    "front": "Front",
    "right": "Patient’s right side",
    "left": "Patient’s left side",
}
_SMALLEST, _LARGEST = 0.5, 12.0
_FARTHEST = 0.5


@dataclass(frozen=True)
class Pose:
    """A view, and what was done to it by hand.

    Attributes:
        view: One of `VIEWS`.
        yaw: Degrees by which the near side is turned to the right, over -180 to 180.
        pitch: Degrees by which the near side is then turned downward, -90 to 90.
        zoom: How many times as large as it just fits.
        aside: How far it is moved to the right and downward, as shares of the picture's smaller side before zooming.
    """

    view: "ViewName" = VIEWS[0]
    yaw: float = 0.0
    pitch: float = 0.0
    zoom: float = 1.0
    aside: tuple[float, float] = (0.0, 0.0)

    def turned(self, right: float, down: float) -> "Pose":
        """The near side turned on by so many degrees; downward no farther than to the pole."""
        yaw = 180 - (180 - self.yaw - right) % 360
        return replace(self, yaw=yaw, pitch=min(max(self.pitch + down, -90.0), 90.0))

    def zoomed(self, by: float) -> "Pose":
        """So many times as large, within what can be of use."""
        return replace(self, zoom=min(max(self.zoom * by, _SMALLEST), _LARGEST))

    def moved(self, right: float, down: float) -> "Pose":
        """Moved by shares of the picture's smaller side as it shows, as far as there is something to see."""
        x, y = (
            min(max(before + by / self.zoom, -_FARTHEST), _FARTHEST)
            for before, by in zip(self.aside, (right, down), strict=True)
        )
        return replace(self, aside=(x, y))

    @property
    def words(self) -> str:
        """What is seen, for the picture's head and for who cannot see it: `Front, turned 20° to the right`."""
        said = [_WORDS[self.view]]
        turns = []
        if round(self.yaw):
            turns.append(f"{abs(round(self.yaw))}° to the {'right' if self.yaw > 0 else 'left'}")
        if round(self.pitch):
            turns.append(f"{abs(round(self.pitch))}° {'down' if self.pitch > 0 else 'up'}")
        if turns:
            said.append("turned " + " and ".join(turns))
        if round(self.zoom, 1) != 1:
            said.append(f"{self.zoom:.1f} times as large")
        return ", ".join(said)
