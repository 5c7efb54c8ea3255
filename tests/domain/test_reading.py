import json
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.case import NewPractice
from intake.domain.practice import Practice
from intake.domain.reading import CaseUnreadable, find_practice, read_case
from intake.resources import resource
from intake.setup.reading import read_setup

UNIVERSAL = Practice(code="UNIV", name="Airfield Dental Clinic", notation="universal")
BOTH_WAYS = Practice(code="ASKED", name="Harbour Dental Clinic", notation="ask")
PRACTICES = (UNIVERSAL, BOTH_WAYS)
PLAIN = {
    "format": "intake-case/1",
    "practice": "UNIV",
    "appliances": [{"type": "wire-retainer", "arch": "upper"}],
    "items": [{"item": "scan", "arch": "upper"}],
}


@cache
def the_lab():
    return read_setup(resource("setup", "default.toml"))


def read(data):
    text = data if isinstance(data, str | bytes) else json.dumps(data)
    return read_case(text, the_lab(), PRACTICES)


def errors(data):
    with pytest.raises(CaseUnreadable) as caught:
        read(data)
    return {error.where: error.what for error in caught.value.errors}


def appliance(**changes):
    return PLAIN | {"appliances": [{"type": "wire-retainer", "arch": "upper"} | changes]}


def test_a_plain_file_is_read():
    case = read(PLAIN)
    assert case.appliances[0].type == "wire-retainer"
    assert case.hygiene == "unknown"


def test_a_file_with_a_byte_order_mark_is_read():
    assert read(json.dumps(PLAIN).encode("utf-8-sig")) == read(PLAIN)


ONE_ERROR = [
    ("not-json", "Upper splint please, 3 mm", "", "This is not JSON: expecting value in line 1, column 1."),
    ("empty", "", "", "This is not JSON: expecting value in line 1, column 1."),
    ("not-text", b'{"format": "\xff"}', "", "This is not a text file in UTF-8."),
    ("a-list", "[]", "", "A prescription file is a JSON object, {…}."),
    ("too-deep", "[" * 100_000, "", "This is not a prescription file: it is nested too deeply."),
    ("endless-number", "1" * 5000, "", "This is not a prescription file: a number in it is too long."),
    (
        "no-format",
        {k: v for k, v in PLAIN.items() if k != "format"},
        "format",
        "Say which form this is: “intake-case/1”.",
    ),
    ("other-format", PLAIN | {"format": "case/2"}, "format", "This has to be “intake-case/1”, not “case/2”."),
    ("no-appliance", PLAIN | {"appliances": []}, "appliances", "Name at least one appliance."),
    (
        "unknown-key",
        PLAIN | {"apointment": "2026-12-10"},
        "apointment",
        "“apointment” is no part of a prescription file; did you mean “appointment”?",
    ),
    (
        "unknown-key-of-an-option",
        appliance(options={"thicknes_mm": 2}),
        "appliances[0].options.thicknes_mm",
        "“thicknes_mm” is no part of a prescription file; did you mean “thickness_mm”?",
    ),
    (
        "unknown-key-like-no-other",
        PLAIN | {"patient": {"weight": 70}},
        "patient.weight",
        "“weight” is no part of a prescription file; known here: allergies, found, label, reference, under_18.",
    ),
    (
        "unknown-type",
        PLAIN | {"appliances": [{"type": "wire-retaner"}]},
        "appliances[0].type",
        "This lab makes no “wire-retaner”; did you mean “wire-retainer”?",
    ),
    (
        "impossible-date",
        PLAIN | {"appointment": "2026-02-30"},
        "appointment",
        "“2026-02-30” is no date; write it as 2026-12-10 or 2026-12-10T09:30.",
    ),
    (
        "british-date",
        PLAIN | {"appointment": "10/12/2026"},
        "appointment",
        "“10/12/2026” is no date; write it as 2026-12-10 or 2026-12-10T09:30.",
    ),
    (
        "date-as-a-number",
        PLAIN | {"appointment": 20261210},
        "appointment",
        "Write the date as text, such as 2026-12-10T09:30.",
    ),
    (
        "time-zone",
        PLAIN | {"arrived": "2026-11-25T08:40Z"},
        "arrived",
        "Write the time as the clock on the wall shows it, without a time zone.",
    ),
    (
        "unknown-arch",
        appliance(arch="top"),
        "appliances[0].arch",
        "“top” is not one of “upper”, “lower” or “both”.",
    ),
    (
        "negative-measure",
        appliance(options={"thickness_mm": -3}),
        "appliances[0].options.thickness_mm",
        "-3 has to be more than 0.",
    ),
    (
        "measure-in-words",
        appliance(options={"thickness_mm": "thick"}),
        "appliances[0].options.thickness_mm",
        "“thick” is no number.",
    ),
    (
        "measure-without-end",
        '{"format": "intake-case/1", "appliances": [{"type": "repair", "options": {"thickness_mm": 1e999}}]}',
        "appliances[0].options.thickness_mm",
        "Infinity is no measure.",
    ),
    (
        "measure-yes",
        appliance(options={"thickness_mm": True}),
        "appliances[0].options.thickness_mm",
        "Write a measure in mm, such as 1.5, not true or false.",
    ),
    ("age-in-words", PLAIN | {"patient": {"under_18": "no"}}, "patient.under_18", "Write true or false, not “no”."),
    (
        "unclear-teeth-no-list",
        appliance(teeth=["3-3"], arch="both", unclear_teeth=5),
        "appliances[0].unclear_teeth",
        "This has to be a list, […].",
    ),
    ("items-no-list", PLAIN | {"items": "a scan"}, "items", "This has to be a list, […]."),
    ("patient-no-object", PLAIN | {"patient": "J.T."}, "patient", "This has to be an object, {…}."),
    ("practice-without-name", PLAIN | {"practice": {"telephone": "01632 960273"}}, "practice.name", "This is missing."),
    (
        "waiver-of-nothing",
        PLAIN | {"waived": [{"requirement": "bite-recrd", "by": "Dr R. Ashdown"}]},
        "waived[0].requirement",
        "The rule book has no requirement “bite-recrd”; did you mean “bite-record”?",
    ),
    (
        "waiver-for-nothing",
        PLAIN | {"waived": [{"requirement": "teeth", "appliance": 1, "by": "Dr R. Ashdown"}]},
        "waived[0].appliance",
        "There is no appliance 1; the first one is 0, the last 0.",
    ),
    (
        "waiver-of-nobody",
        PLAIN | {"waived": [{"requirement": "teeth", "by": " "}]},
        "waived[0].by",
        "Say whose word it is: only the prescriber can waive it.",
    ),
    (
        "a-key-twice",
        '{"format": "intake-case/1", "patient": {"label": "J", "label": "K"}, "appliances": [{"type": "repair"}]}',
        "",
        "“label” stands twice in one place; which is meant?",
    ),
]


@pytest.mark.parametrize(("data", "where", "what"), [e[1:] for e in ONE_ERROR], ids=[e[0] for e in ONE_ERROR])
def test_an_error_has_its_place_and_a_sentence(data, where, what):
    assert errors(data) == {where: what}


def test_everything_that_is_wrong_is_said_at_once():
    found = errors(
        {
            "practice": "UNIV",
            "patient": {"label": "J.T.", "under_18": "no"},
            "appliances": [{"type": "crown", "teeth": ["UR9"]}, {"arch": "top"}],
            "items": [{"item": "impresion"}],
            "hygiene": "clean",
            "appointment": "soon",
        }
    )
    assert set(found) == {
        "format", "patient.under_18", "appliances[0].type", "appliances[0].teeth[0]", "appliances[1].type",
        "appliances[1].arch", "items[0].item", "hygiene", "appointment",
    }  # fmt: skip


def test_a_key_that_stands_twice_hides_no_other_error():
    twice = '{"format": "intake-case/1", "format": "intake-case/1", "hygiene": "clean", "appliances": []}'
    assert set(errors(twice)) == {"", "hygiene", "appliances"}


def test_what_a_file_holds_is_not_quoted_without_end():
    long = "2" * 1_000_000
    found = errors({**PLAIN, "appointment": long, "hygiene": long, long: 1, "appliances": [{"type": long}]})
    assert all(len(where) <= 60 and len(what) <= 600 for where, what in found.items())
    assert found["appointment"].endswith("…” is no date; write it as 2026-12-10 or 2026-12-10T09:30.")


def test_the_message_of_the_error_names_every_place():
    with pytest.raises(CaseUnreadable, match=r"appointment: .* hygiene: |hygiene: .* appointment: "):
        read(PLAIN | {"appointment": "soon", "hygiene": "clean"})


TEETH = [
    ("iso", "OTHER", ["16", "UR5"], ("16", "15"), ()),
    ("range", "OTHER", ["13-23"], ("13", "12", "11", "21", "22", "23"), ()),
    ("quadrant-letters", "OTHER", ["ur 6"], ("16",), ()),
    ("milk-teeth", "OTHER", ["URE", "75"], ("55", "75"), ()),
    ("universal-practice", "UNIV", ["3", "14"], ("16", "26"), ()),
    ("universal-milk-tooth", "UNIV", ["A"], ("55",), ()),
    ("practice-code-in-small-letters", " univ ", ["3"], ("16",), ()),
    ("asked-about", "ASKED", ["14"], (), ("14",)),
    ("asked-about-in-part", "ASKED", ["UR6", "14", "33"], ("16", "33"), ("14",)),
]


@pytest.mark.parametrize(("practice", "written", "teeth", "unclear"), [t[1:] for t in TEETH], ids=[t[0] for t in TEETH])
def test_teeth_are_read_in_the_notation_of_the_practice(practice, written, teeth, unclear):
    (read_one,) = read(appliance(teeth=written) | {"practice": practice}).appliances
    assert (read_one.teeth, read_one.unclear_teeth) == (teeth, unclear)


LOWER_CANINES = ("43", "42", "41", "31", "32", "33")


@pytest.mark.parametrize("practice", ["OTHER", "UNIV", "ASKED"])
@pytest.mark.parametrize("written", ["3-3", "3 – 3"])
def test_canine_to_canine_lies_in_the_arch_that_is_prescribed(practice, written):
    (lower,) = read(appliance(arch="lower", teeth=[written]) | {"practice": practice}).appliances
    assert (lower.teeth, lower.unclear_teeth) == (LOWER_CANINES, ())
    (both,) = read(appliance(arch="both", teeth=[written]) | {"practice": practice}).appliances
    assert (both.teeth, both.unclear_teeth) == ((), (written,))


def test_the_arch_settles_no_number_that_means_two_teeth():
    """“18” is upper in ISO 3950 and lower in Universal: the arch may be the slip, so it is asked about."""
    (lower,) = read(appliance(arch="lower", teeth=["18"]) | {"practice": "ASKED"}).appliances
    assert (lower.teeth, lower.unclear_teeth) == ((), ("18",))


def test_pontics_clasps_and_springs_are_teeth_too():
    options = {"pontics": ["7"], "clasps": ["3"], "springs": ["8", "9"]}
    (read_one,) = read(appliance(options=options)).appliances
    read_options = read_one.options
    assert (read_options.pontics, read_options.clasps, read_options.springs) == (("12",), ("16",), ("11", "21"))


def test_a_wrong_tooth_is_an_error_and_its_neighbours_are_not():
    assert errors(appliance(teeth=["16", "19", "26"]) | {"practice": "OTHER"}) == {
        "appliances[0].teeth[1]": "“19” is no tooth in ISO 3950; it has 11–18, 21–28, 31–38, 41–48, "
        "and 51–85 for milk teeth."
    }


def test_a_practice_outside_the_directory_is_read_with_its_address():
    case = read(PLAIN | {"practice": {"name": "Hollowbrook", "address": ["9 Mews"], "postcode": "XQ8 8HB"}})
    assert case.practice == NewPractice(name="Hollowbrook", address=("9 Mews",), postcode="XQ8 8HB")


def test_what_is_read_can_be_written_and_read_again():
    case = read(appliance(teeth=["3", "14"]) | {"appointment": "2026-12-10T09:30"})
    assert read_case(case.model_dump_json(), the_lab(), ()) == case


@pytest.mark.parametrize("code", ["univ", "UNIV ", "Univ"])
def test_a_code_is_found_in_any_letters(code):
    assert find_practice(code, PRACTICES) is UNIVERSAL


@pytest.mark.parametrize("code", ["", "UNI", None, {"name": "Univ"}])
def test_what_is_no_code_finds_no_practice(code):
    assert find_practice(code, PRACTICES) is None


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from([*sorted(PLAIN), "type", "x"]), inner, max_size=4)
    ),
    max_leaves=12,
)


@given(st.dictionaries(st.sampled_from([*sorted(PLAIN), "patient", "waived", "appointment"]), JSON, max_size=6))
def test_whatever_a_file_holds_it_is_read_or_told_in_sentences(data):
    try:
        read(data)
    except CaseUnreadable as unreadable:
        told = [error.what[-1] for error in unreadable.errors]
    else:
        told = ["."]
    assert told
    assert set(told) <= {".", "?"}
