"""The rows of the form."""

import pytest

from intake.ui.arrivals.form_rows import COLUMNS, rows_of

PLACES = (
    "practice",
    "prescriber",
    "patient.label",
    "patient.reference",
    "appliances[0]",
    "appliances[0].options.thickness_mm",
    "appliances[0].options.colour",
    "appliances[1]",
    "items",
    "hygiene",
    "patient.allergies",
    "patient.under_18",
    "appointment",
    "arrived",
    "notes",
)


@pytest.mark.parametrize("narrow", [False, True])
def test_every_field_has_its_room_in_the_order_of_the_paper(narrow):
    rows = rows_of(PLACES, narrow)
    assert tuple(place for row in rows for place, _, _ in row) == PLACES
    for row in rows:
        ends = [column + width for _, column, width in row]
        assert [column for _, column, _ in row] == [0, *ends[:-1]]
        assert ends[-1] <= COLUMNS


def test_what_belongs_together_stands_side_by_side():
    rows = [[place for place, _, _ in row] for row in rows_of(PLACES, narrow=False)]
    assert ["prescriber", "patient.label", "patient.reference"] in rows
    assert ["hygiene", "patient.allergies", "patient.under_18"] in rows
    assert ["appointment", "arrived"] in rows


def test_the_name_on_the_bag_stands_beside_the_prescriptions_in_the_same_row():
    places = (*PLACES[:4], "patient.found", *PLACES[4:])
    rows = [[place for place, _, _ in row] for row in rows_of(places, narrow=False)]
    assert ["prescriber", "patient.label", "patient.reference", "patient.found"] in rows
    assert len(rows) == len(rows_of(PLACES, narrow=False))
    narrow = [[place for place, _, _ in row] for row in rows_of(places, narrow=True)]
    assert ["patient.reference", "patient.found"] in narrow


def test_a_new_practice_has_two_rows_for_what_the_paper_says_of_it():
    places = ("practice", "practice.address", "practice.postcode", "practice.telephone", "practice.email")
    rows = [[place for place, _, _ in row] for row in rows_of((*places, "practice.code", "prescriber"), narrow=False)]
    assert rows == [
        ["practice"],
        ["practice.address", "practice.postcode"],
        ["practice.telephone", "practice.email", "practice.code"],
        ["prescriber"],
    ]


def test_where_it_is_narrow_two_stand_side_by_side_at_most():
    assert max(len(row) for row in rows_of(PLACES, narrow=True)) == 2
