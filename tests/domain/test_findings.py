"""The default rule book, line by line as the laboratory's table has it; all of it common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.case import Appliance, Case, Item, Patient
from intake.domain.rulebook import LEVELS
from tests.domain.complete_cases import (
    ARRIVED,
    CENTRIC,
    COMPLETE,
    LOWER_SCAN,
    NO_POSITION,
    OPEN,
    PROTRUSIVE,
    UPPER_SCAN,
    a_case,
    findings,
    said,
    the_lab,
    with_appliance,
    with_options,
    without,
)


@pytest.mark.parametrize("kind", COMPLETE)
def test_nothing_is_asked_of_a_complete_case(kind):
    assert said(a_case(kind)) == []


def test_the_table_covers_every_type_of_the_default_setup():
    assert set(COMPLETE) == set(the_lab().type_by_id)


WORKING = [
    ("occlusal-splint-hard", UPPER_SCAN),
    ("occlusal-splint-dual", UPPER_SCAN),
    ("occlusal-splint-soft", UPPER_SCAN),
    ("anterior-splint", UPPER_SCAN),
    ("vacuum-formed-retainer", UPPER_SCAN),
    ("wire-retainer", UPPER_SCAN),
    ("bonded-retainer", UPPER_SCAN),
    ("whitening-tray", UPPER_SCAN),
    ("sports-mouthguard", UPPER_SCAN),
    ("advancement-appliance", UPPER_SCAN),
    ("advancement-appliance", LOWER_SCAN),
    ("functional-appliance", UPPER_SCAN),
    ("functional-appliance", LOWER_SCAN),
    ("expansion-appliance", UPPER_SCAN),
    ("removable-spring-appliance", UPPER_SCAN),
    ("space-maintainer", UPPER_SCAN),
    ("aligner-set", UPPER_SCAN),
    ("aligner-set", LOWER_SCAN),
    ("partial-plate-with-tooth", UPPER_SCAN),
    ("study-model", UPPER_SCAN),
    ("study-model", LOWER_SCAN),
    ("repair", Item(item="appliance")),
]


@pytest.mark.parametrize(("kind", "missing"), WORKING, ids=[f"{k}-{i.arch or i.item}" for k, i in WORKING])
def test_work_cannot_start_without_the_arch_it_is_made_on(kind, missing):
    assert said(without(a_case(kind), missing)) == ["stops working-arch[0]"]


OPPOSING = {
    "occlusal-splint-hard": "stops",
    "occlusal-splint-dual": "stops",
    "occlusal-splint-soft": "asks",
    "anterior-splint": "stops",
    "vacuum-formed-retainer": None,
    "wire-retainer": "asks",
    "bonded-retainer": "asks",
    "whitening-tray": None,
    "sports-mouthguard": "asks",
    "expansion-appliance": "asks",
    "removable-spring-appliance": "asks",
    "space-maintainer": "asks",
    "partial-plate-with-tooth": "stops",
}


@pytest.mark.parametrize(("kind", "level"), OPPOSING.items(), ids=OPPOSING)
def test_the_opposing_arch(kind, level):
    assert said(without(a_case(kind), LOWER_SCAN)) == ([f"{level} opposing-arch[0]"] if level else [])


def test_the_opposing_arch_of_a_lower_splint_is_the_upper():
    lower = with_appliance(without(a_case("occlusal-splint-hard"), UPPER_SCAN), arch="lower")
    (finding,) = findings(lower)
    assert finding.requirement == "opposing-arch"
    assert finding.question == "Please send an impression, model or scan of the upper arch."


@pytest.mark.parametrize("kind", sorted(set(COMPLETE) - set(OPPOSING) - {"repair"}))
def test_what_is_made_on_both_arches_has_no_opposing_arch_to_ask_for(kind):
    assert "opposing" not in " ".join(said(a_case(kind, items=())))


BITE = {
    "occlusal-splint-hard": "stops",
    "occlusal-splint-dual": "stops",
    "occlusal-splint-soft": None,
    "anterior-splint": "stops",
    "vacuum-formed-retainer": None,
    "wire-retainer": None,
    "bonded-retainer": None,
    "whitening-tray": None,
    "sports-mouthguard": "asks",
    "advancement-appliance": "stops",
    "functional-appliance": "stops",
    "expansion-appliance": None,
    "removable-spring-appliance": None,
    "space-maintainer": None,
    "aligner-set": "stops",
    "partial-plate-with-tooth": "asks",
    "study-model": "asks",
    "repair": None,
}


@pytest.mark.parametrize(("kind", "level"), BITE.items(), ids=BITE)
def test_the_bite_record(kind, level):
    case = without(a_case(kind), CENTRIC, PROTRUSIVE)
    assert said(case) == ([f"{level} bite-record[0]"] if level else [])


BITES = [
    ("occlusal-splint-hard", CENTRIC, None),
    ("occlusal-splint-hard", OPEN, None),
    ("occlusal-splint-hard", NO_POSITION, "asks"),
    ("occlusal-splint-hard", PROTRUSIVE, "stops"),
    ("occlusal-splint-dual", PROTRUSIVE, "stops"),
    ("anterior-splint", NO_POSITION, None),
    ("advancement-appliance", PROTRUSIVE.model_copy(update={"mm": None}), "stops"),
    ("advancement-appliance", PROTRUSIVE.model_copy(update={"mm": 18.0}), "asks"),
    ("advancement-appliance", OPEN, "stops"),
    ("advancement-appliance", CENTRIC, "stops"),
    ("functional-appliance", OPEN, None),
    ("functional-appliance", OPEN.model_copy(update={"mm": None}), "stops"),
    ("functional-appliance", PROTRUSIVE.model_copy(update={"mm": None}), "stops"),
    ("functional-appliance", CENTRIC, "stops"),
    ("aligner-set", CENTRIC.model_copy(update={"source": "physical"}), None),
]


def _bite_id(kind, bite):
    measure = "" if bite.mm is None else f"-{bite.mm:g}-mm"
    return f"{kind}-{bite.kind or 'no-position'}{measure}{'-wax' if bite.source == 'physical' else ''}"


@pytest.mark.parametrize(("kind", "bite", "level"), BITES, ids=[_bite_id(k, b) for k, b, _ in BITES])
def test_the_position_of_the_bite_record(kind, bite, level):
    scans = (UPPER_SCAN, LOWER_SCAN, bite)
    assert said(a_case(kind, items=scans)) == ([f"{level} bite-record[0]"] if level else [])


def test_study_models_of_one_arch_need_no_bite_record():
    one = with_appliance(a_case("study-model", items=(UPPER_SCAN,)), arch="upper")
    assert said(one) == []


OPTIONS = [
    ("occlusal-splint-hard", "thickness_mm", "asks thickness[0]"),
    ("occlusal-splint-dual", "thickness_mm", "asks thickness[0]"),
    ("occlusal-splint-hard", "bite_opening_mm", "asks bite-opening[0]"),
    ("occlusal-splint-dual", "bite_opening_mm", "asks bite-opening[0]"),
    ("occlusal-splint-soft", "thickness_mm", "stops thickness[0]"),
    ("vacuum-formed-retainer", "thickness_mm", "asks thickness[0]"),
    ("sports-mouthguard", "thickness_mm", "asks thickness[0]"),
    ("sports-mouthguard", "colour", "asks colour[0]"),
    ("advancement-appliance", "material", "asks material[0]"),
    ("partial-plate-with-tooth", "shade", "stops shade[0]"),
    ("expansion-appliance", "clasps", "asks teeth[0]"),
    ("removable-spring-appliance", "springs", "asks teeth[0]"),
]


@pytest.mark.parametrize(("kind", "option", "expected"), OPTIONS, ids=[f"{k}-{o}" for k, o, _ in OPTIONS])
def test_what_the_prescription_has_to_say(kind, option, expected):
    nothing = () if option in ("clasps", "springs") else None
    assert said(with_options(a_case(kind), **{option: nothing})) == [expected]


@pytest.mark.parametrize("kind", ["bonded-retainer", "space-maintainer", "partial-plate-with-tooth"])
def test_work_on_certain_teeth_cannot_start_without_them(kind):
    assert said(with_appliance(a_case(kind), teeth=())) == ["stops teeth[0]"]


def test_an_opened_bite_says_how_far_to_open():
    opened = a_case("occlusal-splint-hard", items=(UPPER_SCAN, LOWER_SCAN, OPEN))
    assert said(with_options(opened, bite_opening_mm=None)) == []


@pytest.mark.parametrize("kind", ["vacuum-formed-retainer", "wire-retainer", "repair"])
def test_a_pontic_needs_a_shade(kind):
    pontic = with_appliance(with_options(a_case(kind), pontics=("12",)), arch="upper")
    assert said(pontic) == ["stops shade[0]"]
    assert said(with_options(pontic, shade="A2")) == []


def test_whitening_under_18_warns_with_its_reason():
    young = a_case("whitening-tray", patient=Patient(label="L.C.", under_18=True))
    (finding,) = findings(young)
    assert (finding.level, finding.requirement) == ("warns", "under-18-whitening")
    assert "the prescriber decides" in finding.question
    assert said(a_case("whitening-tray", patient=Patient(label="L.C.", under_18=False))) == []


def test_nobody_asks_the_age_for_a_mouthguard():
    assert said(a_case("sports-mouthguard", patient=Patient(label="L.C.", under_18=True))) == []


def test_an_arch_that_nobody_says_is_asked():
    unsaid = with_appliance(a_case("wire-retainer"), arch=None)
    (finding,) = findings(unsaid)
    assert (finding.level, finding.requirement, finding.place) == ("stops", "working-arch", "appliances[0].arch")
    assert finding.question == "For which arch is the wire retainer: upper, lower or both?"


def test_a_mouthguard_is_upper_unless_said():
    assert said(without(a_case("sports-mouthguard"), UPPER_SCAN)) == ["stops working-arch[0]"]
    lower = with_appliance(without(a_case("sports-mouthguard"), UPPER_SCAN), arch="lower")
    assert said(lower) == ["asks opposing-arch[0]"]


def test_the_appliance_in_the_bag_says_which_arch_is_repaired():
    assert said(a_case("repair")) == []


def test_a_model_or_an_impression_of_both_arches_serves_as_well_as_two_scans():
    for item in (Item(item="model", arch="both"), Item(item="impression", arch="both")):
        assert said(a_case("occlusal-splint-hard", items=(item, CENTRIC))) == []


ITEMS = st.builds(
    Item,
    item=st.sampled_from(["impression", "model", "scan", "bite-record", "appliance", "photo"]),
    arch=st.sampled_from([None, "upper", "lower", "both"]),
    kind=st.sampled_from([None, "centric", "open", "protrusive"]),
    mm=st.sampled_from([None, 2.0, 6.0]),
)
APPLIANCES = st.builds(
    Appliance,
    type=st.sampled_from(sorted(COMPLETE)),
    arch=st.sampled_from([None, "upper", "lower", "both"]),
    teeth=st.sampled_from([(), ("16",), ("36", "11")]),
)
CASES = st.builds(
    Case,
    practice=st.sampled_from([None, "P1"]),
    prescriber=st.sampled_from([None, "Dr R. Ashdown"]),
    appliances=st.lists(APPLIANCES, min_size=1, max_size=4).map(tuple),
    items=st.lists(ITEMS, max_size=5).map(tuple),
    arrived=st.just(ARRIVED),
)


@given(CASES)
def test_a_requirement_speaks_once_for_an_appliance_and_the_gravest_is_asked_first(case):
    found = findings(case)
    assert len({(f.requirement, f.appliance) for f in found}) == len(found)
    grades = [LEVELS.index(f.level) for f in found]
    assert grades == sorted(grades)


@given(CASES, ITEMS)
def test_one_more_thing_in_the_bag_never_stops_work_that_could_start(case, item):
    def stops(judged):
        return {(f.requirement, f.appliance) for f in findings(judged) if f.level == "stops"}

    assert stops(case.model_copy(update={"items": (*case.items, item)})) <= stops(case)
