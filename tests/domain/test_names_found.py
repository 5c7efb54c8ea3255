"""The name on the bag or tray against the prescription's: spellings are one patient, other names are not."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.case import Patient
from intake.domain.names_found import name_found

NAMES = st.lists(
    st.text(st.characters(categories=["Lu", "Ll"], max_codepoint=0x17F), min_size=2, max_size=9), min_size=1, max_size=3
).map(" ".join)


def fit(found, label="", reference=None):
    return name_found(Patient(label=label, reference=reference, found=found))


@pytest.mark.parametrize(
    ("found", "label"),
    [
        ("J.T.", "J.T."),
        ("j t", "J.T."),
        ("JT", "John Thornley"),
        ("John Thornley", "J.T."),
        ("J. Thornley", "John Thornley"),
        ("THORNLEY, John", "John Thornley"),
        ("Thornley J.", "J. Thornley"),
        ("Mr John Thornley", "John Thornley"),
        ("Thornley", "John Thornley"),
        ("John Peter Thornley", "John Thornley"),
        ("Müller", "MULLER"),
        ("O’Brien", "OBrien"),
        ("Mac Donald", "MacDonald"),
        ("Łukasz Brzęk", "Lukasz Brzek"),
        ("Thornley-Ash", "Thornley"),
        ("J.T. 12/03/1990", "J.T."),
        ("J.T. 2 mm", "J.T."),
    ],
)
def test_case_accents_punctuation_titles_order_and_initials_make_no_difference(found, label):
    assert fit(found, label) == "same"


@pytest.mark.parametrize(
    ("found", "label"),
    [
        ("Jon Thornley", "John Thornley"),
        ("John Thornly", "John Thornley"),
        ("Mueller", "Müller"),
        ("Ann Ash", "Anne Ash"),
        ("T.J.", "John Thornley"),
        ("J.", "John Thornley"),
    ],
)
def test_a_slip_of_the_pen_and_initials_in_another_order_are_near(found, label):
    """Of 1.01 million labels 148 names were spelled otherwise (Hawker et al., Clin Chem 2014;60)."""
    assert fit(found, label) == "near"


@pytest.mark.parametrize(
    ("found", "label"),
    [
        ("Mary Okafor", "John Thornley"),
        ("A. Thornley", "J. Thornley"),
        ("Tim Thornley", "Tom Thornley"),
        ("J.T.", "M.R."),
        ("Thornley", "Thornbury"),
        ("Lee", "Lea"),
        ("漢字", "J.T."),
    ],
)
def test_another_name_differs_even_in_one_family(found, label):
    assert fit(found, label) == "differs"


@pytest.mark.parametrize(
    ("found", "reference", "expected"),
    [
        ("J.T. 20418", "20418", "same"),
        ("Ref. 20418", "20418", "same"),
        ("20418", "20418", "same"),
        ("no. 20418", "AB/20418", "same"),
        ("J.T. 20481", "20418", "differs"),
        ("20481", "20418", "differs"),
        ("M.R. 20418", "20418", "differs"),
    ],
)
def test_a_reference_on_the_bag_has_to_be_the_prescriptions(found, reference, expected):
    assert fit(found, "J.T.", reference) == expected


@pytest.mark.parametrize(
    ("found", "label", "reference"),
    [(None, "J.T.", None), ("", "J.T.", "20418"), ("  ", "J.T.", None), ("J.T.", "", None), ("J.T.", "", "20418")],
)
def test_where_one_of_them_says_nothing_there_is_nothing_to_compare(found, label, reference):
    assert fit(found, label, reference) is None


def test_of_several_bags_the_worst_name_counts():
    assert fit("J.T.; John Thornley", "J.T.") == "same"
    assert fit("John Thornley; Jon Thornley", "John Thornley") == "near"
    assert fit("J.T.; M.R.", "J.T.") == "differs"


@given(NAMES)
def test_a_name_is_always_its_own(name):
    assert fit(name, name) == "same"
    assert fit(name.upper(), name) in ("same", "near")  # ß and its like become two letters


@given(NAMES, NAMES)
def test_it_makes_no_difference_which_of_the_two_is_the_bags(one, other):
    assert fit(one, other) == fit(other, one)


@given(st.text(max_size=40), st.text(max_size=40), st.text(max_size=12))
def test_whatever_stands_on_a_bag_can_be_compared(found, label, reference):
    assert fit(found, label, reference) in (None, "same", "near", "differs")
