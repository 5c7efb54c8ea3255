"""What a check found: plain values, without numpy, so that whoever only asks for a check need not load it."""

from dataclasses import dataclass
from pathlib import Path

from intake.domain.scan_figures import BiteFigures, MeshFigures, PairFigures


@dataclass(frozen=True)
class CheckedMesh:
    """What was found of one mesh; of one that cannot be read only why."""

    figures: MeshFigures | None
    problem: str = ""
    format: str | None = None
    unit: str | None = None
    """The unit that the file itself states."""
    left_out: int = 0
    """Triangles that were damaged and left out."""
    remarks: tuple[str, ...] = ()
    png: bytes = b""


@dataclass(frozen=True)
class CheckedArches:
    """What was found of two arches; the pictures are from the front, the right and the left."""

    figures: PairFigures
    bite: BiteFigures | None
    pictures: tuple[bytes, bytes, bytes]


Placed = tuple[Path, float]
"""A file, and how many mm one of its units is."""
