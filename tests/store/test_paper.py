from datetime import timedelta

import pytest

from intake.domain.job_number import LAST_COPY, NumberRefused
from intake.store.meanwhile import NotNow, NotThere
from tests.store.samples import NOW, a_case, a_finding, a_practice, book, save_practices

LATER = NOW + timedelta(minutes=5)
STOPS = a_finding("bite-record", "stops")


def does(store, act):
    """One act upon the documents, committed."""
    with store.work("CD", LATER) as work:
        result = act(work.documents)
        work.commit()
    return result


def state(store, document_id):
    return store.read.document(document_id).state


def test_a_ticket_goes_from_waiting_to_done_and_its_pdf_is_kept(store):
    (job,) = book(store).jobs
    assert state(store, job.document_id) == "waiting"
    assert store.read.pdf(job.document_id) is None
    does(store, lambda paper: paper.keep_pdf(job.document_id, b"%PDF-1.7 ticket"))
    assert state(store, job.document_id) == "drawn"
    assert store.read.pdf(job.document_id) == b"%PDF-1.7 ticket"
    does(store, lambda paper: paper.mark_sent(job.document_id, "FrontDesk", "42"))
    (sent,) = store.read.documents_sent()
    assert (sent.queue, sent.queue_job, sent.has_pdf) == ("FrontDesk", "42", True)
    assert store.read.documents_waiting() == ()
    does(store, lambda paper: paper.mark_done(job.document_id))
    assert state(store, job.document_id) == "done"
    kinds = [event.kind for event in store.read.history(1)]
    assert kinds == ["case-booked", "ticket-drawn", "ticket-sent", "ticket-done"]


def test_a_failed_ticket_stays_among_what_waits_and_can_be_sent_again(store):
    (job,) = book(store).jobs
    does(store, lambda paper: paper.keep_pdf(job.document_id, b"%PDF"))
    does(store, lambda paper: paper.mark_failed(job.document_id, "The queue “FrontDesk” is stopped."))
    (waiting,) = store.read.documents_waiting()
    assert (waiting.state, waiting.problem) == ("failed", "The queue “FrontDesk” is stopped.")
    does(store, lambda paper: paper.mark_sent(job.document_id, "FrontDesk", "43"))
    assert store.read.document(job.document_id).problem is None


def test_what_was_issued_is_never_drawn_over(store):
    (job,) = book(store).jobs
    does(store, lambda paper: paper.keep_pdf(job.document_id, b"%PDF one"))
    with pytest.raises(NotNow, match="make a new copy"):
        does(store, lambda paper: paper.keep_pdf(job.document_id, b"%PDF two"))
    assert store.read.pdf(job.document_id) == b"%PDF one"


def test_what_is_not_drawn_cannot_be_sent_or_done(store):
    (job,) = book(store).jobs
    with pytest.raises(NotNow, match="not drawn"):
        does(store, lambda paper: paper.mark_sent(job.document_id, "FrontDesk", "1"))
    does(store, lambda paper: paper.mark_failed(job.document_id, "The logo cannot be read."))
    with pytest.raises(NotNow, match="not drawn"):
        does(store, lambda paper: paper.mark_done(job.document_id))


def test_what_is_done_does_not_fail_afterwards(store):
    (job,) = book(store).jobs
    does(store, lambda paper: paper.keep_pdf(job.document_id, b"%PDF"))
    does(store, lambda paper: paper.mark_done(job.document_id))
    with pytest.raises(NotNow, match="is done"):
        does(store, lambda paper: paper.mark_failed(job.document_id, "late news"))


def test_the_next_copy_cancels_the_one_that_was_never_printed(store):
    (job,) = book(store).jobs
    copy = does(store, lambda paper: paper.next_copy(job.number, "lost at the bench"))
    assert (copy.copy, copy.reason, copy.number) == (2, "lost at the bench", job.number)
    assert [(d.copy, d.state) for d in store.read.documents_of(job.number)] == [(1, "cancelled"), (2, "waiting")]
    event = store.read.history(1)[-1]
    assert (event.kind, event.job, event.who) == ("ticket-copied", job.number, "CD")
    assert (event.details["copy"], event.personal) == (2, {"reason": "lost at the bench"})
    assert store.read.job(job.number).copy == 2


def test_a_printed_copy_stays_printed_when_the_next_is_made(store):
    (job,) = book(store).jobs
    does(store, lambda paper: paper.keep_pdf(job.document_id, b"%PDF"))
    does(store, lambda paper: paper.mark_done(job.document_id))
    does(store, lambda paper: paper.next_copy(job.number, "lost"))
    assert [d.state for d in store.read.documents_of(job.number)] == ["done", "waiting"]


def test_a_ticket_has_no_copy_that_its_barcode_cannot_say(store):
    (job,) = book(store).jobs
    with store.work("AB", NOW) as work:
        for _ in range(LAST_COPY - 1):
            work.documents.next_copy(job.number, "again")
        with pytest.raises(NumberRefused):
            work.documents.next_copy(job.number, "again")
        work.commit()
    assert store.read.job(job.number).copy == LAST_COPY


def test_there_is_no_copy_of_a_ticket_that_is_not_there_or_withdrawn(store):
    booked = book(store)
    with pytest.raises(NotThere, match="26 000099"):
        does(store, lambda paper: paper.next_copy("2600009900", "lost"))
    with store.work("AB", NOW) as work:
        work.cases.withdraw(booked.case_id, 1, "booked twice")
        work.commit()
    with pytest.raises(NotNow, match="withdrawn"):
        does(store, lambda paper: paper.next_copy(booked.jobs[0].number, "lost"))


def test_one_letter_asks_a_practice_for_everything(store):
    save_practices(store, a_practice(), a_practice("QUAY", "Quay Street"))
    book(store, findings=[STOPS, a_finding("shade")])
    book(store, findings=[STOPS])
    book(store, case=a_case(practice="QUAY"), findings=[STOPS])
    mill = [query.query_id for query in store.read.practice_queries("MILL")]
    assert len(mill) == 3
    letter = does(store, lambda paper: paper.add_letter(mill))
    assert [asked.key for asked in store.read.ring_rows() if asked.letter_id is None] == ["QUAY"]
    assert [query.query_id for query in store.read.queries_in(letter)] == mill
    row = store.read.document(letter)
    assert (row.kind, row.practice_code, row.practice_name, row.state) == (
        "letter",
        "MILL",
        "Mill Lane Dental",
        "waiting",
    )
    for case_id in (1, 2):
        assert store.read.history(case_id)[-1].kind == "letter-added"


def test_a_letter_is_to_one_practice_about_what_is_open(store):
    save_practices(store, a_practice(), a_practice("QUAY", "Quay Street"))
    book(store, findings=[STOPS])
    book(store, case=a_case(practice="QUAY"), findings=[STOPS])
    with pytest.raises(NotNow, match="several practices"):
        does(store, lambda paper: paper.add_letter([1, 2]))
    with pytest.raises(NotThere):
        does(store, lambda paper: paper.add_letter([99]))
    with pytest.raises(NotThere):
        does(store, lambda paper: paper.add_letter([]))


def test_a_query_without_a_practice_waits_for_one(store):
    book(store, case=a_case(practice="UNKNOWN"), findings=[STOPS])
    (query,) = store.read.open_queries()
    assert (query.practice_code, query.practice_name) == (None, "UNKNOWN")


def test_open_queries_can_be_those_of_one_practice(store):
    save_practices(store, a_practice(), a_practice("QUAY", "Quay Street"))
    book(store, findings=[STOPS])
    book(store, case=a_case(practice="QUAY"), findings=[STOPS])
    assert [query.practice_name for query in store.read.open_queries("QUAY")] == ["Quay Street"]
