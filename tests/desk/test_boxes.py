"""Numbered boxes: which box holds which job."""

from dataclasses import replace

import pytest

from intake.desk.book_in import book
from intake.desk.boxes import BoxRefused, box_of, free_box, job_in_box, put_in_box
from intake.desk.hand_over import hand_over, send_on
from intake.desk.withdraw import withdraw
from intake.domain.job_number import JobNumber
from intake.domain.scan_codes import ScanCode
from tests.desk.desks import day_case


def booked(desk, mark="form"):
    return book(desk, day_case("36"), mark)


def ticket(made):
    return ScanCode("ticket", made.jobs[0].number, 1)


def test_a_job_lies_in_a_box(desk):
    made = booked(desk)
    put = put_in_box(desk, 12, ticket(made))
    assert put.said == f"Job {made.jobs[0].shown} lies in box 12."
    assert job_in_box(desk, 12).number == made.jobs[0].number
    assert box_of(desk, made.jobs[0].number) == 12


def test_a_box_in_use_is_refused_for_another_and_says_which_job(desk):
    first, second = booked(desk), booked(desk, "other")
    put_in_box(desk, 12, ticket(first))
    with pytest.raises(BoxRefused) as refused:
        put_in_box(desk, 12, ticket(second))
    practice = desk.store.read.job(first.jobs[0].number).practice_name
    assert str(refused.value) == (
        f"Box 12 is in use: job {first.jobs[0].shown} of {practice} lies in it, at reception. Take another box."
    )
    assert box_of(desk, second.jobs[0].number) is None


def test_a_job_moves_to_another_box_and_the_first_is_free(desk):
    made, other = booked(desk), booked(desk, "other")
    put_in_box(desk, 12, ticket(made))
    moved = put_in_box(desk, 15, ticket(made))
    assert moved.before == 12
    assert moved.said.endswith("lies in box 15, and no longer in box 12.")
    put_in_box(desk, 12, ticket(other))
    assert job_in_box(desk, 12).number == other.jobs[0].number


def test_the_box_of_a_job_that_is_done_is_free(desk):
    made, other = booked(desk), booked(desk, "other")
    put_in_box(desk, 12, ticket(made))
    for stop in desk.store.read.job(made.jobs[0].number).deadlines.route:
        hand_over(desk, stop.bench, ticket(made))
    send_on(desk, "Checking", ticket(made))
    assert job_in_box(desk, 12) is None
    put_in_box(desk, 12, ticket(other))


def test_the_box_of_a_withdrawn_job_can_be_taken_for_another(desk):
    made, other = booked(desk), booked(desk, "other")
    put_in_box(desk, 12, ticket(made))
    withdraw(desk, made.case_id, made.version, "cancelled")
    put_in_box(desk, 12, ticket(other))
    assert job_in_box(desk, 12).number == other.jobs[0].number
    with pytest.raises(BoxRefused, match="needs no box: it is withdrawn"):
        put_in_box(desk, 13, ticket(made))


def test_a_freed_box_is_free(desk):
    made = booked(desk)
    put_in_box(desk, 12, ticket(made))
    free_box(desk, 12)
    assert job_in_box(desk, 12) is None


def test_a_box_that_is_not_there_is_refused(desk):
    with pytest.raises(BoxRefused, match="There is no box 999: the boxes count from 1 to 400"):
        put_in_box(desk, 999, ticket(booked(desk)))


def test_where_the_boxes_have_no_numbers_none_is_taken(desk):
    without = replace(desk, lab=desk.lab.model_copy(update={"boxes": None}))
    with pytest.raises(BoxRefused, match="have no numbers"):
        put_in_box(without, 12, ticket(booked(desk)))


def test_a_job_that_is_not_here_lies_in_no_box(desk):
    with pytest.raises(BoxRefused, match="No job here"):
        put_in_box(desk, 12, ScanCode("ticket", JobNumber.make(2026, 999_999).digits, 1))
