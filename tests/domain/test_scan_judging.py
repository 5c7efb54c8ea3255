"""Scans by their figures: each threshold at its edge, each fault with its numbers."""

from dataclasses import replace

import pytest

from intake.domain.scan_judging import ScanLook, jaw_of, judge_scan
from intake.domain.scan_rules import ScanRules
from tests.domain.scan_looks import RULES, above, below, faults, figures, look, says, scaled


def test_a_sound_scan_of_a_whole_arch_has_no_fault():
    seen = judge_scan(look(), RULES)
    assert (seen.shows, seen.name, seen.faults) == ("upper", "upper.stl", ())


# The jaw


def test_the_name_says_the_jaw_and_the_shape_agrees():
    jaw = jaw_of(look(jaw_score=0.9))
    assert (jaw.jaw, jaw.sure, jaw.why) == ("upper", True, "by its name, and its shape agrees")


def test_the_name_alone_is_enough():
    jaw = jaw_of(look("Unterkiefer.stl"))
    assert (jaw.jaw, jaw.sure, jaw.why) == ("lower", True, "by its name")


def test_a_short_form_is_shown_as_unsure_until_the_shape_agrees():
    assert (jaw_of(look("OK.stl")).jaw, jaw_of(look("OK.stl")).sure) == ("upper", False)
    assert jaw_of(look("OK.stl", jaw_score=0.9)).sure
    assert faults(look("OK.stl")) == []


@pytest.mark.parametrize(("name", "score", "shape"), [("upper.stl", -0.8, "a lower"), ("lower.stl", 0.8, "an upper")])
def test_where_name_and_shape_differ_a_person_chooses(name, score, shape):
    seen = look(name, jaw_score=score)
    assert jaw_of(seen).jaw is None
    assert jaw_of(seen).guess == name.removesuffix(".stl")
    assert says(seen) == [
        f"which jaw the scan “{name}” shows has to be chosen: the name of the file says "
        f"{name.removesuffix('.stl')}, and its shape looks like {shape}"
    ]


def test_a_bite_that_has_the_shape_of_an_arch_is_asked_about():
    assert faults(look("bite.stl", jaw_score=0.9)) == ["jaw"]
    assert jaw_of(look("bite.stl")).jaw == "bite"


@pytest.mark.parametrize(
    ("score", "guess", "why"),
    [
        (None, None, "the name of the file tells no jaw, and its shape does not tell either"),
        (0.7, "upper", "the name of the file tells no jaw, and its shape looks like an upper"),
        (-0.7, "lower", "the name of the file tells no jaw, and its shape looks like a lower"),
    ],
)
@pytest.mark.parametrize("name", ["20418.stl", "Max Ashdown.stl", "upper and lower.stl"])
def test_a_name_without_a_cue_is_chosen_by_a_person_whatever_the_shape(name, score, guess, why):
    jaw = jaw_of(look(name, jaw_score=score))
    assert (jaw.jaw, jaw.guess, jaw.sure, jaw.why) == (None, guess, False, why)
    assert faults(look(name, jaw_score=score)) == ["jaw"]


def test_what_a_person_chose_beats_name_and_shape():
    seen = look("upper.stl", jaw_score=0.9, about={"jaw_chosen": "lower"})
    assert (jaw_of(seen).jaw, jaw_of(seen).sure, faults(seen)) == ("lower", True, [])


# A part of an arch


def test_half_an_upper_is_part_of_an_arch_and_says_so():
    half = look(extents=(57.7, 33.9, 19.7), area=2_297)
    assert says(half) == ["the upper scan is part of an arch: 34 mm across where a whole arch measures 41 or more"]


@pytest.mark.parametrize(("across", "part"), [(39.5, False), (below(39.5), True), (41.0, False), (35.8, True)])
def test_how_wide_a_whole_arch_is_across_its_second_side(across, part):
    assert faults(look(extents=(60, across, 15))) == (["part"] if part else [])


@pytest.mark.parametrize(("long", "part"), [(45, False), (below(45), True)])
def test_how_long_a_whole_arch_is(long, part):
    seen = look(extents=(long, 40, 15))
    assert faults(seen) == (["part"] if part else [])
    assert says(look(extents=(43.2, 40, 15))) == [
        "the upper scan is part of an arch: 43.2 mm long where a whole arch measures 45 or more"
    ]


@pytest.mark.parametrize(("area", "part"), [(1_000, False), (below(1_000), True)])
def test_how_much_surface_a_whole_arch_has(area, part):
    assert faults(look(area=area)) == (["part"] if part else [])
    assert says(look(area=640)) == [
        "the upper scan is part of an arch: 640 mm² of surface where a whole arch has 1,000 or more"
    ]


def test_a_part_is_measured_in_mm_whatever_the_unit():
    half = scaled(figures(extents=(57.7, 33.9, 19.7)), 1 / 25.4)
    assert faults(ScanLook("upper.stl", half)) == ["unit"]
    assert says(ScanLook("upper.stl", half, unit_chosen="inch")) == [
        "the upper scan is part of an arch: 34 mm across where a whole arch measures 41 or more"
    ]


def test_a_bite_scan_is_never_part_of_an_arch():
    assert faults(look("bite.stl", extents=(38.2, 20.1, 11.2), area=658)) == []


def test_the_figures_of_the_lab_decide():
    wide = ScanRules(across_mm=55, across_usual_mm=56.5)
    assert [fault.says for fault in judge_scan(look(), wide).faults] == [
        "the upper scan is part of an arch: 51 mm across where a whole arch measures 56.5 or more"
    ]


# Damage

DAMAGE = [
    ({"loops": (300, 20.8)}, "it has a hole with an edge of 21 mm"),
    ({"loops": (300, 43.6, 20.8)}, "it has holes (the largest has an edge of 44 mm)"),
    (
        {"parts": 6, "largest_share": 0.8716},
        "it is in 6 pieces (the largest has 87.2% of its surface)",
    ),
    ({"flipped_share": 0.179}, "it is partly inside out (at 17.9% of its edges)"),
    ({"non_manifold_share": 0.0065}, "it has edges that more than two triangles share (0.7% of them)"),
]


@pytest.mark.parametrize(("changes", "said"), DAMAGE, ids=[said for _, said in DAMAGE])
def test_damage_is_told_with_its_numbers(changes, said):
    assert says(look(**changes)) == [f"the upper scan is damaged: {said}"]


def test_triangles_that_were_left_out_are_told():
    assert says(look(about={"left_out": 1_204})) == [
        "the upper scan is damaged: it lacks 1,204 triangles that could not be used"
    ]
    assert says(look(about={"left_out": 1})) == [
        "the upper scan is damaged: it lacks 1 triangle that could not be used"
    ]


def test_all_damage_of_a_scan_is_told_in_one_sentence():
    spoilt = look(loops=(300, 20.8), parts=6, largest_share=0.87, flipped_share=0.03)
    assert says(spoilt) == [
        "the upper scan is damaged: it has a hole with an edge of 21 mm, is in 6 pieces (the largest has 87.0% of its "
        "surface) and is partly inside out (at 3.0% of its edges)"
    ]


EDGES = [
    ({"loops": (300, 15)}, {"loops": (300, above(15))}),
    ({"parts": 2, "largest_share": 0.98}, {"parts": 2, "largest_share": below(0.98)}),
    ({"flipped_share": 0.02}, {"flipped_share": above(0.02)}),
    ({"non_manifold_share": 0.005}, {"non_manifold_share": above(0.005)}),
]


@pytest.mark.parametrize(("sound", "damaged"), EDGES, ids=[next(reversed(sound)) for sound, _ in EDGES])
def test_how_much_counts_as_damage(sound, damaged):
    assert faults(look(**sound)) == []
    assert faults(look(**damaged)) == ["broken"]


def test_an_open_scan_has_one_outer_border_however_long():
    assert faults(look(loops=(482,))) == []
    assert faults(look(loops=())) == []


def test_a_set_of_closed_crowns_is_not_damaged():
    assert faults(look(parts=14, closed_parts=14, largest_share=0.096, loops=(), strength=0.0)) == []


def test_crowns_of_which_one_is_open_are_in_pieces():
    assert faults(look(parts=14, closed_parts=13, largest_share=0.096)) == ["broken"]


def test_a_bite_scan_may_be_in_pieces_and_have_holes():
    bite = look("bite.stl", extents=(38, 20, 11), area=658, parts=22, largest_share=0.53, loops=(110, 60))
    assert faults(bite) == []
    assert faults(replace(bite, figures=bite.figures.model_copy(update={"flipped_share": 0.1}))) == ["broken"]


def test_holes_wait_until_the_unit_is_known():
    holed = scaled(figures(loops=(300, 20.8)), 1 / 25.4)
    assert faults(ScanLook("upper.stl", holed)) == ["unit"]
    assert faults(ScanLook("upper.stl", holed, unit_chosen="inch")) == ["broken"]


# Everything together


def test_a_scan_that_cannot_be_read_is_told_with_the_reason_and_nothing_else():
    seen = ScanLook("lower.stl", None, problem="The file is cut short: it ends in the middle of a triangle.")
    assert says(seen) == ["the lower scan cannot be read: the file is cut short: it ends in the middle of a triangle"]
    assert faults(replace(seen, name="20418.stl", before="on Mon 23 Nov")) == ["unreadable"]
    assert judge_scan(replace(seen, name="20418.stl"), RULES).shows is None


def test_a_scan_that_came_before_is_told_with_where():
    assert says(look(about={"before": "on Mon 23 Nov for 20418, job 26 004123 76"})) == [
        "the upper scan looks like one that came before: on Mon 23 Nov for 20418, job 26 004123 76"
    ]


def test_a_scan_without_a_jaw_is_called_by_its_name():
    assert says(look("20418.stl", flipped_share=0.1))[1] == (
        "the scan “20418.stl” is damaged: it is partly inside out (at 10.0% of its edges)"
    )


def test_faults_stand_in_the_order_to_ask_about_them():
    wrong = look("20418.stl", extents=(57, 33, 19), flipped_share=0.1, about={"before": "on Mon 23 Nov"})
    assert faults(wrong) == ["jaw", "part", "broken", "twice"]
    assert faults(replace(wrong, figures=scaled(wrong.figures, 0.1)))[:2] == ["unit", "jaw"]
