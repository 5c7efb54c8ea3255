"""Upper or lower by shape alone: a second opinion beside the file's name, given only where the shape speaks plainly."""

import numpy as np
from numpy.typing import NDArray

from intake.inbox.mesh.extents import Spread
from intake.inbox.mesh.patches import Floats, Patches

_LENGTH = 62.0
"""The longest extent of a full arch in mm, amid those measured: lengths below are of an arch made that long."""
OPEN_STRENGTH = 0.2
"""The least mean normal of an open scan: 0.32 was the weakest that was measured, closed shells have about 0."""
_FULL_ARCH = 0.6
"""Second extent to longest: below, it is a part of an arch."""
_MOLARS = (0.55, 0.85)
"""Where the molars stand, as shares of the depth from the front teeth back."""
_FEWEST = 200
"""Triangles about the molars: with fewer, there is no shape to see."""
_SQUARE = 3.0
_SQUARES = 30
"""The plan of an arch is drawn on so many squares a side."""
_ROWS = 8
"""The molars are looked at in so many rows: toward the back the arch widens, and its cusps lie higher or lower."""
_CROWN = 3.0
"""So deep below the cusps the crowns are at their widest."""
_GUM = (6.0, 11.0)
"""How deep below the cusps the inner walls are gum and no longer teeth, which stand upright in both jaws."""
_STRONG = 0.6
_VAULT = 6.0
"""The least depth of a palate below the cusps."""


def jaw_score(patches: Patches, spread: Spread, extents: tuple[float, float, float]) -> float | None:
    """Above 0 like an upper, below 0 like a lower, at most 1 either way; None unless the shape plainly is that of one.

    Seen along the molars, an upper closes over the midline in a vault into which its inner walls slope; a lower leaves
    the tongue its room, and its inner walls stand upright. Both signs must agree: an upper without its palate says
    nothing. The figures that part the two are common practice, no source.
    """
    strength = float(np.linalg.norm(patches.mean_normal))
    if strength < OPEN_STRENGTH or extents[1] < _FULL_ARCH * extents[0] or len(patches.areas) < _FEWEST:
        return None
    across, depth, row = _molars(patches, spread, patches.mean_normal / strength, _LENGTH / extents[0])
    slope = _wall_slope(across, depth, row) if len(across) >= _FEWEST else None
    if slope is None:
        return None
    inner_width = 2 * float(np.quantile(across, 0.02))
    vault_depth = float(np.median(depth[across < inner_width / 2 + 3]))
    room = np.clip((inner_width - 12) / 8, -1, 1)  # none under a palate, some 25 mm for a tongue
    upright = np.clip((slope + 0.4) / 0.2, -1, 1)
    score = -float(room + upright) / 2
    return score if abs(score) >= _STRONG and (score < 0 or vault_depth > _VAULT) else None


def _molars(
    patches: Patches, spread: Spread, occlusal: Floats, scale: float
) -> tuple[Floats, Floats, NDArray[np.intp]]:
    """Of the patches about the molars: the way from the midline, the depth below the cusps, the row that each is in."""
    along = np.eye(3) - np.outer(occlusal, occlusal)
    _, axes = np.linalg.eigh(along @ spread.moment @ along)  # first the occlusal direction: nothing is left along it
    frame = np.stack([axes[:, 1], axes[:, 2], occlusal])
    one, other, height = ((patches.centres @ axis - spread.middle @ axis) * scale for axis in frame)
    plan = _plan(one, other)
    across, back = (one, other) if _lopsided(plan) < _lopsided(plan.T) else (other, one)
    if _narrow_behind(plan if across is one else plan.T):
        back = -back
    begin, end = (back.min() + share * np.ptp(back) for share in _MOLARS)
    molars = (back > begin) & (back < end)
    across, back, height = np.abs(across[molars]), back[molars], height[molars]
    row = np.minimum(_ROWS * (back - begin) / max(end - begin, _SQUARE), _ROWS - 1).astype(np.intp)
    depth = np.zeros(len(height))
    for number in np.unique(row):
        here = row == number
        depth[here] = np.quantile(height[here], 0.98) - height[here]
    return across, depth, row


def _plan(one: Floats, other: Floats) -> NDArray[np.bool_]:
    """The arch as seen from above: which squares hold a part of it. The middle is the centre of gravity."""
    plan = np.zeros((_SQUARES, _SQUARES), dtype=np.bool_)
    plan[tuple((np.clip(way / _SQUARE + _SQUARES / 2, 0, _SQUARES - 1)).astype(np.intp) for way in (one, other))] = True
    return plan


def _lopsided(plan: NDArray[np.bool_]) -> int:
    """How many squares a mirror of the first axis changes."""
    return int(np.count_nonzero(plan != plan[::-1]))


def _narrow_behind(plan: NDArray[np.bool_]) -> bool:
    """Whether the arch is narrower at the high end of the second axis than at its low end, as at the front teeth."""
    rows = np.flatnonzero(plan.any(axis=0))
    third = max(len(rows) // 3, 1)
    low, high = (sum(np.ptp(np.flatnonzero(plan[:, row])) for row in some) for some in (rows[:third], rows[-third:]))
    return bool(high < low)


def _wall_slope(across: Floats, depth: Floats, row: NDArray[np.intp]) -> float | None:
    """How the inner half width changes a mm of depth below the crowns; None where the scan ends above the gum."""
    crown = depth < _CROWN
    teeth = np.bincount(row[crown], across[crown], _ROWS) / np.maximum(np.bincount(row[crown], minlength=_ROWS), 1)
    inward = across - teeth[row]
    wall = (inward < 0) & (depth > _GUM[0]) & (depth < _GUM[1])
    if np.count_nonzero(wall & (depth > _GUM[1] - 2)) < _FEWEST // 10:
        return None
    x, y = depth[wall] - depth[wall].mean(), inward[wall] - inward[wall].mean()
    return float((x * y).sum() / (x * x).sum())
