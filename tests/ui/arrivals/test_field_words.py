"""Names, letters and help of the fields."""

from hypothesis import given
from hypothesis import strategies as st

from intake.ui.arrivals.field_words import TAKEN, access_letters, field_help, field_names, fields, with_letter

CASE = ("practice", "prescriber", "patient.label", "items", "hygiene", "appointment", "arrived", "notes")
OPTIONS = (
    "teeth",
    "options.shade",
    "options.clasps",
    "options.pontics",
    "options.springs",
    "options.material",
    "notes",
)


@given(options=st.sets(st.sampled_from(OPTIONS)), lines=st.integers(1, 4), line=st.integers(0, 3))
def test_no_two_fields_have_the_same_letter(options, lines, line):
    places = [*CASE, *(f"appliances[{n}]" for n in range(lines))]
    places += [f"appliances[{n}].{option}" for n in range(lines) for option in options]
    letters = list(access_letters(places, min(line, lines - 1)).values())
    assert len(set(letters)) == len(letters)
    assert not set(letters) & TAKEN


def test_a_letter_is_marked_in_its_name_or_stands_behind_it():
    assert with_letter("Practice", "P") == "&Practice"
    assert with_letter("Patient label", "L") == "Patient &label"
    assert with_letter("Teeth", "X") == "Teeth (&X)"
    assert with_letter("Teeth", "") == "Teeth"


def test_several_appliances_are_told_apart_by_number():
    names = field_names(["practice", "appliances[0]", "appliances[1]", "appliances[1].options.shade"])
    assert list(names.values()) == ["Practice", "Appliance 1", "Appliance 2", "Shade 2"]


def test_every_kind_of_field_has_help_and_the_lab_s_names_are_in_that_of_the_appliance(lab):
    for kind, words in fields().items():
        assert words.help.endswith("."), kind
    told = field_help("appliances[0]", lab, "Ctrl+J")
    assert "Ctrl+J" in told
    assert all(kind.name in told for kind in lab.types)
