"""The surface of an invented arch: teeth on a curve, gum about them, a palate or room for the tongue.

Upper and lower are made about one contact surface, and neither crosses it: together they are closed without running
through one another. The widths of the teeth are rounded from handbooks of dental anatomy, from memory; the rest is
invented.
"""

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from intake.inbox.mesh.mesh import Mesh

Jaw = Literal["upper", "lower"]
Floats = NDArray[np.float64]

_HALF_WIDTH, _DEPTH, _BLUNT = 24.0, 43.0, 2.6
"""The curve through the teeth: y = -depth (|x| / half width) ** blunt."""
TEETH: dict[Jaw, tuple[float, ...]] = {
    "upper": (8.5, 6.5, 7.5, 7.0, 7.0, 10.0, 9.0),
    "lower": (5.0, 5.5, 7.0, 7.0, 7.0, 11.0, 10.5),
}
"""Widths along the arch from the midline back."""
_FRONT_END, _MOLAR_BEGIN = 18.0, 27.0
_CLEARANCE = 0.04
# Sections across the arch from the cheek inward: (outward offset from the curve, distance behind the contact surface).
_SECTIONS: dict[Jaw, dict[Literal["front", "molar"], tuple[tuple[float, float], ...]]] = {
    "upper": {
        "front": ((6.6, 13.5), (4.6, 8.5), (3.3, 6.2), (2.7, 3.4), (2.0, 0.9), (1.3, 0.0), (0.4, 0.0), (-0.5, 0.0),
                  (-1.2, 0.3), (-2.2, 1.5), (-3.8, 3.6), (-5.0, 5.2)),
        "molar": ((7.8, 13.5), (6.4, 8.0), (5.6, 6.0), (5.3, 3.2), (4.2, 0.7), (2.6, 0.0), (0.9, 0.0), (-0.9, 0.0),
                  (-2.6, 0.0), (-4.3, 0.7), (-5.3, 3.4), (-5.7, 6.2)),
    },
    "lower": {
        "front": ((3.0, 11.5), (1.3, 7.2), (0.4, 5.4), (-0.1, 3.4), (-0.5, 1.4), (-0.9, 0.0), (-1.4, 0.0), (-2.0, 0.0),
                  (-2.8, 0.7), (-3.6, 3.2), (-4.6, 6.4), (-5.9, 11.0)),
        "molar": ((5.2, 12.5), (4.0, 7.6), (3.1, 5.4), (2.8, 3.0), (1.7, 0.6), (0.0, 0.0), (-1.7, 0.0), (-3.4, 0.0),
                  (-5.1, 0.0), (-6.4, 0.7), (-7.2, 3.4), (-8.4, 11.5)),
    },
}  # fmt: skip


def upper_arch(along: int, across: int) -> Mesh:
    """An arch with a palate, of so many points (odd) along and across it."""
    outside = max(round(across * 0.68), 5)
    teeth = strip("upper", along, outside)
    grid = np.concatenate([teeth, _palate(teeth[:, -1], across - outside)], axis=1)
    return welded(grid, along, across, meet=True)


def lower_arch(along: int, across: int) -> Mesh:
    """An arch with room for the tongue, of so many points along and across it."""
    return welded(strip("lower", along, across), along, across)


def curve(position: Floats) -> tuple[Floats, Floats]:
    """Points of the curve and the directions outward, by the way along it from the midline."""
    x = np.linspace(0, _HALF_WIDTH * 1.2, 4000)
    y = -_DEPTH * (x / _HALF_WIDTH) ** _BLUNT
    way = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))])
    at_x = np.interp(np.abs(position), way, x)
    slope = -_DEPTH * _BLUNT / _HALF_WIDTH * (at_x / _HALF_WIDTH) ** (_BLUNT - 1)
    outward = np.stack([-slope * np.sign(position), np.ones_like(slope)], axis=-1)
    outward /= np.linalg.norm(outward, axis=-1, keepdims=True)
    point = np.stack([at_x * np.sign(position), -_DEPTH * (at_x / _HALF_WIDTH) ** _BLUNT], axis=-1)
    return point, outward


def _contact(position: Floats, offset: Floats) -> Floats:
    """The height of the surface between the jaws: cusps in grooves behind, the lower front teeth inside the upper."""
    back = np.clip((np.abs(position) - _FRONT_END) / (_MOLAR_BEGIN - _FRONT_END), 0, 1)
    cusps = (0.7 + 0.15 * np.cos(2 * np.pi * position / 4.6)) * np.cos(2 * np.pi * offset / 5.2)
    overbite = -0.3 - 1.2 * np.tanh((offset + 0.5) / 0.8)
    return back * cusps + (1 - back) * overbite


def strip(jaw: Jaw, along: int, across: int) -> Floats:
    """The teeth and the gum about them, (along, across, 3), from the cheek inward."""
    widths = np.array(TEETH[jaw])
    ends = np.concatenate([[0.0], np.cumsum(widths)])
    position = np.linspace(-ends[-1], ends[-1], along)[:, None]
    tooth = np.clip(np.searchsorted(ends, np.abs(position), side="right") - 1, 0, len(widths) - 1)
    gap = np.abs(2 * (np.abs(position) - ends[tooth]) / widths[tooth] - 1) ** 5
    back = np.clip((np.abs(position) - _FRONT_END) / (_MOLAR_BEGIN - _FRONT_END), 0, 1)

    front_section, molar_section = (np.array(_SECTIONS[jaw][part]) for part in ("front", "molar"))
    mean = (front_section + molar_section) / 2
    knots = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(mean, axis=0), axis=1))])
    at = np.linspace(0, knots[-1], across)
    offset, behind = (
        back * np.interp(at, knots, molar_section[:, axis]) + (1 - back) * np.interp(at, knots, front_section[:, axis])
        for axis in (0, 1)
    )
    crown = np.clip(1 - behind / 6, 0, 1)  # between two teeth the crowns stand back, the gum does not
    middle = offset[:, across // 2][:, None]
    offset = middle + (offset - middle) * (1 - 0.14 * gap * crown)
    behind = behind + _CLEARANCE + 1.3 * gap * crown

    point, outward = curve(position[:, 0])
    flat = point[:, None] + outward[:, None] * offset[..., None]
    away = 1.0 if jaw == "upper" else -1.0
    height = _contact(position, offset) + away * behind
    return np.concatenate([flat, height[..., None]], axis=-1)


def _palate(inner: Floats, columns: int) -> Floats:
    """From the inner side of the teeth to the midline, (along, columns, 3)."""
    back = np.abs(np.linspace(-1, 1, len(inner)))[:, None]
    share = np.arange(1, columns + 1) / columns
    front_y, rear_y = inner[:, 1].max() - 2.0, inner[:, 1].min()
    midline = front_y + (rear_y - front_y) * back**1.3
    midline_z = inner[len(inner) // 2, 2] + 13.0 * (1 - (1 - back) ** 2)
    x = inner[:, :1] * (1 - share)
    y = inner[:, 1:2] + (midline - inner[:, 1:2]) * share
    z = inner[:, 2:] + (midline_z - inner[:, 2:]) * np.sin(np.pi / 2 * share)
    rugae = 0.15 * np.sin(2 * np.pi * y / 3.1) * np.sin(np.pi * share) * (1 - back)
    return np.stack([x, y, z + rugae], axis=-1)


def welded(grid: Floats, along: int, across: int, *, meet: bool = False) -> Mesh:
    """The grid as triangles that look out of the mouth side; where its halves meet, the last column of both is one."""
    rows = np.arange(along * across).reshape(along, across)
    if meet:
        rows[along // 2 + 1 :, -1] = rows[: along // 2, -1][::-1]
    a, b, c, d = rows[:-1, :-1], rows[1:, :-1], rows[1:, 1:], rows[:-1, 1:]
    faces = np.concatenate([np.stack([a, b, c], axis=-1).reshape(-1, 3), np.stack([a, c, d], axis=-1).reshape(-1, 3)])
    mesh = compact(grid.reshape(-1, 3), faces)
    upper = grid[..., 2].mean() > 0
    looks_up = bool(doubled_normals(mesh)[:, 2].sum() > 0)
    return inside_out(mesh) if looks_up == upper else mesh


def inside_out(mesh: Mesh) -> Mesh:
    """The same, seen from behind."""
    return Mesh(mesh.vertices, np.ascontiguousarray(mesh.faces[:, ::-1]))


def compact(vertices: Floats, faces: NDArray[np.integer]) -> Mesh:
    """A mesh of those vertices alone that a face uses."""
    used, corners = np.unique(faces, return_inverse=True)
    return Mesh(np.ascontiguousarray(vertices[used]), corners.reshape(-1, 3).astype(np.int32))


def doubled_normals(mesh: Mesh) -> Floats:
    """Twice the area long."""
    a, b, c = (mesh.vertices[mesh.faces[:, corner]] for corner in range(3))
    return np.cross(b - a, c - a)


def ball(rings: int, sides: int, radius: float) -> Mesh:
    """A closed ball of triangles that looks outward."""
    polar = np.linspace(0, np.pi, rings + 1)[1:-1, None]
    round_about = np.linspace(0, 2 * np.pi, sides, endpoint=False)[None]
    wall = np.stack(
        [np.sin(polar) * np.cos(round_about), np.sin(polar) * np.sin(round_about), np.cos(polar) + 0 * round_about],
        axis=-1,
    ).reshape(-1, 3)
    vertices = np.concatenate([wall, [[0, 0, 1.0], [0, 0, -1.0]]]) * radius
    top, bottom = len(wall), len(wall) + 1
    rows = np.arange(len(wall)).reshape(rings - 1, sides)
    right = np.roll(rows, -1, axis=1)
    a, b, c, d = rows[:-1], rows[1:], right[1:], right[:-1]
    faces = np.concatenate(
        [
            np.stack([a, b, c], axis=-1).reshape(-1, 3),
            np.stack([a, c, d], axis=-1).reshape(-1, 3),
            np.stack([np.full(sides, top), rows[0], right[0]], axis=-1),
            np.stack([np.full(sides, bottom), right[-1], rows[-1]], axis=-1),
        ]
    )
    return Mesh(vertices, faces.astype(np.int32))
