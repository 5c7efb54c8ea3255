"""Two labels of a patient: one person's, perhaps one's, or plainly two people's. Common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.patient_labels import alike

LABELS = st.text(st.sampled_from("jtaenTJ .,'-é12ł"), max_size=14) | st.text(max_size=30)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("J.T.", "j t"),
        ("John Thornley", "THORNLEY John"),
        ("Thornley, John", "John Thornley"),
        ("Mrs J. Thornley", "J Thornley"),
        ("Élodie Ørsted", "elodie orsted"),
        ("J. O’Brien", "OBrien J"),
    ],
)
def test_what_is_written_otherwise_is_the_same_label(one, other):
    assert alike(one, other) == 1


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("J.T.", "John Thornley"),
        ("JT", "Thornley, John"),
        ("J.T.", "J. Thornley"),
        ("LEE", "K. Lee"),
        ("Thornley", "J. Thornley"),
        ("J. Smith", "J. Smyth"),
        ("A. Müller", "A. Mueller"),
        ("John Paul Thornley", "J. Thornley"),
    ],
)
def test_initials_a_missing_name_and_a_slip_of_the_pen_are_nearly_the_same(one, other):
    assert 0.5 < alike(one, other) < 1


@pytest.mark.parametrize(
    ("one", "other"),
    [("J.", "John Thornley"), ("J.", "J"), ("J.T.", "T.J."), ("JT", "Tom Jenkins"), ("Smith", "J. Smyth")],
)
def test_too_little_to_tell_a_patient_by_rules_nobody_out(one, other):
    assert 0 < alike(one, other) < 0.5


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("J.T.", "M.K."),
        ("J. Thornley", "A. Thornley"),
        ("John Thornley", "John Berg"),
        ("Mary Berg", "Mark Berg"),
        ("Patient 12", "Patient 13"),
    ],
)
def test_another_name_is_another_patient(one, other):
    assert alike(one, other) == 0


@pytest.mark.parametrize("nothing", ["", "  ", "–", "...", "’"])
def test_a_label_that_says_nothing_is_held_against_nothing(nothing):
    assert alike(nothing, "J.T.") is None
    assert alike("J.T.", nothing) is None


@given(LABELS, LABELS)
def test_it_makes_no_difference_which_label_stands_first(one, other):
    assert alike(one, other) == alike(other, one)


@given(LABELS)
def test_a_label_is_like_itself(label):
    assert alike(label, label) in (1, 0.4, None)


@given(LABELS, LABELS)
def test_it_is_a_share(one, other):
    assert (found := alike(one, other)) is None or 0 <= found <= 1
