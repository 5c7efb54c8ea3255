"""Scans turned by hand, as far as no window is needed."""

import numpy as np
import pytest
from scipy import ndimage

from intake.inbox.mesh.drawable import Drawable
from intake.inbox.mesh.shading import INSIDE, LOWER, UPPER
from intake.inbox.mesh.thinning import thinned
from intake.inbox.mesh.turntable import Turntable
from tests.scans.arch_shape import ball
from tests.scans.arches import arch, moved, moved_by, pair, together

ARCH = {jaw: arch(jaw, 6_000) for jaw in ("upper", "lower")}
BEAD = (0.0, 20.0, 0.0)
"""Before the lips, which are at +y in the frame of the invented arches."""
SIDE = 200


def with_bead(mesh):
    return together(mesh, moved_by(ball(12, 16, 3.0), BEAD))


def covered(pixels):
    return pixels[..., 3] > 127


def shares_seen(pixels):
    """How much of a picture is the upper or single one, the lower, the inside, told by their red and blue."""
    red, green, blue = (pixels[covered(pixels)][:, of].astype(int) for of in range(3))
    return np.mean(red > blue + 5), np.mean(blue > red + 5), np.mean((green + 5 < red) & (green + 5 < blue))


def likeness(one, other):
    return (covered(one) & covered(other)).sum() / (covered(one) | covered(other)).sum()


def bead(pixels):
    """Where the bead is: the smaller of the two parts of the picture that are more than a speck."""
    parts, _ = ndimage.label(covered(pixels))
    sizes = np.bincount(parts.ravel())[1:]
    there = np.flatnonzero(sizes > 20)
    assert len(there) == 2
    row, column = ndimage.center_of_mass(parts == there[np.argmin(sizes[there])] + 1)
    return column, row


@pytest.mark.parametrize("jaw", ["upper", "lower"])
def test_one_arch_opens_on_its_chewing_surfaces_with_the_front_teeth_at_the_top(jaw):
    turntable = Turntable.of_one(with_bead(ARCH[jaw]), jaw)
    assert turntable.home == "occlusal"
    x, y = bead(turntable.frame(0, 0, SIDE, SIDE))
    assert x == pytest.approx(SIDE / 2, abs=3)
    assert y < 0.2 * SIDE


@pytest.mark.parametrize("jaw", ["upper", "lower"])
def test_the_near_side_follows_the_hand(jaw):
    """From the front the bead is nearest: it goes right and left with the yaw, down and up with the pitch."""
    turntable = Turntable.of_one(together(ARCH[jaw], moved_by(ball(12, 16, 2.0), (0, 30, 0))), jaw)
    for yaw, pitch in ((60, 0), (-60, 0), (0, 50), (0, -50)):
        x, y = bead(turntable.frame(yaw, pitch, SIDE, SIDE, view="front"))
        if yaw:
            assert (x - SIDE / 2) * yaw > 0
            assert abs(x - SIDE / 2) > 0.1 * SIDE
        else:
            assert (y - SIDE / 2) * pitch > 0
            assert abs(y - SIDE / 2) > 0.1 * SIDE


@pytest.mark.parametrize("jaw", ["upper", "lower"])
def test_the_sides_are_the_patients(jaw):
    turntable = Turntable.of_one(with_bead(ARCH[jaw]), jaw)
    assert bead(turntable.frame(0, 0, SIDE, SIDE, view="right"))[0] > 0.8 * SIDE
    assert bead(turntable.frame(0, 0, SIDE, SIDE, view="left"))[0] < 0.2 * SIDE


def test_once_round_is_where_it_began():
    turntable = Turntable.of_one(ARCH["upper"], "upper")
    begun, once, half = (turntable.frame(yaw, 0, SIDE, SIDE).astype(int) for yaw in (0, 360, 180))
    assert np.abs(begun - once).mean() < 0.1
    assert np.abs(begun - half).mean() > 5


def test_a_pair_opens_from_the_front_and_shows_both_in_their_tints():
    arches = pair(6_000)
    turntable = Turntable.of_two(arches.upper, arches.lower, 1.0)
    assert turntable.home == "front"
    assert turntable.key == ((UPPER, "upper"), (LOWER, "lower"), (INSIDE, "inside"))
    upper, lower, _ = shares_seen(turntable.frame(0, 0, SIDE, SIDE))
    assert min(upper, lower) > 0.2


def test_an_open_scan_seen_from_below_shows_its_inside():
    turntable = Turntable.of_one(ARCH["lower"], "lower")
    assert shares_seen(turntable.frame(0, 0, SIDE, SIDE))[2] < 0.05
    assert shares_seen(turntable.frame(180, 0, SIDE, SIDE))[2] > 0.8


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_it_fits_into_the_picture_from_every_side(seed):
    turntable = Turntable.of_one(moved(ARCH["upper"], seed), "upper")
    for yaw in range(0, 360, 45):
        seen = covered(turntable.frame(yaw, 30, 240, 160, quick=True))
        assert seen.any()
        assert not seen[[0, -1]].any()
        assert not seen[:, [0, -1]].any()


def test_twice_as_large_covers_four_times_as_much_and_its_bar_is_twice_as_long():
    turntable = Turntable.of_one(ARCH["upper"], "upper", 1.0)
    half, whole = (covered(turntable.frame(0, 0, SIDE, SIDE, zoom=zoom)).sum() for zoom in (0.5, 1.0))
    assert whole == pytest.approx(4 * half, rel=0.02)
    bars = [turntable.bar(SIDE, SIDE, zoom) for zoom in (1.0, 2.0)]
    assert bars[1].pixels == pytest.approx(2 * bars[0].pixels)
    across = np.ptp(np.nonzero(covered(turntable.frame(0, 0, SIDE, SIDE)).any(axis=0))[0]) + 1
    assert bars[0].pixels == pytest.approx(10 * across / np.ptp(ARCH["upper"].vertices[:, 0]), abs=0.5)


def test_what_is_moved_aside_is_moved_by_as_much():
    turntable = Turntable.of_one(ARCH["lower"], "lower")
    here = covered(turntable.frame(0, 0, SIDE, SIDE, zoom=0.5))
    there = covered(turntable.frame(0, 0, SIDE, SIDE, zoom=0.5, aside=(0.2, -0.1)))
    assert (np.roll(here, (-SIDE // 20, SIDE // 10), (0, 1)) == there).mean() > 0.999


@pytest.mark.parametrize("jaw", ["upper", "lower"])
def test_while_it_turns_it_looks_much_the_same(jaw):
    turntable = Turntable.of_one(arch(jaw, 150_000), jaw)
    for yaw, pitch in ((0, 0), (40, 20), (200, -30)):
        coarse, fine = (turntable.frame(yaw, pitch, SIDE, SIDE, quick=quick) for quick in (True, False))
        assert likeness(coarse, fine) > 0.96
        both = covered(coarse) & covered(fine)
        assert np.abs(coarse[both].astype(int) - fine[both]).mean() < 12


def test_a_coarse_double_has_about_as_many_faces_as_were_asked_for_and_keeps_size_and_sides():
    whole = Drawable.of(ball(250, 300, 20.0))
    double = thinned(whole, 10_000)
    assert 5_000 < len(double.faces) < 20_000
    assert double.reach == pytest.approx(20.0, rel=0.02)
    a, b, c = (double.corners[double.faces[:, corner]] for corner in range(3))
    outward = np.einsum("ij,ij->i", np.cross(b - a, c - a), a + b + c)
    assert (outward > 0).mean() > 0.999
    assert thinned(whole, len(whole.faces)) is whole


def test_it_is_drawn_alike_on_several_threads():
    from concurrent.futures import ThreadPoolExecutor

    turntable = Turntable.of_one(ARCH["upper"], "upper")
    with ThreadPoolExecutor(4) as threads:
        drawn = list(threads.map(lambda yaw: turntable.frame(yaw % 40, 10, SIDE, SIDE), range(0, 160, 20)))
    for at, pixels in enumerate(drawn):
        assert (pixels == drawn[at % 2]).all()
