"""What was promised is offered when it arrives, and joined to its case when the desk says so."""

from dataclasses import replace
from datetime import timedelta

import pytest

from intake.desk.answering import take_answer
from intake.desk.arrivals import take_in_content, waiting
from intake.desk.book_in import BookedElsewhere, book
from intake.desk.expected import CannotJoin, expected_for, join, take_apart
from intake.desk.history import told
from intake.domain.case import Case, Item, Patient
from intake.store.meanwhile import ChangedMeanwhile
from tests.desk.desks import NOW
from tests.desk.waiting import RECEPTION, booked, said

KEY = "QUILLB2"


@pytest.fixture
def held(desk):
    """A hard splint whose bite record is promised."""
    made = booked(desk, "02")
    take_answer(desk, *said(desk, KEY, "bite-record", "post"), RECEPTION)
    return made


def bringing(desk, made, *items):
    patient = desk.store.read.case(made.case_id).case.patient
    return Case(practice=KEY, patient=Patient(label=patient.label, reference=patient.reference), items=items)


def test_the_promised_thing_is_offered_and_answers_its_question(desk, held):
    tomorrow = replace(desk, now=lambda: NOW + timedelta(days=1))
    came = bringing(desk, held, Item(item="bite-record", kind="centric"))
    (match,) = expected_for(tomorrow, came)
    assert match.said.endswith("waits for this: bite record in the post, here by Thu 26 Nov 2026.")
    joined = join(tomorrow, match, came)
    assert [job.state for job in joined.jobs] == ["clear"]
    states = {query.requirement: query.state for query in desk.store.read.queries_of(held.case_id)}
    assert states["bite-record"] == "answered"
    assert joined.tickets


def test_its_arrival_is_booked_to_the_case_that_waited(desk, held):
    came = bringing(desk, held, Item(item="bite-record", kind="centric"))
    taken = take_in_content(desk, came.model_dump_json().encode(), "bite.json")
    (match,) = expected_for(desk, came)
    join(desk, match, came, taken.arrival_id)
    assert waiting(desk) == ()
    assert desk.store.read.arrival(taken.arrival_id).case_id == held.case_id


def test_another_patients_parcel_is_never_offered(desk, held):
    came = bringing(desk, held, Item(item="bite-record")).model_copy(update={"patient": Patient(reference="99999")})
    assert expected_for(desk, came) == ()


def test_nothing_is_joined_before_it_is_entered(desk, held):
    came = bringing(desk, held)
    (match,) = expected_for(desk, came)
    with pytest.raises(CannotJoin, match="Enter first what came"):
        join(desk, match, came)


def test_a_case_that_was_changed_meanwhile_is_not_overwritten(desk, held):
    came = bringing(desk, held, Item(item="bite-record", kind="centric"))
    (match,) = expected_for(desk, came)
    take_answer(desk, *said(desk, KEY, "thickness", "3"), replace_authority())
    with pytest.raises(ChangedMeanwhile):
        join(desk, match, came)


def replace_authority():
    return RECEPTION.model_copy(update={"authority": "on-behalf"})


def test_a_join_that_is_undone_waits_again_for_what_was_promised(desk, held):
    came = bringing(desk, held, Item(item="bite-record", kind="centric"))
    taken = take_in_content(desk, came.model_dump_json().encode(), "bite.json")
    before = desk.store.read.case(held.case_id).case
    expected = desk.store.read.expected(KEY)
    (match,) = expected_for(desk, came)
    apart = take_apart(desk, match, join(desk, match, came, taken.arrival_id))
    assert desk.store.read.case(held.case_id).case == before
    assert desk.store.read.expected(KEY) == expected
    assert [job.state for job in apart.jobs] == ["held"]
    assert [line.arrival_id for line in waiting(desk)] == [taken.arrival_id]
    assert len([query for query in desk.store.read.queries_of(held.case_id) if query.requirement == "bite-record"]) == 1
    said = [each.what for each in told(desk.store.read.history(held.case_id))]
    assert "Asked again: bite record of appliance 1." in said


def test_a_join_cannot_be_undone_once_the_case_was_changed(desk, held):
    came = bringing(desk, held, Item(item="bite-record", kind="centric"))
    (match,) = expected_for(desk, came)
    joined = join(desk, match, came)
    take_answer(desk, *said(desk, KEY, "thickness", "3"), replace_authority())
    with pytest.raises(ChangedMeanwhile):
        take_apart(desk, match, joined)
    assert [
        query.state for query in desk.store.read.queries_of(held.case_id) if query.requirement == "bite-record"
    ] == ["answered"]


def test_an_arrival_that_was_booked_meanwhile_is_not_joined_too(desk, held):
    came = bringing(desk, held, Item(item="bite-record", kind="centric"))
    taken = take_in_content(desk, came.model_dump_json().encode(), "bite.json")
    (match,) = expected_for(desk, came)
    book(desk, desk.store.read.case(held.case_id).case, "elsewhere", taken.arrival_id)
    with pytest.raises(BookedElsewhere):
        join(desk, match, came, taken.arrival_id)
    assert desk.store.read.case(held.case_id).case.items == match.case.items
