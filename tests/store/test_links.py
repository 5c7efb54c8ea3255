"""Cases that belong together, in the store of either kind."""

from datetime import timedelta

import pytest

from intake.domain.case import Patient
from intake.store.meanwhile import NotNow, NotThere
from tests.store.samples import NOW, a_case, a_finding, a_practice, an_answer, answer, book, does, save_practices

LATER = NOW + timedelta(hours=3)
THICKNESS = [a_finding("thickness", "asks", index) for index in range(3)]
PROMISED = an_answer("promise")


def kinds(store, booked):
    return [event.kind for event in store.read.history(booked.case_id)]


def link(store, kind, new, old, reason="two in one bag"):
    return does(store, lambda work: work.links.add(kind, new.case_id, old.case_id, reason))


def open_places(store, booked):
    """The open questions of a case: requirement, appliance, letters."""
    rows = [query for query in store.read.queries_of(booked.case_id) if query.state == "open"]
    return [(query.requirement, query.appliance, query.letters) for query in rows]


def write_letter(store, *queries):
    does(store, lambda work: work.documents.add_letter([query.query_id for query in queries]))


def test_a_link_is_read_from_both_ends_and_told_in_both_histories(store):
    old, new = book(store), book(store)
    link_id = link(store, "split", new, old)
    for end in (old, new):
        (row,) = store.read.links_of(end.case_id)
        assert (row.link_id, row.kind, row.case_id, row.of_case_id) == (link_id, "split", new.case_id, old.case_id)
        assert (row.reason, row.who, row.at) == ("two in one bag", "CD", NOW)
        assert kinds(store, end)[-1] == "case-split"
    told = [store.read.history(end.case_id)[-1] for end in (new, old)]
    assert [event.details["is_new"] for event in told] == [True, False]
    assert [event.details["other"] for event in told] == [[old.jobs[0].number], [new.jobs[0].number]]
    assert told[0].personal == {"reason": "two in one bag"}
    assert store.verify_chain().count == 4


def test_a_link_that_is_taken_back_stands_no_more_and_stays_in_the_history(store):
    old, new = book(store), book(store)
    link_id = link(store, "remake", new, old, "broke")
    does(store, lambda work: work.links.take_back(link_id))
    assert store.read.links_of(old.case_id) == ()
    assert kinds(store, new)[-2:] == ["case-remade", "link-taken-back"]
    with pytest.raises(NotNow, match="already"):
        does(store, lambda work: work.links.take_back(link_id))


def test_a_link_needs_two_cases_that_are_here(store):
    booked = book(store)
    for case_id, of_case_id, problem in ((booked.case_id, 99, NotThere), (booked.case_id, booked.case_id, NotNow)):
        with pytest.raises(problem):
            does(store, lambda work, a=case_id, b=of_case_id: work.links.add("split", a, b, ""))
    with pytest.raises(NotThere):
        does(store, lambda work: work.links.take_back(99))


def test_a_link_does_not_make_a_case_another_version(store):
    old, new = book(store), book(store)
    link(store, "split", new, old)
    assert [store.read.case(end.case_id).version for end in (old, new)] == [1, 1]


def test_a_replaced_ticket_is_noted_once_a_copy_and_day(store):
    booked = book(store)
    number = booked.jobs[0].number
    scan = lambda copy, at: does(store, lambda work: work.links.replaced_scanned(number, copy), at=at)  # noqa: E731
    assert [scan(1, NOW), scan(1, LATER), scan(2, LATER), scan(1, NOW + timedelta(days=1))] == [True, False, True, True]
    events = [event for event in store.read.history(booked.case_id) if event.kind == "ticket-replaced-scanned"]
    assert [(event.details["copy"], event.job) for event in events] == [(1, number), (2, number), (1, number)]
    noted = store.read.replaced_scan_is_noted
    assert noted(booked.case_id, number, 1, NOW.date())
    assert not noted(booked.case_id, number, 3, NOW.date())
    assert not noted(booked.case_id, number, 2, NOW.date() + timedelta(days=1))
    with pytest.raises(NotThere):
        does(store, lambda work: work.links.replaced_scanned("26999999", 1))


def test_what_goes_back_is_told_with_its_reason(store):
    booked = book(store)
    assert store.read.returned_of(booked.case_id) is None
    does(store, lambda work: work.links.returned(booked.case_id, ["upper impression"], "distorted"), at=LATER)
    assert store.read.returned_of(booked.case_id) == (LATER.date(), "distorted")
    event = store.read.history(booked.case_id)[-1]
    assert (event.details, event.personal) == ({"items": ["upper impression"]}, {"reason": "distorted"})


def test_a_question_that_was_asked_follows_its_appliance_with_its_letters_and_answers(store):
    old = book(store, findings=THICKNESS)
    asked, promised, fresh = store.read.queries_of(old.case_id)
    write_letter(store, asked, promised)
    answer(store, promised.query_id, PROMISED)
    new = book(store, findings=THICKNESS[:2])
    exchanged = does(store, lambda work: work.links.exchange_questions(old.case_id, new.case_id, {1: 0, 2: 1}))
    assert [each.moved_id for each in exchanged] == [promised.query_id]
    assert open_places(store, new) == [("thickness", 0, 1), ("thickness", 1, 0)]
    moved = next(query for query in store.read.queries_of(new.case_id) if query.query_id == promised.query_id)
    assert (moved.expected_on, moved.expected) == (PROMISED.promise.by, PROMISED.says)
    assert moved.job == new.jobs[0].number
    assert [row.case_id for row in store.read.answers_of(new.case_id)] == [new.case_id]
    assert store.read.answers_of(old.case_id) == ()
    assert open_places(store, old) == [("thickness", 0, 1), ("thickness", 2, 0)]
    assert fresh.query_id in {query.query_id for query in store.read.queries_of(old.case_id)}

    does(store, lambda work: work.links.exchange_questions_back(exchanged))
    assert open_places(store, old) == [("thickness", 0, 1), ("thickness", 1, 1), ("thickness", 2, 0)]
    assert open_places(store, new) == [("thickness", 0, 0), ("thickness", 1, 0)]
    assert [row.case_id for row in store.read.answers_of(old.case_id)] == [old.case_id]


def test_questions_about_the_whole_case_follow_only_where_they_are_told_to(store):
    finding = a_finding("prescriber", "stops", None, "Who signed it?")
    old = book(store, findings=[finding])
    write_letter(store, *store.read.queries_of(old.case_id))
    new = book(store, findings=[finding])
    exchange = lambda whole: does(  # noqa: E731
        store, lambda work: work.links.exchange_questions(old.case_id, new.case_id, {}, whole_case=whole)
    )
    assert exchange(False) == ()
    assert len(exchange(True)) == 1
    assert open_places(store, new) == [("prescriber", None, 1)]


def test_the_questions_of_what_stays_say_its_new_place(store):
    booked = book(store, findings=THICKNESS)
    before = [(query.query_id, query.appliance, query.state) for query in store.read.queries_of(booked.case_id)]
    placed = does(store, lambda work: work.links.renumber_questions(booked.case_id, {0: 0, 2: 1}))
    assert open_places(store, booked) == [("thickness", 0, 0), ("thickness", 1, 0)]
    does(store, lambda work: work.links.put_questions_back(placed))
    assert [(q.query_id, q.appliance, q.state) for q in store.read.queries_of(booked.case_id)] == before


def like(store, key, *patients, since=NOW - timedelta(days=28)):
    return [row.case_id for row in store.read.like_cases(key, patients, since)]


def test_like_cases_are_those_of_the_practice_and_those_of_the_same_words(store):
    save_practices(store, a_practice("MILL"), a_practice("QUAY", "Quayside"))
    at_mill = book(store, case=a_case(label="K.W.", reference="1")).case_id
    named = book(store, case=a_case(practice="QUAY", label="Jane Thornley", reference="2")).case_id
    referred = book(store, case=a_case(practice="Elsewhere", label="", reference="QS 881")).case_id
    book(store, case=a_case(practice="QUAY", label="Janet Thornley", reference="3"))
    assert like(store, "MILL") == [at_mill]
    assert like(store, "MILL", "jane thornley", "qs-881") == [at_mill, referred, named]
    assert like(store, "", "Jane Thornley") == [named]
    assert like(store, "~Elsewhere") == [referred]
    assert like(store, "", "") == []


def test_what_was_booked_before_is_not_looked_at_and_what_is_withdrawn_is(store):
    save_practices(store)
    book(store, at=NOW - timedelta(days=30))
    booked = book(store)
    does(store, lambda work: work.cases.withdraw(booked.case_id, booked.version, "distorted"))
    (row,) = store.read.like_cases("MILL", (), NOW - timedelta(days=28))
    assert (row.case_id, row.state, row.key, row.practice_name) == (
        booked.case_id,
        "withdrawn",
        "MILL",
        "Mill Lane Dental",
    )
    assert row.case.patient == Patient(label="J.T.", reference="20418")
