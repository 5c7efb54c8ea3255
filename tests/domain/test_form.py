"""What a typed form says: fields that come and go, what was understood, what is wrong, where Enter goes on to."""

from datetime import datetime

import pytest

from intake.domain.case import NewPractice
from intake.domain.form import read_form
from intake.domain.form_finishing import finished
from intake.domain.form_practice import DETAILS
from intake.domain.form_steps import next_place, place_in_form
from intake.domain.judging import judge
from intake.domain.practice import Practice
from intake.resources import demo
from intake.setup.reading import read_practices, read_setup

NOW = datetime(2026, 11, 25, 9, 0)
LAB = read_setup(demo("lab.toml"))
ALONE = Practice(code="QUAY1", name="Quayside Dental Practice", address=("Ellerquay",), prescribers=("Dr R. Ashdown",))
PRACTICES = (*read_practices(demo("practices.toml")), ALONE)


def read(**typed):
    """The form with these texts; `__` stands for a dot, `appliance` for the first line."""
    texts = {name.replace("appliance", "appliances[0]").replace("__", "."): text for name, text in typed.items()}
    return read_form(texts, LAB, PRACTICES, NOW)


def fields_of(form):
    return [place.rpartition(".")[2] for place in form.places if place.startswith("appliances[0].")]


def test_an_empty_form_has_the_fields_of_every_prescription():
    assert read().places == (
        "practice", "prescriber", "patient.label", "patient.reference", "appliances[0]", "items", "hygiene",
        "patient.allergies", "appointment", "arrived", "notes",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("words", "fields"),
    [
        ("hard splint upper", ["thickness_mm", "bite_opening_mm", "colour"]),
        ("hard splint upper 3mm", ["bite_opening_mm", "colour"]),
        ("hard splint upper 3mm opening 2.5 clear", []),
        ("bonded ret lower 3-3", ["material"]),
        ("wire ret upper", ["clasps", "colour", "pontics", "shade"]),
        ("partial plate u", ["teeth", "shade", "clasps", "material"]),
        ("study model both", []),
        ("grbl", []),
    ],
)
def test_an_appliance_has_a_field_for_what_its_words_do_not_say(words, fields):
    assert fields_of(read(appliance=words)) == fields


def test_a_filled_field_stays_whatever_the_words_become():
    assert fields_of(read(appliance="grbl", appliance__options__shade="A2")) == ["shade"]
    assert fields_of(read(appliance="hard splint", appliance__teeth="UR6"))[0:3] == [
        "thickness_mm",
        "bite_opening_mm",
        "colour",
    ]


def test_a_field_that_contradicts_the_words_is_asked_about():
    form = read(appliance="hard splint u 3mm", appliance__options__thickness_mm="2")
    assert form.wrong == ("appliances[0].options.thickness_mm",)
    assert "says 3 mm" in form.said["appliances[0].options.thickness_mm"].text


def test_words_of_several_types_are_asked_about_and_make_no_appliance():
    form = read(appliance="splint upper")
    assert form.case.appliances == ()
    assert form.said["appliances[0]"].text.startswith("This can be: ")


def test_what_was_not_understood_is_kept_as_a_note_and_said():
    form = read(appliance="hard splint upper 3mm canine guidance")
    assert form.case.appliances[0].notes == "canine guidance"
    assert form.said["appliances[0]"].text.endswith("as a note: canine guidance")


def test_fields_fill_in_what_the_words_leave_open():
    form = read(appliance="partial plate u", appliance__teeth="UL2", appliance__options__shade="a3,5")
    (appliance,) = form.case.appliances
    assert (appliance.teeth, appliance.options.shade) == (("22",), "A3.5")


@pytest.mark.parametrize(
    ("text", "code"),
    [("marlow1", "MARLOW1"), ("mar", "MARLOW1"), ("quay", "QUAY1"), ("ηλι", "AGORA"), ("jas", "JASNA")],
)
def test_a_few_letters_are_enough_where_one_practice_fits(text, code):
    form = read(practice=text)
    assert (form.practice.code, form.case.practice) == (code, code)


def test_letters_that_fit_several_are_not_guessed():
    form = read(practice="dental")
    assert form.case.practice is None
    assert form.wrong == ("practice",)


def test_an_unknown_practice_with_details_is_new():
    form = read(
        practice="Hollowbrook Dental", practice__telephone="01632 960273", practice__address="9 Row, Hollowbrook"
    )
    assert form.case.practice == NewPractice(
        name="Hollowbrook Dental", address=("9 Row", "Hollowbrook"), telephone="01632 960273"
    )
    assert set(DETAILS) <= set(form.places)


def test_one_unknown_word_is_a_code_that_nobody_knows():
    assert read(practice="MRLOW1").case.practice == "MRLOW1"


def test_quotation_marks_take_a_name_as_written():
    assert read(practice="“Oxmere Dental”").case.practice == NewPractice(name="Oxmere Dental")


def test_while_there_is_no_directory_a_practice_is_taken_as_typed_and_not_asked_about():
    form = read_form({"practice": "mar"}, LAB, None, NOW)
    assert form.case.practice == "mar"
    assert "practice" not in form.said


def test_a_prescriber_on_file_is_found_by_the_beginning_of_a_name():
    assert read(practice="MARLOW1", prescriber="oko").case.prescriber == "Dr M. Okonjo-Vale"
    assert read(practice="MARLOW1", prescriber="Dr Else").case.prescriber == "Dr Else"
    assert read(practice="MARLOW1", prescriber="Dr Else").said["prescriber"].text.startswith("New there")


def test_only_scans_need_no_word_on_hygiene():
    form = read(items="scan u l")
    assert form.case.hygiene == "not-applicable"
    assert "hygiene" not in form.unsaid
    assert read(items="u l").case.hygiene == "unknown"


def test_no_allergies_are_no_allergy():
    assert read(patient__allergies="none").case.patient.allergies == ()
    assert read(patient__allergies="latex, nickel").case.patient.allergies == ("latex", "nickel")


def test_a_whitening_tray_asks_for_the_age():
    assert "patient.under_18" in read(appliance="whitening tray u").places
    assert "patient.under_18" not in read(appliance="hard splint u").places


def test_an_arrival_without_a_time_came_now():
    assert read().case.arrived == NOW
    assert read(arrived="yesterday 16:30").case.arrived == datetime(2026, 11, 24, 16, 30)


def test_a_finding_leads_to_its_field_or_to_the_nearest_that_is_shown():
    form = read_form(
        {"appliances[0]": "grbl", "appliances[1]": "hard splint", "appliances[1].options.thickness_mm": "3"},
        LAB,
        PRACTICES,
        NOW,
    )
    assert form.lines == (1,)
    assert place_in_form(form, "appliances[0].options.thickness_mm") == "appliances[1].options.thickness_mm"
    assert place_in_form(form, "appliances[0].arch") == "appliances[1]"
    assert place_in_form(form, "items") == "items"
    assert place_in_form(form, "posted") == "practice"


def test_enter_goes_through_what_matters_and_ends():
    form = read(practice="quay", prescriber="ash", appliance="ret u 1", items="u")
    verdict = judge(form.case, LAB, form.practice, NOW)
    asked = [finding.place for finding in verdict.findings if finding.level != "warns"]
    steps, place = [], "practice"
    while (place := next_place(form, place, asked)) is not None:
        steps.append(place)
    assert steps == ["patient.label", "hygiene", "appointment"]


def test_a_clear_practice_becomes_its_code_and_brings_its_only_prescriber():
    typed = {"practice": "quay"}
    form = read_form(typed, LAB, PRACTICES, NOW)
    assert finished(typed, "practice", form) == {"practice": "QUAY1", "prescriber": "Dr R. Ashdown"}
    typed = {"practice": "mar"}
    assert finished(typed, "practice", read_form(typed, LAB, PRACTICES, NOW)) == {"practice": "MARLOW1"}


def test_what_was_typed_as_prescriber_is_never_replaced():
    typed = {"practice": "quay", "prescriber": "Dr Else"}
    assert finished(typed, "practice", read_form(typed, LAB, PRACTICES, NOW))["prescriber"] == "Dr Else"


@pytest.mark.parametrize("place", ["practice", "appliances[0]", "notes"])
def test_leaving_a_field_that_says_nothing_changes_nothing(place):
    assert finished({"appliances[0]": ""}, place, read()) == {"appliances[0]": ""}
