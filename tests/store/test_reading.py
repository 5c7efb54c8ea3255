from datetime import timedelta

from intake.store.rows import Counts, NewArrival
from tests.store.samples import NOW, a_finding, book, save_practices


def test_the_day_is_counted(store):
    save_practices(store)
    book(store, at=NOW - timedelta(days=1), findings=[a_finding("bite-record", "stops")])
    book(store)
    booked = book(store, findings=[a_finding()])
    undone = book(store, findings=[a_finding()])
    with store.work("AB", NOW) as work:
        work.cases.withdraw(undone.case_id, 1, "booked twice")
        work.arrivals.add(NewArrival("post", NOW))
        work.documents.mark_failed(booked.jobs[0].document_id, "No paper.")
        work.documents.add_letter([1])
        work.commit()
    counts = Counts(waiting=1, booked=2, held=1, clear=2, open_queries=2, unasked=1, unprinted=3, failed=1)
    assert store.read.counts(NOW.date()) == counts


def test_an_empty_store_has_nothing_to_show(store):
    read = store.read
    assert read.counts(NOW.date()) == Counts(0, 0, 0, 0, 0, 0, 0, 0)
    assert (
        read.practices() == read.arrivals() == read.documents_waiting() == read.open_queries() == read.find("x") == ()
    )
    assert read.case(1) is read.case_of_job("2600000126") is read.job("2600000126") is read.arrival(1) is None


def test_rows_that_left_the_store_do_not_change_when_it_is_closed(store):
    booked = book(store)
    row, jobs = store.read.case(booked.case_id), store.read.jobs_of(booked.case_id)
    store.close()
    assert row.case.patient.label == "J.T."
    assert jobs[0].deadlines.route[0].bench == "Casting"
