"""Invented arches as meshes: open scans as a scanner gives them, in mm, and every way to spoil one.

The same words always give the same mesh. The chewing surfaces lie about z = 0; the upper above looks down, the lower
below looks up; the front teeth are at +y.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from intake.inbox.mesh.mesh import Mesh, Unit
from tests.scans.arch_shape import (
    TEETH,
    Floats,
    Jaw,
    ball,
    compact,
    curve,
    doubled_normals,
    inside_out,
    lower_arch,
    upper_arch,
)

MM: dict[Unit, float] = {"um": 0.001, "mm": 1.0, "cm": 10.0, "inch": 25.4, "foot": 304.8, "m": 1000.0}
"""How many mm a unit has."""


def arch(jaw: Jaw = "upper", triangles: int = 20_000) -> Mesh:
    """An open scan of a whole arch in mm, about 63 wide and 52 deep.

    Args:
        jaw: an upper has a palate, a lower leaves room for the tongue. Both are one piece with one border.
        triangles: about how many, from some hundreds to 500,000.
    """
    across = max(int(np.sqrt(triangles / 8)), 8) + 1
    along = max(round(triangles / 2 / (across - 1)), 16) // 2 * 2 + 1
    return upper_arch(along, across) if jaw == "upper" else lower_arch(along, across)


def _centres(mesh: Mesh) -> Floats:
    centres: Floats = mesh.vertices[mesh.faces].mean(axis=1)
    return centres


def kept(mesh: Mesh, faces: NDArray[np.bool_]) -> Mesh:
    """The faces marked true."""
    return compact(mesh.vertices, mesh.faces[faces])


# Parts of an arch


def half(mesh: Mesh, *, right: bool = True) -> Mesh:
    """One quadrant of an arch in the frame of `arch`."""
    x = _centres(mesh)[:, 0]
    return kept(mesh, x > 0 if right else x < 0)


def one_arm_short(mesh: Mesh, by: float = 15.0) -> Mesh:
    """An arch in the frame of `arch` whose right arm ends `by` mm early."""
    centres = _centres(mesh)
    rear = mesh.vertices[:, 1].min()
    return kept(mesh, ~((centres[:, 0] > 0) & (centres[:, 1] < rear + by)))


def with_hole(mesh: Mesh, radius: float = 2.0, near: tuple[float, float] = (15.5, -14.0)) -> Mesh:
    """The hole that a straight rod of that radius leaves along z, at the surface's point nearest to (x, y)."""
    away = np.linalg.norm(_centres(mesh)[:, :2] - np.array(near), axis=1)
    middle = _centres(mesh)[np.argmin(away), :2]
    return kept(mesh, np.linalg.norm(_centres(mesh)[:, :2] - middle, axis=1) >= radius)


# Damage


def flipped(mesh: Mesh, share: float = 0.1, seed: int = 1) -> Mesh:
    """The same, with that share of its faces looking the wrong way."""
    faces = mesh.faces.copy()
    count = round(share * len(faces))
    some = np.random.default_rng(seed).permutation(len(faces))[:count]
    faces[some] = faces[some, ::-1]
    return Mesh(mesh.vertices, faces)


def with_fins(mesh: Mesh, fins: int = 200, seed: int = 1) -> Mesh:
    """Loose triangles stood on edges that two faces share already: each such edge then belongs to three."""
    order = np.random.default_rng(seed).permutation(len(mesh.faces))[:fins]
    normals = doubled_normals(mesh)[order]
    tips = _centres(mesh)[order] + normals / np.linalg.norm(normals, axis=1, keepdims=True)
    a, b = mesh.faces[order, 0], mesh.faces[order, 1]
    added = np.stack([b, a, len(mesh.vertices) + np.arange(len(order))], axis=1)
    return Mesh(np.concatenate([mesh.vertices, tips]), np.concatenate([mesh.faces, added]).astype(np.int32))


def with_debris(mesh: Mesh, pieces: int = 5, size: float = 1.0) -> Mesh:
    """The same, with loose closed bits beside it."""
    bits = [moved_by(ball(6, 8, size), (5.0 * bit - 10, 15.0, 0.0)) for bit in range(pieces)]
    return together(mesh, *bits)


def together(*meshes: Mesh) -> Mesh:
    """Several meshes in one file, each a piece of its own."""
    firsts = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes[:-1])])
    return Mesh(
        np.concatenate([mesh.vertices for mesh in meshes]),
        np.concatenate([mesh.faces + first for mesh, first in zip(meshes, firsts, strict=True)]).astype(np.int32),
    )


def crowns(jaw: Jaw = "upper", triangles: int = 20_000) -> Mesh:
    """Fourteen closed shells, one a tooth, without gum."""
    widths = np.array(TEETH[jaw])
    middles = np.cumsum(widths) - widths / 2
    away = 1.0 if jaw == "upper" else -1.0
    side = max(int(np.sqrt(triangles / 14 / 2)), 4)
    shells = []
    for middle, width in zip(np.concatenate([middles, -middles]), np.concatenate([widths, widths]), strict=True):
        point, outward = curve(np.array([middle]))
        shell = ball(side, side, 1.0)
        along = np.array([outward[0, 1], -outward[0, 0]])
        flat = shell.vertices[:, :1] * along * width * 0.48 + shell.vertices[:, 1:2] * outward[0] * width * 0.5
        places = np.concatenate([flat + point[0], shell.vertices[:, 2:] * 4.5 + away * 4.6], axis=1)
        placed = Mesh(places, shell.faces)
        shells.append(placed if _volume(placed) > 0 else inside_out(placed))
    return together(*shells)


def _volume(mesh: Mesh) -> float:
    return float((doubled_normals(mesh) * _centres(mesh)).sum())


# The same scan otherwise


def scaled(mesh: Mesh, factor: float) -> Mesh:
    """The same, larger by a factor."""
    return Mesh(mesh.vertices * factor, mesh.faces)


def in_unit(mesh: Mesh, unit: Unit) -> Mesh:
    """A mesh in mm, written in another unit."""
    return scaled(mesh, 1 / MM[unit])


def rotation(seed: int) -> Floats:
    """Some rotation in space."""
    turn, upper = np.linalg.qr(np.random.default_rng(seed).normal(size=(3, 3)))
    turn = turn * np.sign(np.diag(upper))
    if np.linalg.det(turn) < 0:
        turn[:, 0] = -turn[:, 0]
    return turn


def moved(mesh: Mesh, seed: int = 1, far: float = 40.0) -> Mesh:
    """The same, turned and moved as a stiff body."""
    shift = np.random.default_rng(seed + 1000).uniform(-far, far, 3)
    return Mesh(mesh.vertices @ rotation(seed).T + shift, mesh.faces)


def moved_by(mesh: Mesh, shift: tuple[float, float, float]) -> Mesh:
    """The same, elsewhere."""
    return Mesh(mesh.vertices + np.array(shift), mesh.faces)


def centred(mesh: Mesh) -> Mesh:
    """The same, with the middle of its vertices at the origin."""
    return Mesh(mesh.vertices - mesh.vertices.mean(axis=0), mesh.faces)


def mirrored(mesh: Mesh) -> Mesh:
    """Left for right."""
    return inside_out(Mesh(mesh.vertices * np.array([-1.0, 1.0, 1.0]), mesh.faces))


def reordered(mesh: Mesh, seed: int = 1) -> Mesh:
    """The same surface, with other numbers for its corners and its faces in another order."""
    random = np.random.default_rng(seed)
    order = random.permutation(len(mesh.vertices))
    number = np.empty_like(order)
    number[order] = np.arange(len(order))
    faces = number[mesh.faces][random.permutation(len(mesh.faces))]
    first = random.integers(0, 3, len(faces))[:, None]
    faces = np.take_along_axis(faces, (first + np.arange(3)) % 3, axis=1)
    return Mesh(mesh.vertices[order], faces.astype(np.int32))


def rounded(mesh: Mesh, decimals: int = 2) -> Mesh:
    """As written with few decimals."""
    return Mesh(np.round(mesh.vertices, decimals), mesh.faces)


# Two arches


@dataclass(frozen=True, eq=False)
class Pair:
    """An upper and a lower arch in one frame."""

    upper: Mesh
    lower: Mesh

    def with_lower(self, change: Callable[[Mesh], Mesh]) -> "Pair":
        """The same, with the lower changed."""
        return replace(self, lower=change(self.lower))


def pair(triangles: int = 20_000, *, lower_triangles: int | None = None) -> Pair:
    """Two arches that bite together without running through one another."""
    return Pair(arch("upper", triangles), arch("lower", lower_triangles or triangles))


def opened(arches: Pair, by: float) -> Pair:
    """The lower let down by some mm; below 0, pressed into the upper."""
    return arches.with_lower(lambda lower: moved_by(lower, (0.0, 0.0, -by)))


def pressed_in(arches: Pair, by: float) -> Pair:
    """The lower lifted into the upper by some mm."""
    return opened(arches, -by)


def each_centred(arches: Pair) -> Pair:
    """Each about its own middle, turned as it was: no longer in one frame."""
    return Pair(centred(arches.upper), centred(arches.lower))


def in_own_frames(arches: Pair) -> Pair:
    """Each as from a file of its own: about its middle, its chewing surfaces upward."""
    turned = Mesh(arches.upper.vertices * np.array([-1.0, 1.0, -1.0]), arches.upper.faces)
    return Pair(centred(turned), centred(arches.lower))


def moved_together(arches: Pair, seed: int = 1) -> Pair:
    """Both moved alike, as one stiff body."""
    return Pair(moved(arches.upper, seed), moved(arches.lower, seed))


def bite(arches: Pair, *, right: bool = True) -> Mesh:
    """A scan of the closed bite from one cheek: the outer walls of both arches from the canine back, uneven."""
    side = 1.0 if right else -1.0
    walls = []
    for mesh in (arches.upper, arches.lower):
        centres, normals = _centres(mesh), doubled_normals(mesh)
        outward = normals[:, 0] * side > 0.55 * np.linalg.norm(normals, axis=1)
        walls.append(kept(mesh, outward & (centres[:, 0] * side > 19.0) & (np.abs(centres[:, 2]) < 9)))
    patch = together(*walls)
    uneven = np.random.default_rng(7).normal(scale=0.03, size=patch.vertices.shape)
    return Mesh(patch.vertices + uneven, patch.faces)
