"""What was seen of scans as the default rule book asks about it; all of it common practice, no source."""

from dataclasses import replace

import pytest

from intake.domain.case import Waiver
from intake.domain.scan_figures import BiteFigures
from intake.domain.scan_items import with_scans
from intake.domain.scan_judging import ScanLook, judge_arches, judge_scan
from intake.resources import demo
from intake.setup.reading import read_setup
from tests.domain.complete_cases import CENTRIC, COMPLETE, PROTRUSIVE, a_case, findings, said, the_lab
from tests.domain.scan_looks import RULES, look, pair

UPPER, LOWER = look("upper.stl"), look("lower.stl")
BITE = look("bite.stl", extents=(38, 20, 11), area=658, parts=22, largest_share=0.5)
MEETING = pair()
APART = {
    "not-one-frame": pair(facing=0.97),
    "apart": pair(near_half=0, near_one=0, least=3.4),
    "through": pair(inside=0.5),
    "gap": pair(near_half=4, near_one=124, least=0.8),
}
DOUBTFUL = pair(inside=0.2)
BIT_BY_SCANS = ("occlusal-splint-hard", "occlusal-splint-dual", "anterior-splint", "aligner-set", "sports-mouthguard",
                "partial-plate-with-tooth", "study-model")  # fmt: skip


def scanned(kind, *looks, arches=None, bite=None, **changes):
    """A complete case for which these scans came."""
    seen = [judge_scan(each, RULES) for each in looks]
    stand = judge_arches(arches, bite, RULES) if arches is not None else None
    return with_scans(a_case(kind, **changes), seen, stand)


def told(case, requirement):
    (finding,) = [finding for finding in findings(case) if finding.requirement == requirement]
    return finding


# Do they bite


def test_nothing_is_asked_of_sound_scans_that_are_registered():
    assert said(scanned("aligner-set", UPPER, LOWER, arches=MEETING, items=())) == []


@pytest.mark.parametrize("kind", BIT_BY_SCANS)
def test_arches_that_look_registered_count_as_a_bite_record(kind):
    without = said(scanned(kind, UPPER, LOWER, items=()))
    meeting = said(scanned(kind, UPPER, LOWER, arches=MEETING, items=()))
    assert [each for each in without if "bite-record" in each]
    assert not [each for each in meeting if each == "stops bite-record[0]"]


@pytest.mark.parametrize("kind", ["occlusal-splint-hard", "occlusal-splint-dual"])
def test_of_a_splint_on_registered_scans_only_the_position_is_asked(kind):
    case = scanned(kind, UPPER, LOWER, arches=MEETING, items=())
    assert said(case) == ["asks bite-record[0]"]
    finding = told(case, "bite-record")
    assert finding.question == "In which position was the bite taken: in centric, or opened, and by how much?"
    assert finding.because == (
        "No bite record among the 2 items received (upper scan, lower scan); the arches look registered: 326 mm² of "
        "the lower lies within 0.5 mm of the upper, 581 mm² within 1 mm, 0 mm² more than 0.3 mm inside it. A splint is "
        "set to the position of the record."
    )


@pytest.mark.parametrize("standing", APART)
def test_of_arches_that_do_not_meet_the_bite_is_asked_for_with_the_reason(standing):
    case = scanned("occlusal-splint-hard", UPPER, LOWER, arches=APART[standing], items=())
    assert case.arches.standing == standing
    finding = told(case, "bite-record")
    assert finding.level == "stops"
    assert finding.question == (
        "Please send a bite record for the upper hard occlusal splint, in centric or at the opened height."
    )
    assert finding.because.startswith(
        "No bite record among the 2 items received (upper scan, lower scan); the arches do not meet: "
    )


def test_a_gap_is_told_with_its_numbers():
    assert told(scanned("aligner-set", UPPER, LOWER, arches=APART["gap"], items=()), "bite-record").because == (
        "No bite record among the 2 items received (upper scan, lower scan); the arches do not meet: there is a gap of "
        "about 0.8 mm, with 4 mm² of the lower within 0.5 mm of the upper and 124 mm² within 1 mm. Without it the bite "
        "would be guessed."
    )


def test_where_it_is_doubtful_the_bite_is_asked_for_too():
    finding = told(scanned("occlusal-splint-hard", UPPER, LOWER, arches=DOUBTFUL, items=()), "bite-record")
    assert (finding.level, "whether the arches meet is doubtful: 116 mm² of the lower" in finding.because) == (
        "stops",
        True,
    )


@pytest.mark.parametrize("arches", [None, MEETING, APART["gap"]])
def test_a_bite_record_in_the_hand_is_enough_however_the_scans_lie(arches):
    wax = CENTRIC.model_copy(update={"source": "physical"})
    case = scanned("occlusal-splint-hard", UPPER, LOWER, arches=arches, items=(wax,), hygiene="disinfected")
    assert said(case) == []


def test_a_bite_scan_is_a_bite_record_in_the_position_that_was_prescribed():
    on_both = BiteFigures(near_upper=0.4, near_lower=0.4)
    case = scanned("occlusal-splint-hard", UPPER, LOWER, BITE, arches=APART["apart"], bite=on_both, items=(CENTRIC,))
    assert (case.arches.standing, said(case)) == ("registered", [])


def test_a_bite_that_was_said_to_be_scanned_and_did_not_come_is_asked_for():
    assert said(scanned("occlusal-splint-hard", UPPER, LOWER)) == ["stops bite-record[0]"]


@pytest.mark.parametrize("kind", ["advancement-appliance", "functional-appliance"])
def test_registered_arches_are_no_protrusive_record(kind):
    case = scanned(kind, UPPER, LOWER, arches=MEETING, items=())
    assert said(case) == ["stops bite-record[0]"]
    assert "the arches look registered" in told(case, "bite-record").because
    assert said(scanned(kind, UPPER, LOWER, BITE, arches=MEETING, items=(PROTRUSIVE,))) == []


@pytest.mark.parametrize("kind", sorted(set(COMPLETE) - {"repair"}))
def test_no_finding_calls_a_bite_correct(kind):
    for arches in (MEETING, DOUBTFUL, *APART.values()):
        for finding in findings(scanned(kind, UPPER, LOWER, arches=arches, items=())):
            assert "correct" not in f"{finding.question} {finding.because}"


# What is wrong with a scan

UNREADABLE = ScanLook("upper.stl", None, problem="The file is cut short: it ends in the middle of a triangle.")
FAULTY = {
    "scan-readable": (
        UNREADABLE,
        "stops",
        "Please send the scan again: it cannot be read.",
        "The upper scan cannot be read: the file is cut short: it ends in the middle of a triangle. From a file that "
        "is cut off or damaged on its way nothing can be made.",
    ),
    "scan-unit": (
        look(extents=(2.5, 2, 0.7)),
        "asks",
        "In which unit was the scan saved: mm, inches, cm or metres?",
        "The unit of the upper scan is not sure: it states none and measures 2.5 along its longest side (in inches "
        "that is 64 mm, the size of an arch). An appliance made in the wrong unit has the wrong size.",
    ),
    "scan-jaw": (
        look("20418.stl", jaw_score=0.9),
        "warns",
        "Look at the picture and choose which jaw it is.",
        "Which jaw the scan “20418.stl” shows has to be chosen: the name of the file tells no jaw, and its shape looks "
        "like an upper. An appliance fits the jaw that it was made on.",
    ),
    "scan-whole": (
        look(extents=(57.7, 33.9, 19.7)),
        "stops",
        "Please send the whole arch, or say that this is all that is meant.",
        "The upper scan is part of an arch: 34 mm across where a whole arch measures 41 or more. Most appliances rest "
        "on the whole arch; a young child’s may be as small.",
    ),
    "scan-sound": (
        look(loops=(300, 20.8)),
        "asks",
        "Please look at the scan and send a sound one, or say that it can be used as it is.",
        "The upper scan is damaged: it has a hole with an edge of 21 mm. What a scan does not show would be guessed.",
    ),
    "scan-twice": (
        look(about={"before": "on Mon 23 Nov for 20418"}),
        "warns",
        "Make sure that the scan belongs to this patient.",
        "The upper scan looks like one that came before: on Mon 23 Nov for 20418. The same scan for two cases may be a "
        "file taken by mistake.",
    ),
}


@pytest.mark.parametrize("requirement", FAULTY)
def test_each_fault_becomes_a_finding_of_its_level_that_reads_as_sentences(requirement):
    seen, level, question, because = FAULTY[requirement]
    finding = told(scanned("aligner-set", seen, LOWER, arches=MEETING), requirement)
    assert (finding.level, finding.appliance, finding.place) == (level, None, "items")
    assert (finding.question, finding.because) == (question, because)


@pytest.mark.parametrize("requirement", ["scan-unit", "scan-whole", "scan-sound", "scan-twice"])
def test_a_scan_with_a_fault_came_all_the_same(requirement):
    seen, level, *_ = FAULTY[requirement]
    assert said(scanned("aligner-set", seen, LOWER, arches=MEETING)) == [f"{level} {requirement}"]


def test_a_scan_that_cannot_be_read_leaves_its_arch_missing():
    assert said(scanned("aligner-set", UNREADABLE, LOWER, BITE)) == ["stops working-arch[0]", "stops scan-readable"]


def test_a_scan_whose_jaw_nobody_chose_stands_for_no_arch():
    case = scanned("aligner-set", look("20418.stl"), LOWER, BITE)
    assert said(case) == ["stops working-arch[0]", "warns scan-jaw"]


def test_two_scans_with_one_fault_are_asked_about_once():
    halves = [replace(each, figures=FAULTY["scan-whole"][0].figures) for each in (UPPER, LOWER)]
    assert told(scanned("aligner-set", *halves, arches=MEETING), "scan-whole").because.startswith(
        "The upper scan is part of an arch: 34 mm across where a whole arch measures 41 or more; the lower scan is "
        "part of an arch: 34 mm across where a whole arch measures 41 or more. "
    )


@pytest.mark.parametrize("requirement", ["scan-unit", "scan-whole", "scan-sound"])
def test_the_prescriber_may_say_that_a_scan_can_be_used_as_it_is(requirement):
    waived = (Waiver(requirement=requirement, by="Dr R. Ashdown"),)
    case = scanned("aligner-set", FAULTY[requirement][0], LOWER, arches=MEETING, waived=waived)
    assert requirement not in [finding.requirement for finding in findings(case)]


@pytest.mark.parametrize("requirement", ["scan-jaw", "scan-twice"])
def test_what_the_desk_has_to_see_to_cannot_be_waived(requirement):
    waived = (Waiver(requirement=requirement, by="Dr R. Ashdown"),)
    case = scanned("aligner-set", FAULTY[requirement][0], LOWER, arches=MEETING, waived=waived)
    assert requirement in [finding.requirement for finding in findings(case)]


@pytest.mark.parametrize("kind", sorted(set(COMPLETE) - {"repair"}))
def test_scans_without_a_fault_ask_nothing_of_their_own(kind):
    assert not [each for each in said(scanned(kind, UPPER, LOWER, arches=MEETING)) if "scan-" in each]


def test_a_case_that_came_by_post_is_asked_nothing_about_scans():
    assert not [each for each in said(a_case("aligner-set")) if "scan-" in each]


def test_the_demos_laboratory_judges_scans_by_the_same_rules_and_figures():
    lab = read_setup(demo("lab.toml"))
    assert lab.rules == the_lab().rules
    assert lab.scans == the_lab().scans == RULES
