"""A case made again, from the prescription of the first: common practice, no source."""

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.domain.case import Appliance, Case, Item, Patient, Raised, SeenCondition
from intake.domain.remaking import remade
from tests.domain.complete_cases import the_lab
from tests.domain.made_cases import cases

TRAYS = tuple(Appliance(type="whitening-tray", arch=arch) for arch in ("upper", "lower"))
IMPRESSION = Item(item="impression", arch="upper", material="alginate", taken=datetime(2026, 11, 2, 9))
SCAN, BITE, SENT_IN = Item(item="scan", arch="lower"), Item(item="bite-record"), Item(item="appliance")
MADE = Case(
    practice="MILL",
    prescriber="Dr R. Ashdown",
    patient=Patient(label="J.T.", reference="20418"),
    appliances=TRAYS,
    items=(IMPRESSION, SCAN, BITE, SENT_IN),
    hygiene="disinfected",
    appointment=datetime(2026, 11, 20, 9, 30),
    arrived=datetime(2026, 11, 3, 8, 40),
    condition=SeenCondition(seen=("wet",), accepted_by="AB"),
    raised=(Raised(question="Which?", by="AB", at=datetime(2026, 11, 4, 9), answer="The left one."),),
    notes="Mind the gag reflex.",
)


def again(case=MADE, chosen=(0, 1), reason="did not fit", models_here=True):
    return remade(case, chosen, the_lab(), "26 000123 45", reason, models_here)


def test_the_prescription_is_the_same_and_the_appointment_is_to_be_asked():
    case = again()
    assert (case.practice, case.prescriber, case.patient, case.appliances) == (
        MADE.practice,
        MADE.prescriber,
        MADE.patient,
        TRAYS,
    )
    assert (case.appointment, case.posted, case.arrived, case.condition, case.raised) == (None, None, None, None, ())


def test_models_that_are_here_count_as_received_and_an_impression_was_poured():
    assert again().items == (Item(item="model", arch="upper"), SCAN, BITE)
    assert again().hygiene == "disinfected"


def test_without_models_only_the_scans_are_here():
    case = again(models_here=False)
    assert case.items == (SCAN,)
    assert (case.hygiene, case.stream) == ("unknown", "scan")


def test_the_reason_stands_in_the_notes_and_replaces_the_one_of_the_remake_before():
    once = again()
    assert once.notes == "Remake of 26 000123 45: did not fit.\nMind the gag reflex."
    assert again(once, reason="broke.").notes == "Remake of 26 000123 45: broke.\nMind the gag reflex."


def test_one_appliance_alone_is_made_again_with_what_belongs_to_it():
    case = again(chosen=[1])
    assert case.appliances == TRAYS[1:]
    assert case.items == (SCAN, BITE)  # the upper belongs to the other tray


@given(cases(), st.booleans())
def test_a_remake_has_nothing_that_the_first_making_had_not(case, models_here):
    found = again(case, range(len(case.appliances)), models_here=models_here)
    assert found.appliances == case.appliances
    assert found.patient == case.patient
    assert len(found.items) <= len(case.items)
    arches = {item.arch for item in case.items}
    assert {item.arch for item in found.items} <= arches
    if not models_here:
        assert all(item.item == "scan" or item.source == "scan" for item in found.items)


@pytest.mark.parametrize("kind", ["impression", "appliance"])
def test_neither_impression_nor_appliance_is_left_after_the_first_making(kind):
    case = again(MADE.model_copy(update={"items": (Item(item=kind, arch="upper"),)}))
    assert kind not in {item.item for item in case.items}
