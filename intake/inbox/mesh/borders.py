"""What hangs together: the pieces of a mesh, and the loops of its borders."""

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components

from intake.inbox.mesh.edges import Edges, Neighbours
from intake.inbox.mesh.mesh import Mesh


def pieces(neighbours: Neighbours, faces: int) -> tuple[int, NDArray[np.int32]]:
    """How many pieces hang together by their edges, and of each triangle, which is its own."""
    return _connected(*neighbours, faces)


def border_lengths(mesh: Mesh, edges: Edges, of: NDArray[np.bool_]) -> tuple[float, ...]:
    """The lengths of the loops that the open edges marked true make, longest first; loops that touch are one."""
    if not of.any():
        return ()
    ends = edges.open[of]
    lengths = np.linalg.norm(mesh.vertices[ends[:, 0]] - mesh.vertices[ends[:, 1]], axis=1)
    corners, numbered = np.unique(ends, return_inverse=True)
    numbered = numbered.reshape(-1, 2)
    loops, which = _connected(numbered[:, 0], numbered[:, 1], len(corners))
    return tuple(np.sort(np.bincount(which[numbered[:, 0]], weights=lengths, minlength=loops))[::-1].tolist())


def _connected(one: NDArray[np.integer], other: NDArray[np.integer], count: int) -> tuple[int, NDArray[np.int32]]:
    links = csr_array((np.ones(len(one), dtype=np.int8), (one, other)), shape=(count, count))
    number, which = connected_components(links, directed=False)
    return int(number), which
