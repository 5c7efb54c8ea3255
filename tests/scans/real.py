"""Real crown surfaces of one patient, where they lie beside the checkout; they are no part of the project."""

from pathlib import Path

import numpy as np
import pytest
import trimesh

from intake.inbox.mesh.mesh import Mesh

FOLDER = Path(__file__).parents[2].parent / "shared" / "scans"


def real_scan(name: str) -> Mesh:
    """Read by a general-purpose library, so that no test of the figures rests on a reader of our own."""
    if not (FOLDER / name).exists():
        pytest.skip("the real scans are not on this machine")
    read = trimesh.load(FOLDER / name, process=False)
    return Mesh(np.asarray(read.vertices, dtype=np.float64), np.asarray(read.faces, dtype=np.int32))
