"""A case in two: common practice, no source. What must hold of every case: nothing is lost, nothing is there twice."""

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.case import Appliance, Case, Item, Patient, SeenArches, SeenScan, Waiver
from intake.domain.splitting import CannotSplit, needed_arches, split
from tests.domain.complete_cases import the_lab
from tests.domain.made_cases import cases

UPPER_TRAY, LOWER_TRAY = (Appliance(type="whitening-tray", arch=arch) for arch in ("upper", "lower"))
SPLINT = Appliance(type="occlusal-splint-hard", arch="upper")
UPPER, LOWER = (Item(item="impression", arch=arch, material="alginate") for arch in ("upper", "lower"))
BITE, BOTH = Item(item="bite-record"), Item(item="model", arch="both")


@st.composite
def splits(draw):
    """A case of several appliances, and some of them but not all."""
    case = draw(cases(least=2))
    places = range(len(case.appliances))
    chosen = draw(st.sets(st.sampled_from(places), min_size=1, max_size=len(places) - 1))
    return case, chosen


@given(splits())
def test_every_appliance_is_in_one_part_and_in_no_other(made):
    case, chosen = made
    parts = split(case, chosen, the_lab())
    assert Counter(parts.stays.appliances) + Counter(parts.leaves.appliances) == Counter(case.appliances)
    assert parts.leaves.appliances == tuple(case.appliances[index] for index in sorted(chosen))
    for of, part in ((parts.places_stay, parts.stays), (parts.places_leave, parts.leaves)):
        assert [part.appliances[now] for now in of.values()] == [case.appliances[before] for before in of]
    assert sorted((*parts.places_stay, *parts.places_leave)) == list(range(len(case.appliances)))


@given(splits())
def test_whatever_came_is_with_a_part_and_in_neither_more_often_than_it_came(made):
    case, chosen = made
    parts = split(case, chosen, the_lab())
    for field in ("items", "scans"):
        came, stays, leaves = (Counter(getattr(each, field)) for each in (case, parts.stays, parts.leaves))
        assert stays | leaves == came


@given(splits())
def test_an_arch_that_a_part_needs_is_with_it(made):
    case, chosen = made
    parts = split(case, chosen, the_lab())
    for part in (parts.stays, parts.leaves):
        needs = {arch for each in part.appliances for arch in needed_arches(each, the_lab())}
        wanted = Counter(item for item in case.items if item.arch in (None, "both", *needs))
        assert wanted <= Counter(part.items)


@given(splits())
def test_what_is_said_of_an_appliance_goes_with_it_and_what_is_said_of_the_case_with_both(made):
    case, chosen = made
    parts = split(case, chosen, the_lab())
    for field in ("waived", "spoken"):
        said = [(each.requirement, each.appliance) for each in getattr(case, field)]
        for part, places in ((parts.stays, parts.places_stay), (parts.leaves, parts.places_leave)):
            before = {now: was for was, now in places.items()} | {None: None}
            found = [(each.requirement, before[each.appliance]) for each in getattr(part, field)]
            assert found == [each for each in said if each[1] is None or each[1] in places]


@given(splits(), st.booleans())
def test_an_allergy_an_open_question_and_what_is_not_disinfected_stand_with_both(made, other_patient):
    case, chosen = made
    patient = Patient(label="K. Whitcombe", reference="20500") if other_patient else None
    parts = split(case, chosen, the_lab(), patient)
    for part in (parts.stays, parts.leaves):
        assert part.patient.allergies == case.patient.allergies
        assert part.patient.under_18 == case.patient.under_18
        assert (part.raised, part.hygiene, part.condition) == (case.raised, case.hygiene, case.condition)
    assert (parts.leaves.patient.label == "K. Whitcombe") is (other_patient or case.patient.label == "K. Whitcombe")
    assert parts.stays.patient.label == case.patient.label
    found = [part.patient.found for part in (parts.stays, parts.leaves) if part.patient.found]
    assert set(found) == {case.patient.found} - {None}
    assert not other_patient or len(found) <= 1


def test_an_impression_of_the_arch_that_one_part_alone_needs_goes_with_it():
    case = Case(appliances=(UPPER_TRAY, LOWER_TRAY), items=(UPPER, LOWER, BITE, BOTH))
    parts = split(case, [1], the_lab())
    assert parts.stays.items == (UPPER, BITE, BOTH)
    assert parts.leaves.items == (LOWER, BITE, BOTH)


def test_the_opposing_arch_is_needed_where_the_lab_asks_for_it():
    case = Case(appliances=(SPLINT, LOWER_TRAY), items=(UPPER, LOWER))
    parts = split(case, [1], the_lab())
    assert parts.stays.items == (UPPER, LOWER)  # the lower teeth bite on the splint
    assert parts.leaves.items == (LOWER,)


def test_a_scan_goes_as_an_impression_does_and_two_scans_bite_where_both_are():
    scans = SeenScan(shows="upper", name="u"), SeenScan(shows="lower", name="l"), SeenScan(shows="bite", name="b")
    arches = SeenArches(standing="registered", says="look registered")
    case = Case(appliances=(SPLINT, UPPER_TRAY), scans=scans, arches=arches)
    parts = split(case, [1], the_lab())
    assert (parts.stays.scans, parts.stays.arches) == (scans, arches)
    assert ([scan.shows for scan in parts.leaves.scans], parts.leaves.arches) == (["upper", "bite"], None)


def test_of_two_patients_the_name_on_the_tray_goes_to_the_one_that_it_is_of():
    case = Case(patient=Patient(label="Jane Thornley", found="K. Whitcombe"), appliances=(UPPER_TRAY, LOWER_TRAY))
    parts = split(case, [1], the_lab(), Patient(label="Karen Whitcombe", reference="20500"))
    assert (parts.stays.patient.found, parts.leaves.patient.found) == (None, "K. Whitcombe")
    ours = case.model_copy(update={"patient": Patient(label="Jane Thornley", found="J. Thornley")})
    parts = split(ours, [1], the_lab(), Patient(label="Karen Whitcombe"))
    assert (parts.stays.patient.found, parts.leaves.patient.found) == ("J. Thornley", None)


def test_a_waiver_of_the_second_appliance_is_one_of_the_first_of_its_own_case():
    waived = (Waiver(requirement="shade", appliance=1, by="Dr R. Ashdown"),)
    parts = split(Case(appliances=(UPPER_TRAY, LOWER_TRAY), waived=waived), [1], the_lab())
    assert parts.stays.waived == ()
    assert [each.appliance for each in parts.leaves.waived] == [0]


@pytest.mark.parametrize(("chosen", "says"), [((), "Choose"), ((0, 1), "at least one"), ((7,), "Choose")])
def test_a_part_without_an_appliance_is_refused(chosen, says):
    with pytest.raises(CannotSplit, match=says):
        split(Case(appliances=(UPPER_TRAY, LOWER_TRAY)), chosen, the_lab())
