"""What is left of opened parcels stands at the top of what waits in Arrivals, until it is done."""

from datetime import timedelta

import pytest

from intake.desk.arrivals import take_in, waiting
from intake.desk.incidents import stop
from intake.desk.parcels import NewContent, NewParcel, add_content, open_parcel, settle
from intake.resources import demo
from intake.ui.arrivals.waiting_model import came_of, said_of
from tests.ui.parcels.conftest import LABEL

CASE = NewContent("case")


@pytest.fixture
def urgent(desk):
    """A prescription file that is late and would stand first."""
    (file,) = demo("day").glob("09-*.json")
    return take_in(desk, [file])[0].arrival_id


def test_an_opened_parcel_stands_above_what_is_most_pressing_in_the_order_of_its_things(desk, urgent, clock):
    first = open_parcel(desk, NewParcel("A1", practice="MARLOW1", contents=(CASE, CASE)))
    clock.now += timedelta(minutes=1)
    second = open_parcel(desk, NewParcel("A2", practice="OXMERE", contents=(CASE,)))
    assert [row.arrival_id for row in waiting(desk)] == [*first.arrivals, *second.arrivals, urgent]


def test_what_is_found_later_in_an_older_parcel_stands_with_the_rest_of_it(desk, clock):
    first = open_parcel(desk, NewParcel("A1", practice="MARLOW1", contents=(CASE,)))
    clock.now += timedelta(minutes=1)
    open_parcel(desk, NewParcel("A2", practice="OXMERE", contents=(CASE,)))
    add_content(desk, first.parcel_id, CASE)
    assert [row.parcel.label for row in waiting(desk)] == ["A1", "A1", "A2"]


def test_what_has_a_reason_waits_no_longer(desk, urgent):
    opened = open_parcel(desk, NewParcel("A1", contents=(CASE,)))
    settle(desk, opened.contents[0], "belongs to a case that is booked")
    assert [row.arrival_id for row in waiting(desk)] == [urgent]


def test_of_a_stopped_parcel_nothing_waits(desk, urgent):
    opened = open_parcel(desk, NewParcel("A1", contents=(CASE,)))
    stop(desk, opened.parcel_id, "sharps", "A needle")
    assert [row.arrival_id for row in waiting(desk)] == [urgent]


def test_a_row_shows_its_parcel_and_says_why_it_stands_first(desk, urgent, person):
    open_parcel(desk, NewParcel(LABEL, practice="MARLOW1", contents=(CASE,)))
    opened = open_parcel(desk, NewParcel(practice="MARLOW1", contents=(CASE,)))
    person.arrivals.arriving.read()
    person.wait().press("F2", "F6", "Home")
    labelled, unlabelled, other = person.waiting
    assert (came_of(labelled), came_of(unlabelled), came_of(other)) == ("…6785DE", f"no. {opened.parcel_id}", "post")
    assert f"of parcel {LABEL}" in said_of(labelled)
    assert person.arrivals.waiting.why.text().startswith(f"Of the opened parcel {LABEL}: first")


def test_a_parcels_mark_is_painted_in_its_row(desk, person):
    open_parcel(desk, NewParcel(LABEL, practice="MARLOW1", contents=(CASE,)))
    person.arrivals.arriving.read()
    person.wait().press("F2")
    view = person.arrivals.waiting.list
    row = view.visualRect(view.model().index(0, 0))
    with_mark = view.grab(row).toImage()
    plain = person.waiting[0].__class__(**{**vars(person.waiting[0]), "parcel": None})
    view.model().show_rows([plain])
    assert view.grab(row).toImage() != with_mark
