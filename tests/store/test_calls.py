"""Tries to reach a practice, kept one by one."""

from datetime import timedelta

import pytest

from tests.store.samples import NOW, a_finding, book, does, save_practices

LATER = NOW + timedelta(minutes=20)


def ring(store, key="MILL", outcome="no-answer", at=NOW, **said):
    said = {"name": "Mill Lane Dental", "telephone": "01632 960123"} | said
    return does(store, lambda work: work.calls.attempt(key=key, outcome=outcome, **said), at)


def test_a_call_is_kept_with_what_came_of_it(store):
    kept = ring(store, outcome="ring-back", ring_back=LATER, note="asked for Ms Osterby")
    (row,) = store.read.attempts()
    assert (row.attempt_id, row.key, row.practice_name, row.at, row.who) == (
        kept,
        "MILL",
        "Mill Lane Dental",
        NOW,
        "CD",
    )
    assert (row.outcome, row.telephone, row.note, row.ring_back) == (
        "ring-back",
        "01632 960123",
        "asked for Ms Osterby",
        LATER,
    )


def test_calls_can_be_those_of_one_practice_or_those_since_a_time(store):
    ring(store)
    ring(store, key="~Harbour Rooms", at=LATER)
    ring(store, at=LATER)
    assert [row.key for row in store.read.attempts()] == ["MILL", "~Harbour Rooms", "MILL"]
    assert [row.at for row in store.read.attempts("MILL")] == [NOW, LATER]
    assert [row.key for row in store.read.attempts(since=LATER)] == ["~Harbour Rooms", "MILL"]
    assert [row.key for row in store.read.attempts("~Harbour Rooms", NOW)] == ["~Harbour Rooms"]
    assert store.read.attempts("~") == ()


def test_the_history_of_each_case_tells_of_the_call_and_hides_the_note(store):
    save_practices(store)
    for _ in range(3):
        book(store, findings=[a_finding()])
    ring(store, note="Mr Thomas is in hospital", ring_back=LATER, outcome="ring-back", case_ids=[3, 1, 3])
    assert [event.kind for event in store.read.history(2)] == ["case-booked"]
    for case_id in (1, 3):
        event = store.read.history(case_id)[-1]
        assert (event.kind, event.practice) == ("practice-rung", "MILL")
        assert event.details["outcome"] == "ring-back"
        assert event.details["ring_back"] == LATER.isoformat()
        assert event.personal == {"note": "Mr Thomas is in hospital"}
        assert "Thomas" not in str(event.details)


def test_a_call_about_no_case_is_in_the_practices_history(store):
    save_practices(store)
    ring(store)
    assert [event.kind for event in store.read.history_of_practice("MILL")] == ["practice-saved", "practice-rung"]
    ring(store, key="~Harbour Rooms", name="Harbour Rooms")
    assert store.verify_chain().count == 3


@pytest.mark.parametrize("outcome", ["spoke", "no-answer", "engaged", "message-left", "ring-back", "wrong-number"])
def test_every_outcome_is_kept(store, outcome):
    ring(store, outcome=outcome)
    assert store.read.attempts()[0].outcome == outcome
