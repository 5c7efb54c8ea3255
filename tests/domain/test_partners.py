"""Which arrivals are offered to be put together, in which order, and which never. Common practice, no source."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from intake.domain.case import Appliance, Case
from intake.domain.partners import Known, appliance_names, likeness, scans_settle
from intake.resources import resource
from intake.setup.reading import read_setup

TODAY = date(2026, 11, 25)
SPLINT, TRAY = ("upper hard occlusal splint",), ("whitening trays",)
SCAN = Known("QUILLB2", "J.T.", "20418", (), TODAY, has_scans=True, has_prescription=False)
PAPER = Known("QUILLB2", "J. Thornley", "20418", SPLINT, TODAY, has_scans=False, has_prescription=True)
LOOSE = replace(SCAN, practice="", label="", reference="", names=("20418 upper.stl", "20418 lower.stl"))
DAYS = 14

KNOWN = st.builds(
    Known,
    practice=st.sampled_from(["QUILLB2", "quillb2", "Quillby Dental", ""]),
    label=st.sampled_from(["J.T.", "John Thornley", "j thornley", "M.K.", "", "–"]),
    reference=st.sampled_from(["20418", "20 418", "20419", "AB-7", ""]),
    appliances=st.sampled_from([(), SPLINT, TRAY]),
    arrived=st.integers(-20, 20).map(lambda days: TODAY + timedelta(days=days)),
    has_scans=st.booleans(),
    has_prescription=st.booleans(),
    names=st.sampled_from([(), ("20418_upper.stl",), ("ab-7 lower.ply",), ("scan.zip",)]),
)


def why(one, other):
    found = likeness(one, other, DAYS)
    return found.why if found else ""


def test_a_scan_and_the_prescription_that_came_the_day_before_say_why():
    before = replace(PAPER, arrived=TODAY - timedelta(days=1))
    assert why(SCAN, before) == "same practice, reference 20418, 1 day apart"


def test_without_a_reference_the_labels_are_named():
    assert why(replace(SCAN, reference=""), PAPER) == "same practice, patient J.T. and J. Thornley, on the same day"
    assert (
        why(replace(SCAN, reference=""), replace(PAPER, label="J.T.")) == "same practice, patient J.T., on the same day"
    )


def test_a_reference_is_the_same_however_it_is_spaced():
    assert why(SCAN, replace(PAPER, reference="20 418")) == "same practice, reference 20 418, on the same day"


def test_loose_files_are_told_by_the_reference_in_their_names():
    assert why(LOOSE, PAPER) == "its practice is not named, 20418 in the name of a file, on the same day"


@pytest.mark.parametrize("name", ["120418 upper.stl", "204 18x.stl", "upper.stl"])
def test_a_number_that_is_only_part_of_another_is_no_reference(name):
    assert likeness(replace(LOOSE, names=(name,)), PAPER, DAYS) is None


def test_a_short_number_is_not_looked_for_in_the_names_of_files():
    assert likeness(replace(LOOSE, names=("12 upper.stl",)), replace(PAPER, reference="12"), DAYS) is None


@pytest.mark.parametrize(
    ("change", "because"),
    [
        ({"practice": "MARLOW1"}, "another practice"),
        ({"reference": "20419"}, "another reference"),
        ({"label": "M.K."}, "another label"),
        ({"arrived": TODAY - timedelta(days=DAYS + 1)}, "too long ago"),
        ({"arrived": TODAY + timedelta(days=DAYS + 1)}, "too much later"),
        ({"reference": "", "label": ""}, "nobody is named"),
        ({"reference": "", "label": "J."}, "an initial is anybody's"),
        ({"reference": "", "practice": ""}, "a label alone may be of any practice"),
    ],
)
def test_what_is_another_patients_is_never_offered(change, because):
    assert likeness(SCAN, replace(PAPER, **change), DAYS) is None, because


def test_two_orders_for_different_appliances_are_two_cases():
    assert likeness(replace(SCAN, appliances=TRAY), PAPER, DAYS) is None
    assert likeness(replace(SCAN, appliances=SPLINT), PAPER, DAYS) is not None


def test_the_last_day_counts():
    assert likeness(SCAN, replace(PAPER, arrived=TODAY - timedelta(days=DAYS)), DAYS) is not None


def test_the_likeliest_goes_first():
    """The reference of the same practice; of none; in a file’s name; then labels as they fit; then the day."""
    paper = replace(PAPER, label="J. Thornley")
    order = [
        SCAN,
        replace(SCAN, arrived=TODAY - timedelta(days=3)),
        replace(SCAN, has_scans=False, arrived=TODAY - timedelta(days=3)),
        replace(SCAN, label=""),
        replace(SCAN, practice=""),
        replace(LOOSE, practice="QUILLB2"),
        LOOSE,
        replace(SCAN, reference="", label="Thornley, J."),
        replace(SCAN, reference=""),
        replace(SCAN, reference="", arrived=TODAY - timedelta(days=3)),
    ]
    scores = [likeness(paper, each, DAYS).score for each in order]
    assert scores == sorted(scores, reverse=True)
    assert len(set(scores)) == len(scores)


@given(KNOWN, KNOWN)
def test_it_makes_no_difference_which_is_which(one, other):
    assert likeness(one, other, DAYS) == likeness(other, one, DAYS)


@given(KNOWN, KNOWN)
def test_a_reference_that_differs_always_rules_out(one, other):
    mine, theirs = (each.reference.replace(" ", "") for each in (one, other))
    assume(mine and theirs and mine != theirs)
    assert likeness(one, other, DAYS) is None


@given(KNOWN, KNOWN, st.integers(0, DAYS), st.sampled_from(["", "J.", "T.J."]))
def test_the_reference_of_the_same_practice_always_outranks_a_label(mine, other, days, label):
    mine = replace(mine, practice="QUILLB2", reference="20418", label="J.T.", appliances=())
    strong = replace(other, practice="quillb2", reference="20418", label=label, arrived=mine.arrived - timedelta(days))
    weak = replace(other, reference="", label="J.T.", arrived=mine.arrived)
    by_reference, by_label = (likeness(mine, each, DAYS) for each in (strong, weak))
    assert by_reference is not None
    assert by_label is None or by_reference.score > by_label.score


@given(KNOWN, KNOWN)
def test_what_is_offered_is_never_of_two_practices_and_has_a_score_and_a_reason(one, other):
    found = likeness(one, other, DAYS)
    if found is not None:
        assert len({each.practice.casefold() for each in (one, other)} - {""}) <= 1
        assert 0 < found.score < 1
        assert found.why.count(",") == 2


@pytest.fixture(scope="module")
def lab():
    return read_setup(resource("setup", "default.toml"))


@pytest.mark.parametrize("requirement", ["scan-whole", "scan-unit", "scan-sound", "bite-record", "working-arch"])
def test_a_scan_settles_questions_about_scans_arches_and_the_bite(lab, requirement):
    assert scans_settle(requirement, lab)


@pytest.mark.parametrize("requirement", ["thickness", "shade", "appointment-date", "hygiene-status", "no-such-rule"])
def test_a_scan_settles_nothing_else(lab, requirement):
    assert not scans_settle(requirement, lab)


def test_orders_are_compared_by_appliance_and_arch_in_any_order(lab):
    upper, lower = (Appliance(type="occlusal-splint-hard", arch=arch) for arch in ("upper", "lower"))
    both = appliance_names(Case(appliances=(upper, lower)), lab)
    assert both == appliance_names(Case(appliances=(lower, upper)), lab)
    assert appliance_names(Case(appliances=(upper,)), lab) != appliance_names(Case(appliances=(lower,)), lab)
