"""A filled blank prescription, read into the form of a case: the same case as if the desk had typed it."""

from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stdnum.iso7064 import mod_97_10

from intake.domain.blank_fields import (
    APPLIANCES,
    ITEMS,
    BlankNumberRefused,
    appliance_field,
    blank_number,
    item_field,
    option_field,
    read_blank_number,
)
from intake.domain.blank_reading import typed_blank
from intake.domain.form import read_form
from intake.domain.form_appliances import OPTION_NAMES
from tests.desk.desks import demo_lab, demo_practices

NOW = datetime(2026, 11, 25, 8, 40)
LAB, PRACTICES = demo_lab(), demo_practices()
LINE = "appliances[0]"
NUMBER = blank_number("OXMERE")
SPLINT = {
    "form": NUMBER,
    "prescriber": "Dr H. Quarrell",
    "patient-label": "J.T.",
    "patient-reference": "20418",
    "under-18": "/1",
    "appliance1-type": "occlusal-splint-hard",
    "appliance1-arch": "/0",
    "appliance1-thickness_mm": "2,5",
    "sent-impression-upper": "/Yes",
    "sent-impression-lower": "/Yes",
    "impression-material": "addition-silicone",
    "impression-taken": "24 nov 15:30",
    "sent-bite-record": "/Yes",
    "bite-kind": "/1",
    "bite-mm": "3",
    "hygiene": "/0",
    "appointment": "10 Dec 2026 9.30",
    "allergies": "nickel, latex",
}


def read(fields):
    return read_form(typed_blank(fields, LAB, PRACTICES, NOW.date()), LAB, PRACTICES, NOW)


def test_a_filled_form_is_the_case_that_it_says():
    form = read(SPLINT)
    case, (splint,) = form.case, form.case.appliances
    assert form.wrong == ()
    assert (case.practice, case.prescriber) == ("OXMERE", "Dr H. Quarrell")
    assert (case.patient.label, case.patient.reference, case.patient.under_18) == ("J.T.", "20418", False)
    assert case.patient.allergies == ("nickel", "latex")
    assert (splint.type, splint.arch, splint.options.thickness_mm) == ("occlusal-splint-hard", "upper", 2.5)
    assert [(i.item, i.arch) for i in case.items[:2]] == [("impression", "upper"), ("impression", "lower")]
    assert {(i.material, i.taken) for i in case.items[:2]} == {("addition-silicone", datetime(2026, 11, 24, 15, 30))}
    assert (case.items[2].kind, case.items[2].mm) == ("open", 3)
    assert case.hygiene == "disinfected"
    assert case.appointment == datetime(2026, 12, 10, 9, 30)


def test_an_empty_form_says_only_whose_it_is():
    assert typed_blank({"form": NUMBER, "appliance1-arch": "/Off", "hygiene": "/Off"}, LAB, PRACTICES, NOW.date()) == {
        "practice": "OXMERE"
    }


@pytest.mark.parametrize("kind", LAB.types, ids=lambda kind: kind.id)
@pytest.mark.parametrize("index", range(APPLIANCES))
def test_every_type_of_the_menu_is_read_as_itself(kind, index):
    (appliance,) = read({"form": NUMBER, appliance_field(index): kind.id}).case.appliances
    assert appliance.type == kind.id


def test_a_column_that_is_left_empty_makes_no_appliance():
    fields = {appliance_field(2): "whitening-tray", "appliance1-arch": "/Off", option_field(1, "shade"): " "}
    assert len(read({"form": NUMBER, **fields}).case.appliances) == 1


@pytest.mark.parametrize(("item", "arch"), ITEMS)
def test_everything_that_can_be_ticked_as_sent_is_received(item, arch):
    (received,) = read({"form": NUMBER, item_field(item, arch): "/Yes"}).case.items
    assert (received.item, received.arch) == (item, arch)


def test_the_position_of_a_bite_record_is_never_assumed():
    (bite,) = read({"form": NUMBER, "sent-bite-record": "Yes"}).case.items
    assert bite.kind is None


def test_a_scan_keeps_the_day_on_which_it_was_taken_and_no_material():
    fields = {"sent-scan-upper": "Yes", "impression-material": "alginate", "impression-taken": "24 Nov 2026"}
    (scan,) = read({"form": NUMBER, **fields}).case.items
    assert (scan.taken.isoformat(), scan.material) == ("2026-11-24", None)


@pytest.mark.parametrize(
    ("fields", "place"),
    [
        ({appliance_field(0): "sandwich"}, "appliances[0]"),
        ({option_field(0, "shade"): "A2"}, "appliances[0]"),
        ({appliance_field(0): "hard splint lower", "appliance1-arch": "0"}, "appliances[0]"),
        (
            {appliance_field(0): "whitening-tray", option_field(0, "thickness_mm"): "thin"},
            f"{LINE}.options.thickness_mm",
        ),
        ({"appointment": "soon"}, "appointment"),
    ],
    ids=["no type of the lab", "an option without an appliance", "two arches", "no measure", "no date"],
)
def test_what_cannot_be_read_is_said_to_be_wrong(fields, place):
    assert place in read({"form": NUMBER, **fields}).wrong


@pytest.mark.parametrize(
    ("fields", "note"),
    [
        ({"impression-material": "putty upper"}, "impression material: putty upper"),
        ({"impression-taken": "last week, lower"}, "taken: last week, lower"),
        ({"sent-bite-record": "Yes", "bite-mm": "a bit"}, "bite record: a bit mm"),
    ],
)
def test_what_of_the_things_sent_cannot_be_read_is_kept_as_a_note_and_adds_nothing_to_them(fields, note):
    form = read({"form": NUMBER, "notes": "Please hurry.", **fields})
    assert form.case.notes == f"Please hurry. · {note}"
    assert [item.item for item in form.case.items] == ["bite-record"] * ("sent-bite-record" in fields)
    assert form.wrong == ()


def test_an_appliance_may_be_written_in_the_words_of_the_desk():
    (splint,) = read({"form": NUMBER, appliance_field(0): "hard splint u 3mm", "appliance1-arch": "0"}).case.appliances
    assert (splint.type, splint.arch, splint.options.thickness_mm) == ("occlusal-splint-hard", "upper", 3)


@pytest.mark.parametrize("name", ["Dr H", "Dr X+", "“Dr H. Quarrell”", "-"])
def test_a_name_is_taken_as_written_never_completed_and_never_remembered(name):
    form = read({"form": NUMBER, "prescriber": name})
    assert form.case.prescriber == name.strip("“”")
    assert not form.remembers


def test_a_practice_that_the_directory_does_not_have_is_not_taken_for_a_similar_one():
    typed = typed_blank({"form": blank_number("MARLOW")}, LAB, PRACTICES, NOW.date())
    form = read_form(typed, LAB, PRACTICES, NOW)
    assert form.practice is None
    assert form.case.practice == "MARLOW"


@settings(max_examples=60, deadline=None)
@given(st.dictionaries(st.sampled_from([n for n in SPLINT if n != "form"]), st.text(max_size=60)))
def test_whatever_is_written_in_a_form_it_is_read(fields):
    form = read({**SPLINT, **fields})
    assert form.case.practice == "OXMERE"
    assert all("\n" not in text for text in typed_blank({**SPLINT, **fields}, LAB, PRACTICES, NOW.date()).values())


def test_every_option_of_the_prescription_file_has_its_field():
    fields = {option_field(0, name): "x" for name in OPTION_NAMES} | {appliance_field(0): "repair"}
    typed = typed_blank({"form": NUMBER, **fields}, LAB, PRACTICES, NOW.date())
    assert sum(text == "x" for text in typed.values()) == len(OPTION_NAMES)


@given(st.from_regex(r"[A-Z0-9]{2,12}", fullmatch=True))
def test_the_number_of_a_blank_has_the_check_digits_of_the_standard(code):
    """Against python-stdnum's ISO/IEC 7064 MOD 97-10."""
    assert mod_97_10.is_valid(blank_number(code))
    assert read_blank_number(blank_number(code)) == code


@pytest.mark.parametrize("code", ["ŁÓDŹ1", "ÄRZTE", "ΔΩΓ1"])
def test_a_code_may_have_letters_of_other_alphabets(code):
    assert read_blank_number(blank_number(code)) == code


@pytest.mark.parametrize("text", ["", "B", "OXMERE", NUMBER[:-1], NUMBER.replace("X", "Y"), f"{NUMBER}0", "R00018766"])
def test_a_number_that_is_none_is_refused(text):
    with pytest.raises(BlankNumberRefused):
        read_blank_number(text)
    with pytest.raises(BlankNumberRefused):
        typed_blank({"form": text}, LAB, PRACTICES, NOW.date())
