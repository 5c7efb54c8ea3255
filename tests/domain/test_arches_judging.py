"""Two arches by their figures: each test at its edge, in its order, and never more than “looks registered”."""

import pytest

from intake.domain.scan_figures import BiteFigures
from intake.domain.scan_judging import judge_arches
from tests.domain.scan_looks import RULES, above, below, pair

# Crowns of two patients, A and B, placed on purpose and measured; they are closed shells without a
# direction. Areas in mm² of the lower within 0.5 and 1 mm of the upper; of the latter, how much lies inside.
TABLE = [
    ("closed A", 326, 581, 0.00, "registered"),
    ("closed B", 247, 440, 0.01, "registered"),
    ("opened 0.5 mm A", 108, 396, 0.0, "registered"),
    ("opened 0.5 mm B", 78, 299, 0.0, "registered"),
    ("opened 1 mm A", 0, 169, 0.0, "gap"),
    ("opened 1 mm B", 4, 124, 0.0, "gap"),
    ("opened 3 mm A", 0, 0, 0.0, "apart"),
    ("pressed in 1 mm A", 426, 732, 0.40, "through"),
    ("pressed in 1 mm B", 349, 578, 0.35, "through"),
    ("each about its own middle A", 108, 210, 0.83, "through"),
    ("each about its own middle B", 68, 139, 1.18, "through"),
    # What the figures cannot tell: 1 mm aside, or 2 mm back, still looks registered.
    ("1 mm aside A", 295, 551, 0.07, "registered"),
    ("2 mm back A", 240, 406, 0.09, "registered"),
    ("2 mm forward A", 272, 543, 0.22, "doubtful"),
    ("2 mm aside A", 213, 436, 0.20, "doubtful"),
    ("4 mm aside A", 129, 252, 0.21, "doubtful"),
]


def judged(**changes):
    return judge_arches(pair(**changes), None, RULES)


@pytest.mark.parametrize(("half", "one", "inside", "standing"), [r[1:] for r in TABLE], ids=[r[0] for r in TABLE])
def test_measured_pairs_of_crowns_stand_as_they_were_placed(half, one, inside, standing):
    found = judged(near_half=half, near_one=one, inside=inside, facing=0.0, both_open=False)
    assert found.standing == standing


@pytest.mark.parametrize(("facing", "one_frame"), [(-0.64, True), (-0.68, True), (0.97, False), (1.0, False)])
def test_measured_pairs_of_open_scans_look_at_one_another(facing, one_frame):
    assert (judged(facing=facing).standing == "registered") == one_frame


ARCH_EDGES = [
    ({"facing": -0.3}, {"facing": above(-0.3)}, "registered", "not-one-frame"),
    ({"near_half": 0, "near_one": 10}, {"near_half": 0, "near_one": below(10)}, "gap", "apart"),
    ({"inside": below(0.35)}, {"inside": 0.35}, "doubtful", "through"),
    ({"inside": below(0.12)}, {"inside": 0.12}, "registered", "doubtful"),
    ({"near_half": 30}, {"near_half": below(30)}, "registered", "gap"),
]


@pytest.mark.parametrize(
    ("one", "other", "first", "then"), ARCH_EDGES, ids=[f"{first}-{then}" for _, _, first, then in ARCH_EDGES]
)
def test_each_figure_of_two_arches_at_its_edge(one, other, first, then):
    assert (judged(**one).standing, judged(**other).standing) == (first, then)


def test_the_tests_are_made_in_their_order():
    """Figures that every test but the last would answer: each test is answered once those before it are content."""
    worst = {"facing": 0.97, "near_half": 0, "near_one": 0, "inside": 0.5, "least": 4}
    steps = [{}, {"facing": -0.6}, {"near_one": 100}, {"inside": 0.2}, {"inside": 0.0}, {"near_half": 50}]
    standings = []
    for step in steps:
        worst |= step
        standings.append(judged(**worst).standing)
    assert standings == ["not-one-frame", "apart", "through", "doubtful", "gap", "registered"]


def test_closed_shells_have_no_direction_to_look_in():
    assert judged(both_open=False, facing=0.9).standing == "registered"


def test_arches_that_cross_steeply_run_through_each_other_though_little_of_them_is_near():
    assert judged(near_half=0, near_one=1, inside=26, least=0.04).standing == "through"
    assert judged(near_half=0, near_one=1, inside=9, least=0.04).standing == "apart"


SAID = [
    (
        {"facing": 0.97},
        "each lies in a frame of its own, for their chewing sides do not face each other (cosine +0.97)",
    ),
    (
        {"near_one": 0, "least": 3.41},
        "they are 3.4 mm apart at the least, with 0 mm² of the lower within 1 mm of the upper",
    ),
    (
        {"near_one": 210, "inside": 0.83},
        "they run through each other, with 174 mm² of the lower more than 0.3 mm inside the upper",
    ),
    (
        {"near_half": 4, "near_one": 124, "least": 0.8},
        "there is a gap of about 0.8 mm, with 4 mm² of the lower within 0.5 mm of the upper and 124 mm² within 1 mm",
    ),
]


@pytest.mark.parametrize(("changes", "said"), SAID)
def test_arches_that_do_not_meet_say_so_and_why(changes, said):
    assert judged(**changes).says == f"the arches do not meet: {said}"


def test_a_doubtful_pair_says_how_far_it_cuts_in():
    assert judged(near_one=300, inside=0.2).says == (
        "whether the arches meet is doubtful: 60 mm² of the lower lies more than 0.3 mm inside the upper, and 300 mm² "
        "within 1 mm of it"
    )


def test_a_registered_pair_only_looks_so():
    assert judged(inside=0.004).says == (
        "the arches look registered: 326 mm² of the lower lies within 0.5 mm of the upper, 581 mm² within 1 mm, "
        "2 mm² more than 0.3 mm inside it"
    )


ON_BOTH, ON_ONE = BiteFigures(near_upper=0.35, near_lower=0.31), BiteFigures(near_upper=0.35, near_lower=0.04)


@pytest.mark.parametrize(
    ("upper", "lower", "registered"), [(0.2, 0.2, True), (below(0.2), 1, False), (1, below(0.2), False)]
)
def test_a_bite_scan_lies_on_both_arches_or_says_nothing(upper, lower, registered):
    bite = BiteFigures(near_upper=upper, near_lower=lower)
    found = judge_arches(pair(near_half=0, near_one=0, least=3.2), bite, RULES)
    assert found.standing == ("registered" if registered else "apart")


def test_a_bite_that_was_recorded_open_holds_arches_that_do_not_touch():
    found = judge_arches(pair(near_half=0, near_one=0, least=3.2), ON_BOTH, RULES)
    assert found.says == (
        "the arches look registered: the bite scan lies on both, 35% of it on the upper and 31% on the lower; "
        "0 mm² of the lower lies within 0.5 mm of the upper, 0 mm² within 1 mm, 0 mm² more than 0.3 mm inside it"
    )
    assert judge_arches(pair(near_half=0, near_one=120), ON_BOTH, RULES).standing == "registered"


@pytest.mark.parametrize("changes", [{"facing": 0.9}, {"inside": 0.5}, {"inside": 0.2}])
def test_no_bite_scan_makes_up_for_arches_in_two_frames_or_in_each_other(changes):
    assert judge_arches(pair(**changes), ON_BOTH, RULES).standing == judged(**changes).standing


def test_where_a_bite_scan_lies_is_told():
    assert judge_arches(pair(near_one=0, least=3.2), ON_ONE, RULES).says.endswith(
        "within 1 mm of the upper; of the bite scan 35% lies on the upper and 4% on the lower"
    )
    meeting = judge_arches(pair(), ON_ONE, RULES)
    assert meeting.standing == "registered"
    assert meeting.says.endswith("inside it; of the bite scan 35% lies on the upper and 4% on the lower")
    assert "the bite scan lies on both" not in judge_arches(pair(inside=0.5), ON_BOTH, RULES).says
