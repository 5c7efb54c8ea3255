"""Two cases that are the same: common practice, no source. What must hold of every two: nothing lost, nothing twice."""

from collections import Counter
from datetime import datetime

from hypothesis import given

from intake.domain.case import Appliance, Case, Item, Options, Patient
from intake.domain.circumstances import hygiene_meant
from intake.domain.merging import merged
from tests.domain.complete_cases import the_lab
from tests.domain.made_cases import cases

SPLINT = Appliance(type="occlusal-splint-hard", arch="upper", options=Options(thickness_mm=2))
UPPER, LOWER = (Item(item="impression", arch=arch) for arch in ("upper", "lower"))
IN_ALGINATE = UPPER.model_copy(update={"material": "alginate"})
SCAN = Item(item="scan", arch="upper")


def says_all(whole, part):
    """Whether an item says all that another one says of itself."""
    said = part.model_dump(exclude_none=True)
    return all(getattr(whole, field) == value for field, value in said.items())


def kind(item):
    """What no other thing can be: its kind, its arch, and whether it can be held in the hand."""
    return item.item, item.arch, item.source


@given(cases(), cases())
def test_every_item_of_both_is_there_and_none_more_often_than_one_of_them_has_it(stands, other):
    found = merged(stands, other, the_lab()).case.items
    for case in (stands, other):
        assert all(any(says_all(item, said) for item in found) for said in case.items)
        assert not Counter(map(kind, case.items)) - Counter(map(kind, found))
    both = Counter(stands.items) | Counter(other.items)
    assert len(found) <= sum(both.values())


@given(cases())
def test_a_case_merged_with_itself_is_itself_and_differs_in_nothing(case):
    found = merged(case, case, the_lab())
    assert (found.case, found.differs, found.taken) == (case, (), ())
    assert found.places == {index: index for index in range(len(case.appliances))}


@given(cases(), cases())
def test_every_appliance_of_the_other_has_a_place_of_its_own_and_those_that_stand_stay(stands, other):
    found = merged(stands, other, the_lab())
    assert sorted(found.places) == list(range(len(other.appliances)))
    assert len(set(found.places.values())) == len(other.appliances)
    assert [each.type for each in found.case.appliances[: len(stands.appliances)]] == [
        each.type for each in stands.appliances
    ]
    new = sum(place >= len(stands.appliances) for place in found.places.values())
    assert len(found.case.appliances) == len(stands.appliances) + new


@given(cases(), cases())
def test_nothing_that_stands_is_overwritten_and_what_differs_is_told(stands, other):
    found = merged(stands, other, the_lab())
    told = {each.place for each in found.differs}
    for field in ("appointment", "prescriber"):
        mine, theirs = getattr(stands, field), getattr(other, field)
        assert getattr(found.case, field) == (mine or theirs)
        assert (field in told) is bool(mine and theirs and mine != theirs)
    for field in ("label", "reference", "found", "under_18"):
        mine, theirs = getattr(stands.patient, field), getattr(other.patient, field)
        assert getattr(found.case.patient, field) == (theirs if mine is None else mine)
        assert (f"patient.{field}" in told) is (mine is not None and theirs is not None and mine != theirs)


@given(cases(), cases())
def test_what_can_hurt_somebody_is_taken_from_either(stands, other):
    found = merged(stands, other, the_lab()).case
    known = {allergy.casefold() for allergy in found.patient.allergies}
    assert known == {allergy.casefold() for case in (stands, other) for allergy in case.patient.allergies}
    assert set(found.raised) == {*stands.raised, *other.raised}
    if "not-disinfected" in (hygiene_meant(stands), hygiene_meant(other)):
        assert found.hygiene == "not-disinfected"
    assert set(found.scans) == {*stands.scans, *other.scans}


def test_what_came_by_post_gets_the_scan_and_what_is_written_more_closely_is_taken():
    stands = Case(appliances=(SPLINT,), items=(UPPER, LOWER), notes="as rung", hygiene="disinfected")
    other = Case(appliances=(SPLINT,), items=(IN_ALGINATE, SCAN), notes="ring first")
    found = merged(stands, other, the_lab())
    assert found.case.items == (IN_ALGINATE, LOWER, SCAN)
    assert found.case.notes == "as rung\nring first"
    assert found.differs == ()
    assert set(found.taken) == {"items", "notes", "hygiene"}
    assert found.case.hygiene == "unknown"  # of the other's impression nobody said that it is disinfected


def test_two_materials_are_two_impressions():
    silicone = UPPER.model_copy(update={"material": "addition-silicone"})
    found = merged(Case(items=(IN_ALGINATE,)), Case(items=(silicone,)), the_lab())
    assert found.case.items == (IN_ALGINATE, silicone)


def test_another_thickness_is_told_and_the_one_that_stands_stays():
    thick = SPLINT.model_copy(update={"options": Options(thickness_mm=3, shade="A2")})
    found = merged(Case(appliances=(SPLINT,)), Case(appliances=(thick,)), the_lab())
    assert found.case.appliances[0].options == Options(thickness_mm=2, shade="A2")
    assert [(each.place, each.stays, each.theirs) for each in found.differs] == [
        ("appliances[0].options.thickness_mm", 2, 3)
    ]


def test_a_splint_read_as_another_splint_is_told_and_made_once():
    soft = Appliance(type="occlusal-splint-soft", arch="upper", options=Options(thickness_mm=4))
    found = merged(Case(appliances=(SPLINT,)), Case(appliances=(soft,)), the_lab())
    assert found.case.appliances == (SPLINT,)
    assert [(each.place, each.theirs) for each in found.differs] == [("appliances[0].type", "occlusal-splint-soft")]


def test_what_only_the_other_asks_for_is_made_too():
    retainer = Appliance(type="vacuum-formed-retainer", arch="lower")
    found = merged(Case(appliances=(SPLINT,)), Case(appliances=(retainer, SPLINT)), the_lab())
    assert found.case.appliances == (SPLINT, retainer)
    assert found.places == {0: 1, 1: 0}


def test_a_label_in_full_does_not_take_the_place_of_initials():
    found = merged(
        Case(patient=Patient(label="J.T."), appointment=datetime(2026, 12, 10, 9, 30)),
        Case(patient=Patient(label="Jane Thornley", reference="20418")),
        the_lab(),
    )
    assert (found.case.patient.label, found.case.patient.reference) == ("J.T.", "20418")
    assert [each.place for each in found.differs] == ["patient.label"]
