"""What was promised and what arrives: offered when it fits, never joined by itself. Common practice, no source."""

import pytest

from intake.domain.case import Case, Item, Patient
from intake.domain.matching import Expected, fits, joined, left_out

BITE = Expected(
    query_id=1,
    case_id=1,
    requirement="bite-record",
    items=("bite-record",),
    way="post",
    patient_label="J.T.",
    patient_reference="20418",
    practice_key="MARLOW1",
)


def arriving(label="J.T.", reference="20418", *items):
    return Case(patient=Patient(label=label, reference=reference), items=items)


@pytest.mark.parametrize(
    ("case", "key", "why"),
    [
        (arriving("J.T.", "20418", Item(item="bite-record")), "MARLOW1", "reference 20418, brings a bite record"),
        (arriving("j t", "20418"), "MARLOW1", "reference 20418"),
        (arriving("J.T.", None, Item(item="bite-record")), "MARLOW1", "patient J.T., brings a bite record"),
        (arriving("J.T.", "20419", Item(item="bite-record")), "MARLOW1", ""),
        (arriving("J.T.", "20418", Item(item="bite-record")), "OXMERE", ""),
        (arriving("J.T.", "20418", Item(item="impression", arch="upper")), "MARLOW1", ""),
        (arriving("", None, Item(item="bite-record")), "MARLOW1", ""),
    ],
    ids=["fits", "before-items", "by-label", "other-reference", "other-practice", "other-item", "nameless"],
)
def test_an_arrival_fits_by_practice_patient_and_what_it_brings(case, key, why):
    assert fits(BITE, case, key) == why


def test_what_came_is_added_and_nothing_else_is_taken_over():
    held = Case(patient=Patient(label="J.T."), items=(Item(item="impression", arch="upper"),), notes="as before")
    case = joined(held, Case(patient=Patient(label="J T"), items=(Item(item="bite-record"),), notes="new"))
    assert [item.item for item in case.items] == ["impression", "bite-record"]
    assert case.notes == "as before"


def test_what_can_hurt_somebody_is_taken_over():
    held = Case(patient=Patient(label="J.T.", allergies=("latex",)), hygiene="disinfected")
    came = Case(patient=Patient(label="J.T.", allergies=("Latex", "nickel")), hygiene="not-disinfected")
    assert joined(held, came).patient.allergies == ("latex", "nickel")
    assert joined(held, came).hygiene == "not-disinfected"
    assert joined(came, held).hygiene == "not-disinfected"


def test_what_is_not_taken_over_is_named():
    held = Case(prescriber="Dr R. Ashdown", notes="as before", items=(Item(item="impression", arch="upper"),))
    came = Case(prescriber="Dr R. Ashdown", notes="ring me", items=(Item(item="bite-record"),))
    assert left_out(held, came) == ("the notes",)
    assert left_out(held, held) == ()
