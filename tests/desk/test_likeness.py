"""What may be here already is shown before a case is saved, each with its reasons."""

from dataclasses import replace
from datetime import timedelta

import pytest

from intake.desk.book_in import book
from intake.desk.likeness import MOST, likely_same
from intake.desk.merge import look_at_merge, merge
from intake.desk.remake import remake
from intake.desk.split import split_off
from intake.desk.withdraw import send_back, withdraw
from intake.domain.case import Item, NewPractice, Patient
from tests.desk.desks import NOW, day_case

SPLINT = day_case("36")
"""A hard splint that came as scans."""
JANE = Patient(label="Jane Thornley", reference="20418")


def came(**changes):
    return SPLINT.model_copy(update={"patient": JANE} | changes)


def named(label=None, reference=None, found=None):
    return Patient(label=label, reference=reference, found=found)


@pytest.fixture
def here(desk):
    return book(desk, came(), "here")


def test_by_scan_and_by_post_is_said_in_a_sentence_with_its_number(desk, here):
    by_post = came(items=(Item(item="impression", arch="upper"),), arrived=SPLINT.arrived + timedelta(days=1))
    (likely,) = likely_same(desk, by_post)
    assert (likely.case_id, likely.version, likely.number) == (here.case_id, here.version, here.jobs[0].number)
    practice = desk.store.read.case(here.case_id).practice_name
    assert likely.said == (
        f"Jane Thornley of {practice} came on Wed 25 Nov as {here.jobs[0].shown} (Splints, clear). "
        "Same practice, reference 20418, the same appliance, as scans then and by post now, 1 day apart."
    )
    assert 0.9 <= likely.score <= 1


@pytest.mark.parametrize(
    "patient",
    [
        named("J.T.", "20418"),
        named("J. Thornley"),
        named("Thornley, Jane"),
        named("J.T."),
        named(None, "20418"),
        named("K.W.", None, "Jane Thornley"),
    ],
)
def test_the_practice_sends_it_again_under_another_label(desk, here, patient):
    assert [each.case_id for each in likely_same(desk, came(patient=patient))] == [here.case_id]


def test_a_name_that_was_found_on_the_tray_of_the_first_counts_too(desk):
    booked = book(desk, came(patient=named("K.W.", None, "Jane Thornley")), "here")
    assert [each.case_id for each in likely_same(desk, came(patient=named("Jane Thornley")))] == [booked.case_id]


def test_initials_at_another_practice_are_nobody(desk, here):
    for patient in (named("J.T."), named("J. Thornley"), named(None, "20418")):
        assert likely_same(desk, came(patient=patient, practice="FERNHA1")) == ()


def test_the_same_name_and_work_at_a_practice_that_is_not_in_the_directory_is_said_and_stands_behind(desk, here):
    elsewhere = book(desk, came(practice=NewPractice(name="Quay Street")), "there")
    found = likely_same(desk, came())
    assert [each.case_id for each in found] == [here.case_id, elsewhere.case_id]
    assert "Another practice, patient Jane Thornley" in found[1].said or "Another practice, reference" in found[1].said


def test_a_case_is_not_like_itself_nor_like_what_it_is_linked_to(desk, here):
    assert likely_same(desk, came(), here.case_id) == ()
    again = remake(desk, here.case_id, [0], "broke", True, "x").new
    assert likely_same(desk, desk.store.read.case(again.case_id).case, again.case_id) == ()
    trays = day_case("18")
    twice = book(desk, trays.model_copy(update={"appliances": trays.appliances[:1] * 2}), "two")
    apart = split_off(desk, twice.case_id, twice.version, [1], "two on one sheet").new
    assert likely_same(desk, desk.store.read.case(apart.case_id).case, apart.case_id) == ()


def test_what_was_sent_back_and_comes_again_is_said_and_what_was_cancelled_is_not(desk, here):
    version = send_back(desk, here.case_id, here.version, "distorted")
    (likely,) = likely_same(desk, came())
    assert f"was sent back on Wed 25 Nov as {here.jobs[0].shown} (Splints, withdrawn)" in likely.said
    assert "it was sent back" in likely.why
    cancelled = book(desk, came(), "again")
    withdraw(desk, cancelled.case_id, cancelled.version, "cancelled")
    assert [each.case_id for each in likely_same(desk, came())] == [here.case_id]
    assert version > here.version


def test_what_was_merged_is_offered_once(desk, here):
    twice = book(desk, came(), "twice")
    assert len(likely_same(desk, came())) == 2
    merge(desk, look_at_merge(desk, here.case_id, twice.case_id), "booked in twice")
    assert [each.case_id for each in likely_same(desk, came())] == [here.case_id]


def test_long_ago_is_another_order(desk, here):
    later = replace(desk, now=lambda: NOW + timedelta(days=60))
    assert likely_same(later, came(arrived=None)) == ()


def test_nobody_is_like_a_patient_without_a_name(desk, here):
    assert likely_same(desk, came(patient=Patient())) == ()
    assert likely_same(desk, came(patient=named(" "))) == ()


def test_no_more_are_shown_than_can_be_read(desk):
    for n in range(MOST + 2):
        book(desk, came(), f"token-{n}")
    assert len(likely_same(desk, came())) == MOST


def test_it_changes_nothing(desk, here):
    count = desk.store.verify_chain().count
    likely_same(desk, came())
    assert desk.store.verify_chain().count == count
