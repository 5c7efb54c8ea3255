"""From a surface to the verdict: sound arches raise no fault, and each way to spoil one raises its own and no other."""

from functools import cache

import pytest

from intake.domain.scan_judging import ScanLook, judge_arches, judge_scan
from intake.domain.scan_rules import ScanRules
from intake.inbox.mesh.figures import mesh_figures
from intake.inbox.mesh.occlusion import bite_figures, pair_figures
from tests.scans import arches
from tests.scans.arches import arch
from tests.scans.real import real_scan

RULES = ScanRules()
JAWS = ("upper", "lower")
CLOSED = arches.pair(40_000)


@cache
def sound(jaw):
    return arch(jaw)


def judged(mesh, name, **known):
    return judge_scan(ScanLook(name, mesh_figures(mesh), **known), RULES)


def faults(mesh, jaw, **known):
    return [fault.fault for fault in judged(mesh, f"{jaw}.stl", **known).faults]


def standing(pair, bite=None):
    on_bite = bite_figures(bite, pair.upper, pair.lower) if bite is not None else None
    return judge_arches(pair_figures(pair.upper, pair.lower), on_bite, RULES).standing


@pytest.mark.parametrize("jaw", JAWS)
@pytest.mark.parametrize("triangles", [4_000, 20_000, 120_000])
def test_a_sound_arch_has_no_fault(jaw, triangles):
    found = judged(arch(jaw, triangles), f"{jaw}.stl")
    assert (found.shows, found.faults) == (jaw, ())


@pytest.mark.parametrize("jaw", JAWS)
@pytest.mark.parametrize(
    "change",
    [arches.moved, arches.reordered, arches.rounded, arches.mirrored, arches.centred, lambda m: arches.scaled(m, 0.9)],
    ids=["moved", "reordered", "with two decimals", "mirrored", "about its middle", "a tenth smaller"],
)
def test_a_sound_arch_that_lies_elsewhere_or_was_written_otherwise_has_no_fault(jaw, change):
    assert faults(change(sound(jaw)), jaw) == []


SPOILT = {
    "part": {
        "right half": arches.half,
        "left half": lambda mesh: arches.half(mesh, right=False),
        "half, moved": lambda mesh: arches.moved(arches.half(mesh), 3),
    },
    "broken": {
        "hole of 2 mm": arches.with_hole,
        "hole of 3 mm": lambda mesh: arches.with_hole(mesh, 3.0),
        "flipped": arches.flipped,
        "a fiftieth flipped": lambda mesh: arches.flipped(mesh, 0.02),
        "fins": arches.with_fins,
        "debris": lambda mesh: arches.with_debris(mesh, pieces=12),
    },
    "unit": {unit: lambda mesh, unit=unit: arches.in_unit(mesh, unit) for unit in ("um", "cm", "inch", "foot", "m")},
}
WAYS = [(fault, way, spoil) for fault, ways in SPOILT.items() for way, spoil in ways.items()]


@pytest.mark.parametrize("jaw", JAWS)
@pytest.mark.parametrize(("fault", "spoil"), [(f, s) for f, _, s in WAYS], ids=[f"{f}: {way}" for f, way, _ in WAYS])
def test_each_way_to_spoil_an_arch_raises_its_own_fault_and_no_other(jaw, fault, spoil):
    assert faults(spoil(sound(jaw)), jaw) == [fault]


def test_half_an_upper_is_told_with_its_width():
    (fault,) = judged(arches.half(sound("upper")), "upper.stl").faults
    assert fault.says == "the upper scan is part of an arch: 34 mm across where a whole arch measures 41 or more"


def test_damage_is_told_with_what_was_measured():
    (fault,) = judged(arches.with_hole(sound("lower")), "lower.stl").faults
    assert fault.says == "the lower scan is damaged: it has a hole with an edge of 28 mm"
    (fault,) = judged(arches.with_debris(sound("lower"), pieces=12), "lower.stl").faults
    assert fault.says.startswith("the lower scan is damaged: it is in 13 pieces (the largest has 95.")


@pytest.mark.parametrize("jaw", JAWS)
def test_what_is_too_little_to_tell_is_left_to_the_eye(jaw):
    assert faults(arches.one_arm_short(sound(jaw)), jaw) == []
    assert faults(arches.with_hole(sound(jaw), 1.0), jaw) == []
    assert faults(arches.with_debris(sound(jaw), pieces=1), jaw) == []


@pytest.mark.parametrize("unit", arches.MM)
@pytest.mark.parametrize("jaw", JAWS)
def test_a_unit_that_was_chosen_or_stated_makes_the_arch_whole_again(jaw, unit):
    mesh = arches.in_unit(sound(jaw), unit)
    assert faults(mesh, jaw, unit_chosen=unit) == []
    assert faults(mesh, jaw, unit_stated=unit) == []


@pytest.mark.parametrize("jaw", JAWS)
def test_crowns_alone_are_no_damage(jaw):
    assert faults(arches.crowns(jaw), jaw) == []


@pytest.mark.parametrize(("jaw", "other"), [JAWS, JAWS[::-1]])
def test_a_jaw_under_the_other_jaws_name_is_asked_about(jaw, other):
    found = judged(sound(jaw), f"{other}.stl")
    assert (found.shows, [fault.fault for fault in found.faults]) == (None, ["jaw"])


@pytest.mark.parametrize("jaw", JAWS)
def test_a_name_without_a_cue_is_asked_about_and_the_shape_is_offered(jaw):
    (fault,) = judged(sound(jaw), "20418.stl").faults
    assert fault.fault == "jaw"
    assert fault.says.endswith(f"its shape looks like {'an upper' if jaw == 'upper' else 'a lower'}")


@pytest.mark.parametrize("bite", [arches.bite(CLOSED), arches.bite(CLOSED, right=False)], ids=["right", "left"])
def test_a_bite_scan_is_no_part_and_no_damage(bite):
    found = judged(bite, "bite.stl")
    assert (found.shows, found.faults) == ("bite", ())


def test_a_bite_scan_from_both_cheeks_in_one_file_is_still_a_bite():
    both = arches.together(arches.bite(CLOSED), arches.bite(CLOSED, right=False))
    assert judged(both, "bite.stl").faults == ()


# Two arches

PLACED = {
    "closed": (lambda pair: pair, "registered"),
    "moved together": (arches.moved_together, "registered"),
    "opened 1 mm": (lambda pair: arches.opened(pair, 1.0), "gap"),
    "opened 3 mm": (lambda pair: arches.opened(pair, 3.0), "apart"),
    "pressed in 0.7 mm": (lambda pair: arches.pressed_in(pair, 0.7), "doubtful"),
    "pressed in 1.5 mm": (lambda pair: arches.pressed_in(pair, 1.5), "through"),
    "each about its own middle": (arches.each_centred, "through"),
    "each in a frame of its own": (arches.in_own_frames, "not-one-frame"),
}


@pytest.mark.parametrize(("place", "expected"), PLACED.values(), ids=PLACED)
def test_two_arches_stand_as_they_were_placed(place, expected):
    assert standing(place(CLOSED)) == expected


@pytest.mark.parametrize("by", [0.0, 1.0, 3.0, 5.0])
def test_a_bite_scan_in_place_holds_arches_however_far_they_are_opened(by):
    opened = arches.opened(CLOSED, by)
    assert standing(opened, arches.bite(opened)) == "registered"


@pytest.mark.parametrize("by", [1.0, 3.0])
def test_a_bite_scan_of_another_bite_holds_nothing(by):
    opened = arches.opened(CLOSED, by)
    assert standing(opened, arches.bite(CLOSED)) == standing(opened)


# Real crowns: what the description of the files says of them


def test_real_crowns_are_sound_and_named_by_their_files():
    for name, jaw in (("crowns_a_upper.obj", "upper"), ("crowns_a_lower_closed.ply", "lower")):
        found = judged(real_scan(name), name)
        assert (found.shows, found.faults) == (jaw, ())


def test_real_crowns_in_occlusion_look_registered():
    placed = arches.Pair(real_scan("crowns_a_upper.obj"), real_scan("crowns_a_lower_closed.ply"))
    found = judge_arches(pair_figures(placed.upper, placed.lower), None, RULES)
    assert found.says.startswith("the arches look registered: 326 mm² of the lower lies within 0.5 mm of the upper, ")


def test_real_crowns_each_about_its_own_middle_do_not_meet():
    placed = arches.Pair(real_scan("crowns_a_upper.obj"), real_scan("crowns_a_lower_own_origin.obj"))
    found = judge_arches(pair_figures(placed.upper, placed.lower), None, RULES)
    assert found.standing == "through"
    through = "they run through each other, with 174 mm² of the lower more than 0.3 mm inside the upper"
    assert found.says == f"the arches do not meet: {through}"


@pytest.mark.parametrize(
    ("shift", "expected"),
    [
        ((0, -1, 0), "gap"),
        ((0, -3, 0), "apart"),
        ((0, 1, 0), "through"),
        ((2, 0, 0), "doubtful"),
        ((1, 0, 0), "registered"),
    ],
    ids=["opened 1 mm", "opened 3 mm", "pressed in 1 mm", "2 mm aside", "1 mm aside, which nobody can tell"],
)
def test_real_crowns_moved_out_of_occlusion_stand_as_they_were_placed(shift, expected):
    lower = arches.moved_by(real_scan("crowns_a_lower_closed.ply"), shift)
    assert standing(arches.Pair(real_scan("crowns_a_upper.obj"), lower)) == expected
