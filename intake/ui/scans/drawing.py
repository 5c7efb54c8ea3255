"""Draws what is on a turntable behind the window: the newest wish next, and never two of a kind at once."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PySide6.QtGui import QImage

from intake.ui.jobs import Jobs
from intake.ui.scans.pose import Pose

if TYPE_CHECKING:
    from intake.inbox.mesh.turntable import Turntable


def drawn(turntable: "Turntable", pose: Pose, width: int, height: int, quick: bool) -> QImage:
    """What a turntable shows in a pose; may run on any thread."""
    pixels = turntable.frame(
        pose.yaw, pose.pitch, width, height, view=pose.view, zoom=pose.zoom, aside=pose.aside, quick=quick
    )
    image = QImage(pixels.tobytes(), width, height, 4 * width, QImage.Format.Format_RGBA8888)
    return image.convertToFormat(QImage.Format.Format_ARGB32_Premultiplied)


class OneAtATime:
    """Draws one picture after another, each of them shown; of those asked for meanwhile only the newest is drawn.

    Unlike with `Latest`, a picture that is overtaken still shows: a hand that never rests sees the scan turn.
    """

    def __init__(self, jobs: Jobs, done: Callable[[Any], None]) -> None:
        self._jobs, self._done = jobs, done
        self._under_way = False
        self._next: Callable[[], Any] | None = None

    def ask(self, work: Callable[[], Any]) -> None:
        """Draws this after what is being drawn, and instead of what waits."""
        self._next = work
        self._run()

    def forget(self) -> None:
        """Draws nothing of what waits."""
        self._next = None

    def _run(self) -> None:
        if self._next is None or self._under_way:
            return
        work, self._next, self._under_way = self._next, None, True
        self._jobs.run(work, self._back, self._failed, lane="beside")

    def _back(self, drawn: Any) -> None:
        self._under_way = False
        try:
            self._done(drawn)
        finally:
            self._run()

    def _failed(self, error: Exception) -> None:
        self._under_way, self._next = False, None
        raise error  # a drawing has no reason to fail that the desk could act on
