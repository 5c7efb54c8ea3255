"""A case that is opened in the form reads back to the same case."""

from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.case import Appliance, Case, Item, NewPractice, Options, Patient, Waiver
from intake.domain.form import read_form
from intake.domain.form_writing import written_form
from intake.domain.reading import read_case
from intake.domain.teeth import TEETH
from intake.resources import demo
from intake.setup.reading import read_practices, read_setup

NOW = datetime(2026, 11, 25, 15, 45)
LAB = read_setup(demo("lab.toml"))
PRACTICES = read_practices(demo("practices.toml"))
DAY = sorted(demo("day").glob("*.json"))


def round_trip(case):
    return read_form(written_form(case, LAB, PRACTICES), LAB, PRACTICES, NOW, kept=case)


@pytest.mark.parametrize("file", DAY, ids=lambda file: file.stem)
def test_every_prescription_of_the_day_comes_back_the_same(file):
    case = read_case(file.read_bytes(), LAB, PRACTICES)
    form = round_trip(case)
    assert form.wrong == ()
    assert form.case == case


def test_an_appliance_stands_in_one_line():
    options = Options(thickness_mm=3, bite_opening_mm=2.5)
    case = Case(appliances=(Appliance(type="occlusal-splint-hard", arch="upper", options=options),))
    typed = written_form(case, LAB, PRACTICES)
    assert list(typed) == ["appliances[0]"]


def test_a_code_that_nobody_knows_is_not_taken_for_one_that_is_like_it():
    case = Case(practice="QUILLB")
    assert written_form(case, LAB, PRACTICES)["practice"] == "“QUILLB”"
    assert round_trip(case).case.practice == "QUILLB"


WORDS = st.text("abcdefghij łüΩ", min_size=1, max_size=12).map(str.strip).filter(bool)
MAYBE = st.none() | WORDS
MOMENTS = st.datetimes(datetime(2026, 1, 1), datetime(2027, 11, 1)).map(lambda at: at.replace(second=0, microsecond=0))
SOME_TEETH = st.lists(st.sampled_from(sorted(TEETH)), unique=True, max_size=4).map(tuple)
MEASURES = st.none() | st.sampled_from((0.75, 1.0, 1.5, 2.0, 3.0, 12.0))
OPTIONS = st.builds(
    Options,
    thickness_mm=MEASURES,
    bite_opening_mm=MEASURES,
    shade=st.none() | st.sampled_from(LAB.shades),
    colour=st.none() | st.sampled_from(("clear", "red", "blue and white")),
    material=st.none() | st.sampled_from(("acrylic", "twisted wire")),
    pontics=SOME_TEETH,
    clasps=SOME_TEETH,
    springs=SOME_TEETH,
)
APPLIANCES = st.builds(
    Appliance,
    type=st.sampled_from([kind.id for kind in LAB.types]),
    arch=st.none() | st.sampled_from(("upper", "lower", "both")),
    teeth=SOME_TEETH,
    options=OPTIONS,
    notes=st.just("") | WORDS,
)
ITEMS = st.sampled_from(
    (
        Item(item="impression", arch="upper", material="alginate", taken=datetime(2026, 11, 24, 15, 30)),
        Item(item="impression", arch="lower"),
        Item(item="model", arch="upper"),
        Item(item="scan", arch="lower", taken=date(2026, 11, 20)),
        Item(item="bite-record", kind="protrusive", mm=6),
        Item(item="bite-record", kind="centric", source="scan"),
        Item(item="photo"),
        Item(item="shade-tab"),
        Item(item="appliance", arch="upper"),
    )
)
PRACTICE = (
    st.none()
    | st.sampled_from([practice.code for practice in PRACTICES])
    | st.builds(NewPractice, name=WORDS.map("New {}".format), telephone=st.just("") | st.just("01632 960273"))
)


@given(
    practice=PRACTICE,
    prescriber=MAYBE.map(lambda name: name and f"Dr {name}"),
    patient=st.builds(Patient, label=MAYBE, reference=MAYBE, under_18=st.none() | st.booleans()),
    appliances=st.lists(APPLIANCES, max_size=4).map(tuple),
    items=st.lists(ITEMS, max_size=4).map(tuple),
    hygiene=st.sampled_from(("disinfected", "not-disinfected", "unknown", "not-applicable")),
    appointment=st.none() | MOMENTS | MOMENTS.map(datetime.date),
    arrived=st.timedeltas(timedelta(0), timedelta(days=30)).map(
        lambda ago: (NOW - ago).replace(second=0, microsecond=0)
    ),
    notes=WORDS | st.just(""),
    waived=st.just(()) | st.just((Waiver(requirement="bite-record", appliance=0, by="Dr A"),)),
)
def test_any_case_comes_back_the_same(**values):
    case = Case(**values)
    form = round_trip(case)
    assert form.wrong == ()
    assert form.case == case
