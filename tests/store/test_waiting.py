"""What waits on practices, as the list of whom to ring reads it."""

from datetime import timedelta

import pytest

from intake.domain.case import NewPractice
from intake.store.keys import code_of, key_of
from tests.store.samples import (
    DATES,
    NAMES,
    NOW,
    a_case,
    a_finding,
    a_practice,
    a_token,
    a_verdict,
    amend,
    an_answer,
    answer,
    book,
    does,
    save_practices,
)

STOPS, ASKS = a_finding("bite-record", "stops"), a_finding("thickness")
OF_THE_CASE = a_finding("prescriber", "stops", None)


@pytest.fixture
def day(store):
    """Three practices, one of them not in the directory, and a case that names none."""
    save_practices(store, a_practice(), a_practice("QUAY", "Quay Street"))
    book(store, findings=[STOPS, ASKS])
    book(store, case=a_case(practice="QUAY"), findings=[OF_THE_CASE])
    book(store, case=a_case(practice=NewPractice(name="Harbour Rooms")), findings=[ASKS])
    book(store, case=a_case(practice=None), findings=[STOPS])
    book(store, case=a_case(practice="UNKNOWN"), findings=[STOPS])
    return store


def test_every_open_query_is_rung_for_under_its_practices_key(day):
    rows = day.read.ring_rows()
    assert [(row.query_id, row.case_id, row.key, row.practice_name) for row in rows] == [
        (1, 1, "MILL", "Mill Lane Dental"),
        (2, 1, "MILL", "Mill Lane Dental"),
        (3, 2, "QUAY", "Quay Street"),
        (4, 3, "~Harbour Rooms", "Harbour Rooms"),
        (5, 4, "~", ""),
        (6, 5, "~UNKNOWN", "UNKNOWN"),
    ]
    assert [(row.practice_code, row.requirement) for row in rows[:4]] == [
        ("MILL", "bite-record"),
        ("MILL", "thickness"),
        ("QUAY", "prescriber"),
        (None, rows[3].requirement),
    ]


@pytest.mark.parametrize("key", ["MILL", "QUAY", "~Harbour Rooms", "~", "~UNKNOWN", "UNKNOWN", "~Mill Lane Dental"])
def test_one_practices_rows_are_those_of_the_whole_list(day, key):
    assert day.read.ring_rows(key) == tuple(row for row in day.read.ring_rows() if row.key == key)
    assert [query.query_id for query in day.read.practice_queries(key)] == [
        row.query_id for row in day.read.ring_rows(key)
    ]


def test_a_row_says_by_when_the_answer_is_needed_what_is_expected_and_what_was_written(day):
    plain = day.read.ring_rows("MILL")[0]
    assert (plain.reply_by, plain.expected_on) == (DATES.reply_by, None)
    assert (plain.letter_id, plain.letter_on, plain.letters, plain.opened) == (None, None, 0, NOW)
    later = NOW + timedelta(hours=2)
    letter = does(day, lambda work: work.documents.add_letter([1]), later)
    answer(day, 1, an_answer("promise", "in tonight’s post", "tonight"))
    asked = day.read.ring_rows("MILL")[0]
    assert (asked.letter_id, asked.letter_on, asked.letters) == (letter, later, 1)
    query = day.read.query(1)
    assert (query.letters, query.expected_on, query.expected) == (1, asked.expected_on, "in tonight’s post")
    assert asked.expected_on.day == 27


def test_a_case_without_dates_has_nothing_to_be_answered_by(store):
    with store.work("AB", NOW) as work:
        undated = a_verdict(findings=[STOPS], dates=None)
        work.cases.book(a_case(appointment=None), undated, token=a_token(), names=NAMES)
        work.commit()
    assert store.read.ring_rows()[0].reply_by is None


def test_what_is_answered_or_withdrawn_is_not_rung_for(day):
    answer(day, 2)
    amend(day, 1, STOPS, answered=[2])
    version = day.read.case(2).version
    does(day, lambda work: work.cases.withdraw(2, version, "booked twice"))
    assert [row.query_id for row in day.read.ring_rows()] == [1, 4, 5, 6]
    assert day.read.ring_rows("QUAY") == day.read.practice_queries("QUAY") == ()


def test_practices_are_read_by_their_codes_at_once(day):
    assert [row.practice.code for row in day.read.practices_of(["QUAY", "MILL", "NOWHERE"])] == ["MILL", "QUAY"]
    assert day.read.practices_of([]) == ()


def test_cases_and_their_jobs_are_read_by_their_ids_at_once(day):
    two = book(day, "splints", "retainers", case=a_case("splints", "retainers")).case_id
    cases = day.read.cases({3, two, 99})
    assert list(cases) == [3, two]
    assert cases[3] == day.read.case(3)
    jobs = day.read.jobs_of_cases([two, 3, 99])
    assert jobs == {two: day.read.jobs_of(two), 3: day.read.jobs_of(3), 99: ()}
    assert (day.read.cases([]), day.read.jobs_of_cases([])) == ({}, {})


def test_more_ids_than_fit_into_one_select_are_read_in_parts(day, monkeypatch):
    monkeypatch.setattr("intake.store.selecting.AT_ONCE", 2)
    assert list(day.read.cases(range(9))) == [1, 2, 3, 4, 5]
    assert [len(jobs) for jobs in day.read.jobs_of_cases(range(1, 7)).values()] == [1, 1, 1, 1, 1, 0]


def test_what_a_practice_leaves_out_most_is_counted_by_cases(day):
    two_splints = [a_finding("thickness", appliance=0), a_finding("thickness", appliance=1)]
    book(day, findings=[*two_splints, STOPS])
    book(day, findings=[a_finding("shade")], at=NOW - timedelta(days=100))
    since = NOW - timedelta(days=90)
    assert day.read.forgets("MILL", since) == (("bite-record", 2), ("thickness", 2))
    assert day.read.forgets("MILL", since - timedelta(days=30))[-1] == ("shade", 1)
    assert day.read.forgets("~Harbour Rooms", since) == (("thickness", 1),)


def test_the_practices_that_forget_most_come_first(day):
    book(day, findings=[STOPS])
    since = NOW - timedelta(days=90)
    assert day.read.forgetful(since, 2) == (("MILL", "Mill Lane Dental", 2, 3), ("QUAY", "Quay Street", 1, 1))
    assert [row[0] for row in day.read.forgetful(since, 9)] == ["MILL", "QUAY", "~", "~Harbour Rooms", "~UNKNOWN"]
    assert day.read.forgetful(NOW + timedelta(days=1), 9) == ()


@pytest.mark.parametrize(
    ("code", "name", "key"), [("MILL", "Mill Lane", "MILL"), (None, "Quay", "~Quay"), (None, "", "~")]
)
def test_a_key_is_the_code_or_the_name_as_it_was_written(code, name, key):
    assert key_of(code, name) == key
    assert code_of(key) == code


def test_an_empty_store_waits_for_nobody(store):
    read = store.read
    assert read.ring_rows() == read.attempts() == read.spoken() == read.expected() == read.replies() == ()
    assert read.query(1) is None
    assert read.answers_of(1) == read.answers_to(1) == read.answers_in(1) == read.letter_queries(1) == ()
