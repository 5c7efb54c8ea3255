"""Two forms of one case become one: nothing typed is overwritten, nothing that came or could hurt somebody is lost."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.form_joining import joined_form

PLACES = ("practice", "practice.postcode", "prescriber", "patient.label", "patient.reference", "appointment")
LINES = ("appliances[0]", "appliances[0].notes", "appliances[1]")
FORMS = st.dictionaries(st.sampled_from((*PLACES, *LINES)), st.sampled_from(["", " ", "one", "two"]))


def test_what_only_one_form_says_is_taken():
    first = {"practice": "QUILLB2", "patient.label": "J.T.", "appliances[0]": " "}
    second = {"patient.label": "J. Thornley", "patient.reference": "20418", "appliances[0]": "hard splint u"}
    assert joined_form(first, second) == {
        "practice": "QUILLB2",
        "patient.label": "J.T.",
        "patient.reference": "20418",
        "appliances[0]": "hard splint u",
    }


def test_appliances_are_all_of_one_form():
    first = {"appliances[0]": "hard splint u"}
    second = {"appliances[0]": "whitening tray u", "appliances[1]": "whitening tray l", "appliances[0].notes": "soon"}
    assert joined_form(first, second) == first


def test_an_address_is_never_put_to_another_practice():
    second = {"practice": "“Another”", "practice.postcode": "EL1 2AB"}
    assert joined_form({"practice": "QUILLB2"}, second) == {"practice": "QUILLB2"}


@pytest.mark.parametrize(
    ("place", "first", "second", "both"),
    [
        ("items", "u l add sil", "scan u; b", "u l add sil; scan u; b"),
        ("items", "u l; b", "b", "u l; b"),
        ("patient.allergies", "latex", "Nickel, Latex", "Nickel, latex"),
        ("patient.allergies", "none", "nickel", "nickel"),
        ("patient.allergies", "none", "none", "none"),
        ("notes", "please hurry", "allergic to latex", "please hurry; allergic to latex"),
        ("notes", "please hurry", "hurry", "please hurry"),
        ("hygiene", "d", "n", "n"),
        ("hygiene", "n", "d", "n"),
        ("hygiene", "d", "?", "?"),
        ("hygiene", "d", "na", "d"),
        ("hygiene", "soaked", "d", "soaked"),
        ("patient.under_18", "n", "y", "y"),
        ("patient.under_18", "y", "n", "y"),
    ],
)
def test_of_what_both_say_the_more_careful_stands(place, first, second, both):
    assert joined_form({place: first}, {place: second}) == {place: both}


@given(FORMS, FORMS)
def test_nothing_that_was_typed_is_overwritten(first, second):
    both = joined_form(first, second)
    assert both | {place: text for place, text in first.items() if text.strip()} == both


@given(FORMS)
def test_a_form_and_an_empty_one_are_that_form(form):
    said = {place: text for place, text in form.items() if text.strip()}
    assert joined_form(form, {}) == joined_form({}, form) == joined_form(form, form) == said
