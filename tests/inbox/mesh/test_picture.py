"""What a person sees in the pictures of scans."""

from io import BytesIO

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageColor
from scipy.spatial import ConvexHull

from intake.inbox.mesh.mesh import Mesh
from intake.inbox.mesh.picture import GROUND, INK, occlusal_picture, pair_pictures
from intake.inbox.mesh.scale_bar import scale_bar
from intake.inbox.mesh.shading import INSIDE, LOWER, UPPER
from tests.scans.arch_shape import ball, inside_out
from tests.scans.arches import (
    Pair,
    arch,
    each_centred,
    flipped,
    moved,
    moved_by,
    moved_together,
    one_arm_short,
    pair,
    scaled,
    together,
)
from tests.scans.real import real_scan

JAWS = pytest.mark.parametrize("jaw", ["upper", "lower"])
ARCH = {jaw: arch(jaw, 6_000) for jaw in ("upper", "lower")}
PAIR = pair(6_000)
WIDTH = {jaw: np.ptp(mesh.vertices[:, 0]) for jaw, mesh in ARCH.items()}
"""Of the invented arches, in mm."""


def read(png):
    return np.asarray(Image.open(BytesIO(png)).convert("RGB")).astype(int)


def rgb(colour):
    return np.array(ImageColor.getrgb(colour))


def hue(picture, tint):
    """The pixels whose colours stand to one another as in a tint, however dark, sooner than as in any other."""
    tints = np.array([rgb(other) for other in (tint, *({UPPER, LOWER, INSIDE, GROUND} - {tint}))])
    size = np.linalg.norm(picture, axis=-1)
    like = picture @ (tints / np.linalg.norm(tints, axis=1, keepdims=True)).T
    return (like.argmax(axis=-1) == 0) & (size > 40)


def subject(picture):
    """The pixels between the words that are not ground."""
    line = round(max(13, picture.shape[1] / 40) * 1.4)
    there = (np.abs(picture - rgb(GROUND)) > 3).any(axis=-1)
    there[: 2 * line - 4] = there[-2 * line + 4 :] = False
    return there


def bar_length(picture):
    """The longest run of ink in the row that has the longest, in the lowest part of the picture."""
    ink = (np.abs(picture[-30:] - rgb(INK)) < 40).all(axis=-1)
    longest = 0
    for row in ink:
        at = np.flatnonzero(np.diff(np.concatenate([[0], row, [0]])))
        longest = max(longest, *(at[1::2] - at[::2]), 0) if len(at) else longest
    return longest


def words_under_the_title(picture):
    """Whether there is a line of words where a picture of 512 pixels has its first note, left of what it shows."""
    note = picture[25:45, :120]
    return (np.abs(note - rgb(INK)) < 60).all(axis=-1).sum() > 60 and (np.abs(note - rgb(GROUND)) > 4).any()


def middle(there):
    rows, columns = np.nonzero(there)
    return columns.mean(), rows.mean()


# One arch


@JAWS
@pytest.mark.parametrize("size", [256, 512, 800])
def test_the_bar_of_10_mm_is_as_long_as_10_mm_of_the_arch(jaw, size):
    picture = read(occlusal_picture(ARCH[jaw], jaw, 1.0, size))
    assert picture.shape == (size, size, 3)
    across = np.ptp(np.nonzero(subject(picture).any(axis=0))[0]) + 1
    assert bar_length(picture) == pytest.approx(10 * across / WIDTH[jaw], abs=1.5)


def test_the_bar_is_right_whatever_unit_the_file_is_in():
    in_cm = occlusal_picture(scaled(ARCH["upper"], 0.1), "upper", 10.0)
    assert bar_length(read(in_cm)) == pytest.approx(bar_length(read(occlusal_picture(ARCH["upper"], "upper", 1.0))))


def test_without_a_unit_there_is_no_bar_but_words():
    known, unknown = (read(occlusal_picture(ARCH["upper"], "upper", mm))[-30:, :120] for mm in (1.0, None))
    assert bar_length(unknown) < 12  # letters have no longer strokes
    assert (np.abs(unknown - rgb(INK)) < 60).all(axis=-1).sum() > 60
    assert (known != unknown).any()


@given(scale=st.floats(1e-6, 1e6), millimetres=st.floats(1e-4, 1e4), width=st.integers(128, 2000))
def test_a_bar_fits_and_says_what_it_stands_for(scale, millimetres, width):
    bar = scale_bar(scale, millimetres, width)
    assert 0.039 * width <= bar.pixels <= 0.401 * width
    assert float(bar.words.removesuffix(" mm")) * scale / millimetres == pytest.approx(bar.pixels)


@JAWS
@settings(max_examples=6)
@given(seed=st.integers(0, 500))
def test_the_front_teeth_are_at_the_top_and_the_arch_stands_upright_however_it_lies_in_its_file(jaw, seed):
    there = subject(read(occlusal_picture(moved(ARCH[jaw], seed), jaw, 1.0, 256)))
    rows, columns = (np.nonzero(there.any(axis=axis))[0] for axis in (1, 0))
    box = there[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    assert box[:8].sum(axis=1).max() < box[-20:].sum(axis=1).max()  # a bow above, both arms below
    assert np.ptp(np.nonzero(box[5])[0]) < 0.55 * box.shape[1]
    assert np.ptp(np.nonzero(box[-20])[0]) > 0.85 * box.shape[1]
    mirrored = box[:, ::-1]
    assert (box & mirrored).sum() / (box | mirrored).sum() > 0.88


def test_room_for_the_tongue_opens_downward():
    there = subject(read(occlusal_picture(ARCH["lower"], "lower", 1.0, 256)))
    x, y = (round(at) for at in middle(there))
    assert not there[y + 10 :, x].any()
    assert there[:y, x].any()


@pytest.mark.parametrize(("jaw", "side"), [("upper", "left"), ("lower", "right")])
def test_a_picture_is_never_a_mirror_image(jaw, side):
    """The patient's right arm is short: on the left of an upper seen from below, on the right of a lower from above."""
    mesh = one_arm_short(ARCH[jaw], 18.0)
    there = subject(read(occlusal_picture(moved(mesh, 3), jaw, 1.0, 256)))
    lowest = np.nonzero(there.any(axis=1))[0][-1]
    foot = np.nonzero(there[lowest - 12 : lowest].any(axis=0))[0].mean()
    assert (foot > 128) == (side == "left")


@JAWS
def test_an_inside_out_scan_shows_in_another_tint_and_in_words(jaw):
    right, wrong = (read(occlusal_picture(mesh, jaw, 1.0)) for mesh in (ARCH[jaw], inside_out(ARCH[jaw])))
    for picture, tint in ((right, UPPER), (wrong, INSIDE)):
        there = subject(picture)
        assert (hue(picture, tint) & there).sum() > 0.9 * there.sum()
    assert not words_under_the_title(right)
    assert words_under_the_title(wrong)
    assert (wrong[-30:] == rgb(INSIDE)).all(axis=-1).sum() > 30  # and what the tint means


def test_some_flipped_triangles_show_among_the_others():
    """Of 6,000 triangles each is some pixels large."""
    picture = read(occlusal_picture(flipped(ARCH["lower"], 0.1), "lower", 1.0))
    there = subject(picture)
    assert (hue(picture, INSIDE) & there).sum() / there.sum() == pytest.approx(0.1, abs=0.03)


def test_a_closed_surface_says_that_its_side_is_a_guess():
    open_scan, closed = (read(occlusal_picture(mesh, "upper", 1.0)) for mesh in (ARCH["upper"], ball(40, 40, 20)))
    assert not words_under_the_title(open_scan)
    assert words_under_the_title(closed)


def test_a_ball_is_a_disc_lit_from_the_upper_left():
    picture = read(occlusal_picture(ball(80, 120, 20.0), None, 1.0))
    there = subject(picture)
    radius = 2 * bar_length(picture)  # 20 mm
    assert there.sum() == pytest.approx(np.pi * radius**2, rel=0.02)
    x, y = (round(at) for at in middle(there))
    by = round(radius / 2)
    assert picture[y - by, x - by].sum() > picture[y, x].sum() > picture[y + by, x + by].sum()


def test_the_shadow_of_a_body_is_as_large_as_scipys_hull_of_its_corners():
    """An egg lies with its shortest axis toward the eye."""
    egg = Mesh(ball(60, 90, 1.0).vertices * [30.0, 20.0, 8.0], ball(60, 90, 1.0).faces)
    picture = read(occlusal_picture(moved(egg, 5), None, 1.0, 800))
    per_mm = bar_length(picture) / 10
    assert subject(picture).sum() / per_mm**2 == pytest.approx(ConvexHull(egg.vertices[:, :2]).volume, rel=0.03)


def test_a_dark_window_gets_its_own_ground_and_ink():
    ground, ink = "#1b2327", "#e4eaec"
    picture = read(occlusal_picture(ARCH["upper"], "upper", 1.0, ground=ground, ink=ink))
    assert (picture[-1, -1] == rgb(ground)).all()
    assert (picture[[0, -1]] == rgb(ground)).all()
    assert (np.abs(picture[:24, :80] - rgb(ink)) < 40).all(axis=-1).sum() > 60


@JAWS
def test_the_same_scan_gives_the_same_picture(jaw):
    assert occlusal_picture(ARCH[jaw], jaw, 1.0) == occlusal_picture(ARCH[jaw], jaw, 1.0)


def test_a_heap_of_triangles_over_one_another_is_drawn_coarser_so_that_the_desk_need_not_wait():
    places = np.random.default_rng(1).normal(size=(12_000, 3))
    heap = Mesh(places, np.arange(12_000, dtype=np.int32).reshape(-1, 3))
    fine = read(occlusal_picture(Mesh(places[:300], heap.faces[:100]), None, None))[40:-40]
    coarse = read(occlusal_picture(heap, None, None))[40:-40]
    same = [
        (picture[::2, ::2] == picture[1::2, 1::2]).all(axis=-1)[subject(picture)[::2, ::2]].mean()
        for picture in (fine, coarse)
    ]
    assert same[0] < 0.8
    assert same[1] > 0.99


# Two arches


@settings(max_examples=4)
@given(seed=st.integers(0, 500))
def test_the_upper_is_above_the_lower_in_all_three_pictures_however_they_lie(seed):
    arches = moved_together(PAIR, seed)
    for png in pair_pictures(arches.upper, arches.lower, 1.0, 320, 240):
        picture = read(png)
        upper, lower = (hue(picture, tint) & subject(picture) for tint in (UPPER, LOWER))
        assert min(upper.sum(), lower.sum()) > 0.2 * (upper | lower).sum()
        assert middle(upper)[1] + 20 < middle(lower)[1]


@pytest.mark.parametrize("seed", [None, 7])
def test_right_and_left_are_the_patients(seed):
    """In the frame of the invented arches the patient's right cheek is at +x, and the lips are at +y."""

    def bead_is_on_the_right(bead):
        """For each picture, whether a bead that touches nothing is seen to the right of the rest, or to the left."""
        arches = Pair(together(PAIR.upper, moved_by(ball(12, 16, 3.0), bead)), PAIR.lower)
        arches = arches if seed is None else moved_together(arches, seed)
        for png in pair_pictures(arches.upper, arches.lower, 1.0, 320, 240):
            columns = np.nonzero(subject(read(png)).any(axis=0))[0]
            gap = columns[np.argmax(np.diff(columns))]
            yield np.diff(columns).max() > 5 and bool(gap > columns.mean())

    assert next(bead_is_on_the_right((42.0, -20.0, 6.0))) is False
    assert list(bead_is_on_the_right((0.0, 18.0, 6.0)))[1:] == [True, False]


def test_the_three_pictures_have_one_scale_and_a_legend_of_words():
    pictures = [read(png) for png in pair_pictures(PAIR.upper, PAIR.lower, 1.0)]
    assert len({bar_length(picture) for picture in pictures}) == 1
    for picture in pictures:
        assert picture.shape == (384, 512, 3)
        for tint in (UPPER, LOWER):
            rows, columns = np.nonzero((picture[-30:] == rgb(tint)).all(axis=-1))
            assert len(rows) > 30
            words = picture[-30:, columns.max() + 4 : columns.max() + 40]
            assert (np.abs(words - rgb(INK)) < 60).all(axis=-1).sum() > 25
    across = np.ptp(np.nonzero(subject(pictures[0]).any(axis=0))[0]) + 1
    assert bar_length(pictures[0]) == pytest.approx(10 * across / max(WIDTH.values()), abs=1.5)


def test_an_upper_that_looks_the_wrong_way_beside_its_lower_shows_its_inside():
    front = read(pair_pictures(inside_out(PAIR.upper), PAIR.lower, 1.0)[0])
    there = subject(front)
    assert (hue(front, INSIDE) & there).sum() > 0.3 * there.sum()
    assert (hue(front, UPPER) & there).sum() < 0.1 * there.sum()
    assert middle(hue(front, INSIDE) & there)[1] < middle(hue(front, LOWER) & there)[1]


def test_arches_that_are_not_in_one_frame_show_as_they_lie():
    """Each about its own middle they run through one another, and more of the upper hides the lower."""
    apart = each_centred(PAIR)
    shares = []
    for arches in (PAIR, apart):
        front = read(pair_pictures(arches.upper, arches.lower, 1.0)[0])
        upper, lower = (hue(front, tint) & subject(front) for tint in (UPPER, LOWER))
        shares.append(lower.sum() / upper.sum())
    assert shares[1] < 0.75 * shares[0]


def test_where_both_arches_look_the_same_way_the_upper_stands_upright():
    turned = Mesh(PAIR.lower.vertices * [1, -1, -1], PAIR.lower.faces)
    front = read(pair_pictures(PAIR.upper, turned, None)[0])
    upper, inside = (hue(front, tint) & subject(front) for tint in (UPPER, INSIDE))
    assert upper.sum() > 2000
    assert inside[: round(middle(upper)[1])].sum() > 500  # the vault of the palate, seen over the front teeth


def test_real_crowns_stand_upright_with_the_lower_front_teeth_behind_the_upper():
    """The page beside the files: they are in occlusion; so the upper front teeth cover some of the lower ones."""
    upper, lower = real_scan("crowns_a_upper.obj"), real_scan("crowns_a_lower_closed.ply")
    pictures = [read(png) for png in pair_pictures(upper, lower, 1.0, 320, 240)]
    for picture in pictures:
        up, down = (hue(picture, tint) & subject(picture) for tint in (UPPER, LOWER))
        assert middle(up)[1] + 12 < middle(down)[1]
    columns = slice(135, 185)
    covers = [(hue(pictures[0], tint) & subject(pictures[0]))[:, columns].sum() for tint in (UPPER, LOWER)]
    assert covers[0] > 2 * covers[1]
