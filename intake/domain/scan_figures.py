"""What is measured of a scan, and of two arches together.

Lengths are in the unit that the file is in, areas in its square, where nothing else is said.
"""

from typing import Literal

from intake.domain.case import Frozen

Triple = tuple[float, float, float]


class MeshFigures(Frozen):
    """What was measured of one mesh."""

    triangles: int
    vertices: int
    """Corners, each place counted once."""
    box: Triple
    """Along x, y and z of the file."""
    extents: Triple
    """Along the principal axes of the surface, longest first."""
    area: float
    parts: int
    """Pieces that hang together by their edges."""
    largest_share: float
    """The largest piece's share of the area, 0 to 1."""
    closed_parts: int
    """Pieces without an open edge."""
    open_edges: int
    """Edges of one triangle alone."""
    loops: tuple[float, ...]
    """The lengths of the borders of the largest piece, longest first, at most twenty."""
    flipped_share: float
    """The share of edges between two triangles that look opposite ways, 0 to 1."""
    non_manifold_share: float
    """The share of edges that belong to more than two triangles, 0 to 1."""
    normal: Triple
    """The direction of the mean normal; of an open scan it looks out of the mouth side, toward the other jaw.

    All 0 for a closed surface.
    """
    strength: float
    """The length of the mean of all normals, weighted by area: 0 for a closed surface, 1 for a flat sheet."""
    jaw_score: float | None = None
    """What the shape says of the jaw: above 0 like an upper, below 0 like a lower; None where it says nothing."""
    signature: tuple[float, ...] = ()
    """Lengths that no rigid motion, reordering or change of format changes."""


class PairFigures(Frozen):
    """What was measured of an upper and a lower arch together, in mm and square mm."""

    facing: float
    """The cosine between the mean normals of two open scans: -1 when they look at one another."""
    both_open: bool
    """Whether both are open surfaces with a mean normal that says something."""
    near_half: float
    """Area of the lower within 0.5 mm of the upper and facing it."""
    near_one: float
    """The same within 1 mm."""
    inside: float
    """Area of the lower more than 0.3 mm inside the upper, as a share of `near_one`; 0 where that is 0."""
    least: float
    """The least distance between the two, from middle to middle of their triangles."""


class BiteFigures(Frozen):
    """What was measured of a bite scan between two arches: the shares of its points within 0.3 mm of each."""

    near_upper: float
    near_lower: float


JawKind = Literal["upper", "lower", "bite"]
