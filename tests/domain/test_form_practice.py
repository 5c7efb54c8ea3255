"""Who ordered, as a form says it: a practice of the directory, or a new one that is offered for it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.case import NewPractice
from intake.domain.form_fields import FormWrong
from intake.domain.form_practice import CODE, DETAILS, read_code, read_practice
from intake.domain.practice import Practice

MARLOWE = Practice(code="MARLOW1", name="Marlowe House", address=("Tarnbeck",), prescribers=("Dr R. Ashdown",))
QUAY = Practice(code="Quay1", name="Quayside Dental Practice", address=("1 Chandler Row", "Ellerquay"))
DIRECTORY = (MARLOWE, QUAY)


def read(practices=DIRECTORY, **typed):
    """What a form says; `__` stands for a dot."""
    return read_practice({place.replace("__", "."): text for place, text in typed.items()}, practices)


def new(**typed):
    return read(practice="Fernhallow Dental Care", **typed)


def test_a_practice_that_is_not_there_has_fields_for_what_the_paper_says_and_a_code():
    form = new()
    assert form.places == ("practice", *DETAILS, CODE, "prescriber")
    assert form.said[CODE].text == "+ adds it as FERNHA1"
    assert (form.new, form.named) == (None, NewPractice(name="Fernhallow Dental Care"))


def test_a_plus_takes_the_suggested_code_and_the_case_names_it():
    details = {"practice__address": "Station Approach, Fernhallow", "practice__telephone": "01632 960158"}
    form = new(practice__code="+", prescriber="Dr N. Else", **details)
    assert form.named == "FERNHA1"
    assert form.new == Practice(
        code="FERNHA1",
        name="Fernhallow Dental Care",
        address=("Station Approach", "Fernhallow"),
        telephone="01632 960158",
        prescribers=("Dr N. Else",),
    )


def test_a_code_of_ones_own_is_taken_in_capitals():
    assert new(practice__code="fern").new.code == "FERN"


@pytest.mark.parametrize("code", ["F", "FERN-1", "FERN 1", "F/1", "“FERN”", "ABCDEFGHIJKLM", "++"])
def test_odd_signs_and_lengths_are_refused_with_what_would_be_right(code):
    form = new(practice__code=code)
    assert form.said[CODE].wrong
    assert "2 to 12 letters and digits" in form.said[CODE].text
    assert form.new is None
    with pytest.raises(FormWrong):
        read_code(code)


@pytest.mark.parametrize("code", ["marlow1", "QUAY1", "quay1"])
def test_a_code_that_another_practice_has_is_refused_with_one_that_is_free(code):
    form = new(practice__code=code)
    assert form.said[CODE].wrong
    assert form.said[CODE].text.endswith("FERNHA1 is free.")
    assert isinstance(form.named, NewPractice)


@pytest.mark.parametrize("typed", ["Fernhallow", "“Quayside Dental Practice”"], ids=["one word", "the name of another"])
def test_a_name_of_one_word_or_of_another_practice_can_be_entered(typed):
    form = read(practice=typed, practice__code="+")
    assert form.new.name == typed.strip("“”")
    assert form.named == form.new.code


def test_a_new_practice_of_a_name_that_is_there_is_told_the_code_of_that():
    assert "type Quay1 if it is meant" in read(practice="“Quayside dental practice”").said["practice"].text


def test_a_form_whose_practice_it_has_entered_itself_knows_it_again():
    typed = {"practice": "“Quayside Dental Practice”", CODE: "quay1", DETAILS[0]: "1 Chandler Row, Ellerquay"}
    assert read_practice(typed, DIRECTORY).practice == QUAY
    elsewhere = typed | {DETAILS[0]: "2 Other Street, Oxmere"}
    assert read_practice(elsewhere, DIRECTORY).practice is None


def test_the_code_is_offered_on_the_way_through_the_form_until_there_is_one():
    assert CODE in new().unsaid
    assert CODE not in new(practice__code="+").unsaid


def test_nothing_is_new_while_the_directory_is_not_known():
    form = read(practices=None, practice="Fernhallow Dental Care", practice__code="+")
    assert (form.new, form.named, form.places) == (None, "Fernhallow Dental Care", ("practice", "prescriber"))


@pytest.mark.parametrize(
    ("typed", "signs", "remembers"),
    [
        ("Dr N. Else", "Dr N. Else", False),
        ("Dr N. Else+", "Dr N. Else", True),
        ("Dr N. Else +", "Dr N. Else", True),
        ("ash +", "Dr R. Ashdown", False),
        ("“ash” +", "ash", True),
        ("+", None, False),
        ("- +", None, False),
    ],
)
def test_a_plus_behind_a_new_prescriber_remembers_it(typed, signs, remembers):
    form = read(practice="MARLOW1", prescriber=typed)
    assert (form.prescriber, form.remembers) == (signs, remembers)


@pytest.mark.parametrize("practice", ["Fernhallow Dental Care", "", "a"])
def test_a_plus_is_never_part_of_a_name(practice):
    assert read(practice=practice, prescriber="Dr N. Else +").prescriber == "Dr N. Else"
    assert not read(practice=practice, prescriber="Dr N. Else +").remembers


@given(text=st.text(max_size=15))
def test_a_code_reads_to_the_same_code_again_or_is_refused(text):
    try:
        code = read_code(text)
    except FormWrong:
        return
    assert read_code(code) == code
