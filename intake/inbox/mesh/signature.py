"""Lengths by which the same scan is known again, wherever it lies and however its file is written."""

import numpy as np

from intake.inbox.mesh.extents import Spread
from intake.inbox.mesh.patches import Patches, slices


def signature_of(patches: Patches, spread: Spread) -> tuple[float, ...]:
    """The root of the area, the three radii of the surface, and the root of the mean cubed distance from its middle.

    No rigid motion and no reordering changes them; neither does a mirror. Other scans differ: the radii say how a
    surface spreads, the cubed distance how its weight lies between the middle and the rim.
    """
    cubes = 0.0
    for some in slices(len(patches.areas)):
        away = patches.centres[some] - spread.middle
        squares = np.einsum("ij,ij->i", away, away)
        cubes += float((patches.areas[some] * squares * np.sqrt(squares)).sum())
    radii = (float(radius) for radius in spread.radii)
    return float(np.sqrt(patches.area)), *radii, float(np.cbrt(cubes / patches.area))
