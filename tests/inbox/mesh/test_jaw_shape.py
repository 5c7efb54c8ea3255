"""The jaw by its shape: said of a whole open arch alone, and of no arch that could be either."""

import numpy as np
import pytest

from intake.inbox.mesh.figures import mesh_figures
from tests.scans import arches
from tests.scans.arch_shape import strip, welded
from tests.scans.arches import arch


def score(mesh):
    return mesh_figures(mesh).jaw_score


@pytest.mark.parametrize("triangles", [6_000, 20_000, 100_000])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_vault_is_an_upper_and_room_for_the_tongue_a_lower(triangles, seed):
    assert score(arches.moved(arch("upper", triangles), seed)) > 0
    assert score(arches.moved(arch("lower", triangles), seed)) < 0


def test_the_unit_changes_nothing():
    for unit in ("inch", "m", "um"):
        assert score(arches.in_unit(arch("upper"), unit)) == pytest.approx(score(arch("upper")))


@pytest.mark.parametrize("radius", [8, 15, 18, 22])
def test_an_upper_whose_palate_was_missed_is_not_called_a_lower(radius):
    mesh = arch("upper", 60_000)
    middles = mesh.vertices[mesh.faces].mean(axis=1)
    missed = np.hypot(middles[:, 0], middles[:, 1] + 43) < radius
    found = score(arches.kept(mesh, ~missed))
    assert found is None or found > 0


@pytest.mark.parametrize("gum", [0.0, 0.12, 0.24])
def test_an_upper_scanned_to_a_rim_of_gum_is_called_nothing(gum):
    along, across = 401, 70
    teeth = strip("upper", along, across)
    edge = teeth[:, -1]
    rim = [edge + (np.array([0.0, -20.0, 14.0]) - edge) * share for share in np.linspace(0, gum, 9)[1:]]
    grid = np.concatenate([teeth, np.stack(rim, axis=1)], axis=1) if gum else teeth
    assert score(welded(grid, along, grid.shape[1])) is None


@pytest.mark.parametrize(
    "mesh",
    [
        arches.half(arch("upper")),
        arches.half(arch("lower")),
        arches.crowns(),
        arches.inside_out(arch("upper")),
        arch("upper", 600),
    ],
    ids=["half an upper", "half a lower", "crowns", "inside out", "too coarse"],
)
def test_what_shows_no_arch_gets_no_score(mesh):
    assert score(mesh) is None
