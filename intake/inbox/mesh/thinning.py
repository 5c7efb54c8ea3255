"""A coarse double of a surface, quick enough to draw while a hand turns it."""

import numpy as np

from intake.inbox.mesh.drawable import Drawable, Faces, doubled_areas, evenly


def thinned(drawable: Drawable, faces: int) -> Drawable:
    """About so many faces that look like all of them from afar; the same drawable where it has no more.

    All corners in one cell of a grid become one, and the faces that this flattens go: Rossignac and Borrel,
    Multi-resolution 3D approximations for rendering complex scenes, 1993.
    """
    if len(drawable.faces) <= faces:
        return drawable
    some = evenly(drawable.faces, faces)
    area = float(np.linalg.norm(doubled_areas(drawable.corners, some), axis=1).sum()) / 2
    cell = np.sqrt(2 * area * len(drawable.faces) / len(some) / faces)  # two faces to a square of the surface
    places = ((drawable.corners + drawable.reach) / np.float32(cell)).astype(np.int64)
    most = int(places.max()) + 1
    _, kept = np.unique((places[:, 0] * most + places[:, 1]) * most + places[:, 2], return_inverse=True)
    count = np.bincount(kept)
    corners, normals = (
        np.stack([np.bincount(kept, axis) / count for axis in of.T], axis=1).astype(np.float32)
        for of in (drawable.corners, drawable.normals)
    )
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    np.divide(normals, lengths, out=normals, where=lengths > 0)
    left: Faces = np.take(kept, drawable.faces).astype(np.int32)
    a, b, c = left[:, 0], left[:, 1], left[:, 2]
    left = left[(a != b) & (b != c) & (c != a)]
    folded = np.einsum("ij,ij->i", doubled_areas(corners, left), normals[left].sum(axis=1)) < 0
    left[folded, 1:] = left[folded, :0:-1]  # it looks where the surface about it looks
    return Drawable(corners, normals, left)
