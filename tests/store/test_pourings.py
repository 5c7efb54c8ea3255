"""Impressions that were poured, on both databases."""

from datetime import datetime, timedelta

import pytest

from intake.domain.case import Item
from intake.store.meanwhile import NotNow, NotThere
from intake.store.move_rows import StandsAt
from tests.store.samples import NOW, a_case, a_finding, book, does, save_practices

BENCHES = ("Casting",)
LATER = NOW + timedelta(minutes=5)


@pytest.fixture
def practices(store):
    save_practices(store)


def pour(store, case_id, at=NOW):
    return does(store, lambda work: work.pourings.pour(case_id), at)


def move(store, booked, kind, of, **to):
    job = store.read.job(booked.jobs[0].number)
    stands = StandsAt(**({"state": "gone", "bench": of} | to))
    return does(store, lambda work: work.moves.move(job.job_id, job.version, kind, of, stands))


def test_a_case_with_an_impression_is_to_be_poured_until_somebody_says_that_it_is(store, practices):
    booked = book(store)
    assert store.read.cases_to_pour(BENCHES) == (booked.case_id,)
    kept = pour(store, booked.case_id, LATER)
    assert store.read.cases_to_pour(BENCHES) == ()
    row = store.read.pouring_of(booked.case_id)
    assert (row.pouring_id, row.case_id, row.at, row.who) == (kept, booked.case_id, LATER, "CD")


def test_what_was_noted_by_mistake_is_to_be_poured_again_and_both_stay_in_the_history(store, practices):
    booked = book(store)
    kept = pour(store, booked.case_id)
    does(store, lambda work: work.pourings.take_back(kept))
    assert store.read.cases_to_pour(BENCHES) == (booked.case_id,)
    assert store.read.pouring_of(booked.case_id) is None
    events = store.read.history(booked.case_id)[-2:]
    assert [event.kind for event in events] == ["impressions-poured", "pouring-taken-back"]
    assert all(event.details == {"pouring": kept} and event.personal is None for event in events)
    assert pour(store, booked.case_id) != kept
    assert store.verify_chain().count == len(store.read.history(booked.case_id)) + 1


def test_the_same_is_not_poured_twice_nor_taken_back_twice(store, practices):
    booked = book(store)
    kept = pour(store, booked.case_id)
    with pytest.raises(NotNow, match="poured already, by CD at 09:30"):
        pour(store, booked.case_id)
    does(store, lambda work: work.pourings.take_back(kept))
    with pytest.raises(NotNow, match="taken back already"):
        does(store, lambda work: work.pourings.take_back(kept))


def test_nothing_is_poured_that_is_not_there_or_is_withdrawn(store, practices):
    with pytest.raises(NotThere):
        pour(store, 99)
    with pytest.raises(NotThere):
        does(store, lambda work: work.pourings.take_back(99))
    booked = book(store)
    does(store, lambda work: work.cases.withdraw(booked.case_id, booked.version, "not wanted"))
    assert store.read.cases_to_pour(BENCHES) == ()
    with pytest.raises(NotNow, match="withdrawn"):
        pour(store, booked.case_id)


@pytest.mark.parametrize(
    "items",
    [
        pytest.param((), id="nothing came"),
        pytest.param((Item(item="scan", arch="upper"), Item(item="model", arch="lower")), id="no impression"),
        pytest.param((Item(item="impression", arch="upper", source="scan"),), id="a scanned one"),
    ],
)
def test_what_has_no_impression_in_the_bag_is_not_to_be_poured(store, practices, items):
    book(store, case=a_case(items=items))
    assert store.read.cases_to_pour(BENCHES) == ()


def test_a_box_that_came_out_of_the_bench_that_pours_is_poured(store, practices):
    booked = book(store)
    move(store, booked, "handed-over", "Casting")
    assert store.read.cases_to_pour(BENCHES) == (booked.case_id,)
    out = move(store, booked, "out", "Casting", bench="Checking")
    assert store.read.cases_to_pour(BENCHES) == ()
    assert store.read.cases_to_pour(()) == (booked.case_id,)
    version = store.read.job(booked.jobs[0].number).version
    does(store, lambda work: work.moves.take_back(out, version, StandsAt("gone", "Casting")))
    assert store.read.cases_to_pour(BENCHES) == (booked.case_id,)


def test_a_job_that_is_finished_needs_no_pouring(store, practices):
    booked = book(store)
    move(store, booked, "out", "Checking", bench=None, finished=True)
    assert store.read.cases_to_pour(BENCHES) == ()


def test_a_case_of_two_jobs_is_listed_once_and_held_ones_are_poured_too(store, practices):
    both = book(store, "splints", "retainers")
    held = book(store, findings=[a_finding(level="stops")])
    assert store.read.cases_to_pour(BENCHES) == (both.case_id, held.case_id)


def test_what_keeps_least_comes_first_and_what_has_no_time_by_its_arrival(store, practices):
    from tests.store.samples import NAMES, a_token, a_verdict

    def booked(by, arrived):
        verdict = a_verdict()
        pour_by = verdict.pour_by.model_copy(update={"by": by}) if by else None
        verdict = verdict.model_copy(update={"pour_by": pour_by})
        with store.work("AB", NOW) as work:
            made = work.cases.book(a_case(arrived=arrived), verdict, token=a_token(), names=NAMES)
            work.commit()
        return made.case_id

    late = booked(datetime(2026, 12, 8, 15, 30), NOW)
    soon = booked(datetime(2026, 11, 25, 12, 0), NOW)
    unknown = booked(None, datetime(2026, 11, 25, 8, 0))
    assert store.read.cases_to_pour(BENCHES) == (unknown, soon, late)
