"""Days on both databases: counted from the tables as the events count them, closed, and closed again."""

from datetime import date, datetime, timedelta

import pytest

from intake.domain.day_counts import count_events
from intake.domain.day_figures import Share, Standing
from intake.store.chain import Head, verify
from intake.store.closing_rows import NewClosing
from intake.store.move_rows import StandsAt
from intake.store.rows import NewArrival
from intake.store.tables import EventTable
from tests.store.samples import NAMES, NOW, a_case, a_finding, a_token, a_verdict, amend, book, does, save_practices

DAY = NOW.date()
BEGIN = datetime(2026, 11, 25, 8)


@pytest.fixture
def filled(store):
    save_practices(store)
    return store


def history(store):
    return store.read._events(EventTable.seq > 0)


def arrive(store, at=NOW, stream="post"):
    return does(
        store, lambda work: work.arrivals.add(NewArrival(stream, at, practice="Mill Lane Dental")), at
    ).arrival_id


def hand_over(store, number, at=NOW, kind="handed-over", state="gone", bench="Casting", finished=False):
    job = store.read.job(number)
    to = StandsAt(state=state, bench=bench, finished=finished)
    return does(store, lambda work: work.moves.move(job.job_id, job.version, kind, "Casting", to), at)


def agrees(store, day=DAY):
    counts = store.read.day_counts(day)
    assert count_events(history(store), day) == counts
    return counts


def test_a_day_on_which_nothing_happened_is_all_noughts(store):
    counts = agrees(store)
    assert counts.whole == Share()
    assert counts.standing == Standing()
    assert [name for name, _ in counts.streams] == ["post", "scan"]


def test_arrivals_cases_and_jobs_are_counted_by_stream_category_and_hour(filled):
    waiting, brought = arrive(filled, BEGIN), arrive(filled, BEGIN + timedelta(hours=1))
    arrive(filled, BEGIN - timedelta(days=1), stream="scan")
    book(filled, "splints", "retainers", arrival_id=brought, at=BEGIN + timedelta(hours=2))
    book(filled, "splints", findings=[a_finding(level="stops")], at=BEGIN + timedelta(hours=2, minutes=59))
    counts = agrees(filled)
    assert counts.whole == Share(arrived=3, booked=2, jobs=3, clear=2, held=1)
    assert dict(counts.streams)["scan"] == Share()
    assert dict(counts.categories)["Splints"] == Share(jobs=2, clear=1, held=1)
    assert counts.hours[10] == Share(booked=2, jobs=3, clear=2, held=1)
    assert (counts.hours[8].arrived, counts.hours[9].arrived) == (2, 1)
    assert counts.standing == Standing(arrivals=2, held=1, tickets=3)
    assert waiting != brought


def test_what_is_taken_off_the_list_did_not_arrive_and_what_is_set_aside_did(filled):
    for state in ("dismissed", "set-aside"):
        arrival_id = arrive(filled)
        does(filled, lambda work, one=arrival_id, to=state: work.arrivals.set_state(one, 1, to))
    counts = agrees(filled)
    assert (counts.whole.arrived, counts.standing.arrivals) == (1, 0)


def test_a_case_that_is_withdrawn_counts_no_more_and_counts_again_when_it_is_taken_up(filled):
    booked = book(filled, findings=[a_finding(level="stops")])
    version = does(filled, lambda work: work.cases.withdraw(booked.case_id, booked.version, "sent by mistake"))
    assert agrees(filled).whole == Share()
    does(filled, lambda work: work.cases.reinstate(booked.case_id, version))
    counts = agrees(filled)
    assert counts.whole == Share(arrived=1, booked=1, jobs=1, held=1)
    assert counts.standing == Standing(held=1, tickets=1)


def test_an_answer_makes_a_held_job_clear_in_both_counts(filled):
    booked = book(filled, findings=[a_finding(level="stops")])
    assert agrees(filled).whole.held == 1
    amend(filled, booked.case_id)
    assert agrees(filled).whole == Share(arrived=1, booked=1, jobs=1, clear=1)


def test_a_job_that_an_amendment_takes_away_leaves_no_ticket_behind(filled):
    booked = book(filled, "splints", "retainers")
    row = filled.read.case(booked.case_id)
    act = lambda work: work.cases.amend(row.case_id, row.version, a_case("splints"), a_verdict("splints"), names=NAMES)  # noqa: E731
    does(filled, act)
    counts = agrees(filled)
    assert (counts.whole.jobs, counts.standing.tickets) == (1, 1)


def test_a_box_that_goes_out_twice_on_a_day_is_handed_over_once_in_the_hour_it_first_went(filled):
    number = book(filled, at=BEGIN).jobs[0].number
    hand_over(filled, number, BEGIN + timedelta(hours=1))
    hand_over(filled, number, BEGIN + timedelta(hours=2), kind="back", state="clear", bench=None)
    hand_over(filled, number, BEGIN + timedelta(hours=3))
    counts = agrees(filled)
    assert counts.whole == Share(arrived=1, booked=1, jobs=1, gone=1, handed_over=1)
    assert [hour for hour, share in enumerate(counts.hours) if share.handed_over] == [9]


def test_a_hand_over_that_was_taken_back_was_none(filled):
    number = book(filled).jobs[0].number
    move = hand_over(filled, number)
    to = StandsAt(state="clear", bench=None, finished=False)
    does(filled, lambda work: work.moves.take_back(move, filled.read.job(number).version, to))
    assert agrees(filled).whole == Share(arrived=1, booked=1, jobs=1, clear=1)


def test_a_job_of_yesterday_is_handed_over_today(filled):
    number = book(filled, at=BEGIN - timedelta(days=1)).jobs[0].number
    hand_over(filled, number)
    counts = agrees(filled)
    assert (counts.whole.booked, counts.whole.gone, counts.whole.handed_over) == (0, 0, 1)
    assert dict(counts.categories)["Splints"].handed_over == 1


def test_tickets_and_letters_wait_until_a_queue_has_them(filled):
    booked = book(filled, findings=[a_finding()])
    (query,) = filled.read.queries_of(booked.case_id)
    letter = does(filled, lambda work: work.documents.add_letter([query.query_id]))
    ticket = booked.jobs[0].document_id
    assert agrees(filled).standing == Standing(tickets=1, letters=1)
    for document in (ticket, letter):
        does(filled, lambda work, one=document: work.documents.keep_pdf(one, b"%PDF"))
        does(filled, lambda work, one=document: work.documents.mark_failed(one, "out of paper"))
    assert agrees(filled).standing == Standing(tickets=1, letters=1)
    does(filled, lambda work: work.documents.mark_sent(ticket, "tickets", "7"))
    does(filled, lambda work: work.documents.cancel_letter(letter))
    assert agrees(filled).standing == Standing()
    does(filled, lambda work: work.documents.next_copy(booked.jobs[0].number, "lost"))
    assert agrees(filled).standing == Standing(tickets=1)


def test_a_remake_was_brought_by_nobody(filled):
    first, again = book(filled), book(filled, case=a_case(label="A.B."))
    link = does(filled, lambda work: work.links.add("remake", again.case_id, first.case_id, "broken"))
    assert agrees(filled).whole.arrived == 1
    does(filled, lambda work: work.links.take_back(link))
    assert agrees(filled).whole.arrived == 2


def test_what_leaves_is_what_is_not_finished_by_its_day(filled):
    numbers = [book(filled).jobs[0].number for _ in range(3)]
    hand_over(filled, numbers[0])
    hand_over(filled, numbers[1], finished=True, bench=None)
    leaves = filled.read.job(numbers[0]).must_leave
    rows = filled.read.leaving(None, leaves, ("held", "clear", "gone"))
    assert [(row.number, row.state, row.bench) for row in rows] == [
        (numbers[0], "gone", "Casting"),
        (numbers[2], "clear", None),
    ]
    assert filled.read.leaving(None, leaves - timedelta(days=1), ("clear",)) == ()
    assert filled.read.count_leaving(leaves, leaves, ("clear",)) == 1
    assert rows[0].practice == "Mill Lane Dental"


def test_a_case_is_unasked_until_a_letter_asks_all_of_it(filled):
    booked = book(filled, findings=[a_finding(), a_finding("shade", question="Which shade?")])
    (row,) = filled.read.unasked()
    assert (row.case_id, row.key, row.questions, row.job) == (booked.case_id, "MILL", 2, booked.jobs[0].number)
    first, second = filled.read.queries_of(booked.case_id)
    does(filled, lambda work: work.documents.add_letter([first.query_id]))
    assert [row.questions for row in filled.read.unasked()] == [1]
    assert filled.read.count_asked() == 0
    does(filled, lambda work: work.documents.add_letter([second.query_id]))
    assert (filled.read.unasked(), filled.read.count_asked(), filled.read.count_open_queries()) == ((), 1, 2)


def close(store, left=(), at=NOW, who="AB", settled=0):
    new = NewClosing(DAY, store.read.day_counts(DAY), tuple(left), settled)
    return does(store, lambda work: work.closings.add(new), at, who)


def test_a_closed_day_says_who_closed_it_in_which_numbers_and_where_the_history_ended(filled):
    book(filled)
    before = filled.read.head()
    left = {"what": "job", "about": "26 000001 08", "reason": "Handed over tomorrow"}
    close(filled, [left])
    closing = filled.read.closing_of(DAY)
    assert (closing.who, closing.at, closing.left) == ("AB", NOW, (left,))
    assert closing.counts["whole"]["booked"] == 1
    assert Head(closing.events, closing.head) == before
    assert filled.read.head().count == before.count + 1
    event = history(filled)[-1]
    assert (event.kind, event.details["left"], event.details["head"]) == ("day-closed", 1, before.hash)
    assert event.personal == {"left": [left]}


def test_a_history_that_is_cut_short_shows_against_a_closed_day(filled):
    book(filled)
    close(filled)
    closing = filled.read.closing_of(DAY)
    remembered = Head(closing.events, closing.head)
    with filled.engine.connect() as connection:
        assert verify(connection, remembered).count == closing.events + 1
        wrong = verify(connection, Head(closing.events, "0" * 64))
    assert wrong.seq == closing.events


def test_a_day_that_is_closed_again_keeps_both_in_the_history_and_the_newer_counts(filled):
    close(filled)
    book(filled)
    close(filled, at=NOW + timedelta(hours=1), who="CD", settled=3)
    closing = filled.read.closing_of(DAY)
    assert (closing.who, closing.counts["whole"]["booked"]) == ("CD", 1)
    told = [event for event in history(filled) if event.kind == "day-closed"]
    assert [event.details["again"] for event in told] == [False, True]
    assert told[1].details["settled"] == 3


def test_a_day_that_is_not_closed_has_no_closing(filled):
    close(filled)
    assert filled.read.closing_of(date(2026, 11, 24)) is None


def test_an_amended_time_of_arrival_moves_the_arrival_to_its_day(filled):
    booked = book(filled)
    row = filled.read.case(booked.case_id)
    earlier = row.case.model_copy(update={"arrived": datetime(2026, 11, 24, 16)})
    amend(filled, booked.case_id, case=earlier)
    assert agrees(filled).whole.arrived == 0
    assert agrees(filled, date(2026, 11, 24)).hours[16].arrived == 1


def test_a_second_booking_with_the_same_token_counts_once(filled):
    token = a_token()
    for _ in range(2):
        does(filled, lambda work: work.cases.book(a_case(), a_verdict(), token=token, names=NAMES))
    assert agrees(filled).whole.booked == 1
