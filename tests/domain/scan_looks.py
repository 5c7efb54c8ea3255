"""Scans as they were measured, to change one figure at a time; lengths are in mm."""

from math import nextafter

from intake.domain.scan_figures import MeshFigures, PairFigures
from intake.domain.scan_judging import ScanLook, judge_scan
from intake.domain.scan_rules import ScanRules

RULES = ScanRules()
WHOLE = MeshFigures(
    triangles=200_000,
    vertices=100_500,
    box=(64.2, 52.7, 20.3),
    extents=(63.7, 51.3, 19.6),
    area=4_593.2,
    parts=1,
    largest_share=1.0,
    closed_parts=0,
    open_edges=900,
    loops=(300.3,),
    flipped_share=0.0,
    non_manifold_share=0.0,
    normal=(0.0, 0.0, -1.0),
    strength=0.4,
)
"""An open scan of a whole arch of which nothing is wrong."""
CLOSED = PairFigures(facing=-0.66, both_open=True, near_half=326, near_one=581, inside=0.0, least=0.06)
"""Two open arches in occlusion."""


def figures(**changes):
    return WHOLE.model_copy(update=changes)


def look(name="upper.stl", *, about=None, **changes):
    """A scan; `changes` of its figures, `about` of all else that is known of it."""
    return ScanLook(name=name, figures=figures(**changes), **(about or {}))


def scaled(measured, factor):
    """The same surface, its lengths larger by a factor."""
    lengths = {name: tuple(each * factor for each in getattr(measured, name)) for name in ("box", "extents", "loops")}
    return measured.model_copy(update=lengths | {"area": measured.area * factor**2})


def pair(**changes):
    return CLOSED.model_copy(update=changes)


def faults(seen):
    return [fault.fault for fault in judge_scan(seen, RULES).faults]


def says(seen):
    return [fault.says for fault in judge_scan(seen, RULES).faults]


def below(value):
    return nextafter(value, float("-inf"))


def above(value):
    return nextafter(value, float("inf"))
