"""Open jobs for the load: lean rows, on both databases."""

from datetime import date, timedelta

import pytest

from intake.domain.verdict import BenchDate
from intake.store.move_rows import StandsAt
from tests.store.samples import DATES, NAMES, NOW, a_case, a_finding, a_token, a_verdict, book, does, save_practices


@pytest.fixture
def practices(store):
    save_practices(store)


def book_dated(store, **dates):
    verdict = a_verdict(dates=DATES.model_copy(update=dates))
    with store.work("AB", NOW) as work:
        booked = work.cases.book(a_case(), verdict, token=a_token(), names=NAMES)
        work.commit()
    return booked.jobs[0].number


def move(store, number, kind, bench, state="gone", at=None, finished=False):
    job = store.read.job(number)
    to = StandsAt(state=state, bench=at, finished=finished)
    does(store, lambda work: work.moves.move(job.job_id, job.version, kind, bench, to))


def test_jobs_that_have_the_same_dates_come_together(store, practices):
    numbers = [book_dated(store) for _ in range(3)]
    later = book_dated(store, start=date(2026, 11, 26))
    elsewhere = book_dated(store, appointment=date(2026, 12, 11), with_practice=date(2026, 12, 10))
    rows = {row.numbers if len(row.numbers) == 1 else tuple(sorted(row.numbers)): row for row in store.read.open_jobs()}
    assert set(rows) == {tuple(sorted([*numbers, elsewhere])), (later,)}
    row = rows[later,]
    assert row.dates.start == date(2026, 11, 26)
    assert row.dates.route == (("Casting", date(2026, 12, 2)), ("Checking", date(2026, 12, 8)))
    assert (row.dates.latest_start, row.state, row.bench, row.moved) == (date(2026, 12, 2), "clear", None, False)


def test_whatever_a_bench_is_called_its_dates_are_read(store, practices):
    name = 'Wax, “must_leave”: "quick" \\ ,"must_leave":"'
    book_dated(store, route=(BenchDate(bench=name, by=date(2026, 12, 8)),))
    (row,) = store.read.open_jobs()
    assert row.dates.route == ((name, date(2026, 12, 8)),)


def test_held_jobs_say_so_and_withdrawn_ones_are_left_out(store, practices):
    book(store, findings=[a_finding(level="stops")])
    gone = book(store)
    does(store, lambda work: work.cases.withdraw(gone.case_id, gone.version, "not wanted"))
    assert [row.state for row in store.read.open_jobs()] == ["held"]


def test_a_job_that_has_no_dates_asks_nothing(store, practices):
    with store.work("AB", NOW) as work:
        work.cases.book(a_case(), a_verdict(dates=None), token=a_token(), names=NAMES)
        work.commit()
    assert store.read.open_jobs() == ()


def test_a_job_on_its_way_says_at_which_bench_and_one_that_is_finished_is_left_out(store, practices):
    away, back, finished = (book_dated(store) for _ in range(3))
    move(store, away, "handed-over", "Casting", at="Casting")
    move(store, back, "handed-over", "Casting", at="Casting")
    move(store, back, "back", "Casting", state="clear")
    move(store, finished, "out", "Checking", finished=True)
    rows = {row.numbers: (row.state, row.bench, row.moved) for row in store.read.open_jobs()}
    assert rows == {(away,): ("gone", "Casting", True), (back,): ("clear", None, True)}


def test_jobs_are_listed_by_their_numbers_with_practice_and_patient(store, practices):
    number, other = book_dated(store), book_dated(store)
    row = store.read.load_jobs([number, other, "0000000000"])[number]
    assert (row.practice, row.patient_label, row.patient_reference) == ("Mill Lane Dental", "J.T.", "20418")
    assert (row.category, row.box_colour, row.must_leave, row.bench) == ("Splints", "Blue", DATES.must_leave, None)
    assert set(store.read.load_jobs([number, other, "0000000000"])) == {number, other}
    assert store.read.load_jobs([]) == {}


def test_what_long_ago_was_due_is_still_open(store, practices):
    old = book_dated(store, must_leave=NOW.date() - timedelta(days=500))
    assert [row.numbers for row in store.read.open_jobs()] == [(old,)]
