"""What practices answer: kept with its source, never changed, never lost."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from intake.domain.answer import Promise, Speaker
from intake.store.meanwhile import NotNow, NotThere
from intake.store.opening import Store
from intake.store.rows import NewReply
from tests.store.samples import NOW, OSTERBY, a_case, a_finding, amend, an_answer, answer, book, does, save_practices

LATER = NOW + timedelta(minutes=20)
STOPS, ASKS = a_finding("bite-record", "stops"), a_finding("thickness")
TEAM = Speaker(name="Reception", authority="team", route="telephone")


def take_back(store, answer_id):
    does(store, lambda work: work.answers.take_back(answer_id), LATER)


def confirm(store, *answer_ids, how="by letter"):
    does(store, lambda work: work.answers.confirm(answer_ids, how), LATER)


def promise(day):
    says = f"in the post, here by {day}"
    return an_answer("promise", says, "post", promise=Promise(by=date(2026, 11, day), way="post"))


def expected(store, query_id=1):
    query = store.read.query(query_id)
    return query.expected_on and query.expected_on.day, query.expected


def test_an_answer_keeps_who_said_it_in_what_role_by_which_way_and_who_took_it_down(store):
    save_practices(store)
    book(store, findings=[ASKS])
    kept = answer(store, 1, spoken=True, at=LATER)
    (row,) = store.read.answers_of(1)
    assert store.read.answers_to(1) == (row,)
    assert (row.answer_id, row.query_id, row.case_id, row.key) == (kept, 1, 1, "MILL")
    assert (row.speaker, row.authority, row.route) == ("Ms Osterby", "on-behalf", "telephone")
    assert (row.at, row.who, row.kind, row.answer) == (LATER, "CD", "value", an_answer())
    assert (row.requirement, row.appliance, row.says, row.written) == ("thickness", 0, "2 mm", "2")
    assert (row.counts, row.spoken, row.confirmed, row.letter_id, row.taken_back) == (True, True, None, None, False)


def test_the_history_of_the_case_tells_of_the_answer_and_hides_what_may_name_a_patient(store):
    book(store, findings=[ASKS])
    answer(store, 1, an_answer("note", "J. Thomas rang himself", "- J. Thomas rang himself"), TEAM, counts=False)
    event = store.read.history(1)[-1]
    assert (event.kind, event.who) == ("query-answered", "CD")
    assert event.details["query"] == "thickness[0]"
    assert (event.details["by"], event.details["authority"], event.details["counts"]) == ("Reception", "team", False)
    assert event.personal == {"says": "J. Thomas rang himself", "written": "- J. Thomas rang himself"}
    assert "Thomas" not in str(event.details)


def test_an_answer_leaves_its_query_open_until_the_case_is_amended_by_it(store):
    book(store, findings=[STOPS, ASKS])
    answer(store, 2)
    assert [query.state for query in store.read.queries_of(1)] == ["open", "open"]
    amended = amend(store, 1, STOPS, answered=[2], case=a_case(shade="A3"))
    assert [query.state for query in store.read.queries_of(1)] == ["open", "answered"]
    assert (amended.answered_queries, amended.withdrawn_queries) == (1, 0)
    assert store.read.history(1)[-1].details["queries"] == {"answered": ["thickness[0]"]}


def test_of_the_queries_that_close_only_the_answered_ones_are_answered(store):
    book(store, findings=[STOPS, ASKS, a_finding("shade")])
    answer(store, 2)
    amended = amend(store, 1, answered=[2])
    assert [query.state for query in store.read.queries_of(1)] == ["withdrawn", "answered", "withdrawn"]
    assert (amended.answered_queries, amended.withdrawn_queries) == (1, 2)


def test_a_query_that_the_answer_did_not_settle_stays_open(store):
    book(store, findings=[ASKS])
    answer(store, 1, an_answer("note", "they will see", "- they will see"))
    assert amend(store, 1, ASKS, answered=[1]).answered_queries == 0
    assert store.read.query(1).state == "open"


def test_what_is_closed_or_withdrawn_takes_no_answer(store):
    book(store, findings=[ASKS])
    booked = book(store, findings=[ASKS])
    amend(store, 1)
    does(store, lambda work: work.cases.withdraw(booked.case_id, booked.version, "booked twice"))
    with pytest.raises(NotNow, match="withdrawn meanwhile"):
        answer(store, 1)
    with pytest.raises(NotNow, match="case of this question is withdrawn"):
        answer(store, 2)
    with pytest.raises(NotThere, match="no question 99"):
        answer(store, 99)


def test_a_promise_is_what_is_expected_until_the_answer_comes(store):
    save_practices(store)
    book(store, findings=[STOPS])
    answer(store, 1, promise(27))
    assert expected(store) == (27, "in the post, here by 27")
    (row,) = store.read.expected()
    assert (row.query_id, row.key, row.requirement, row.patient_label, row.patient_reference) == (
        1,
        "MILL",
        "bite-record",
        "J.T.",
        "20418",
    )
    assert (row.expected_on, row.promise.way) == (date(2026, 11, 27), "post")
    answer(store, 1, an_answer("as-it-is", "as written", "yes"))
    assert expected(store) == (None, "")
    assert store.read.expected() == ()


@pytest.mark.parametrize("kind", ["note", "ring-back"])
def test_a_note_or_a_ring_back_leaves_the_promise(store, kind):
    book(store, findings=[STOPS])
    answer(store, 1, promise(27))
    answer(store, 1, an_answer(kind, "later", "later"))
    assert expected(store) == (27, "in the post, here by 27")


def test_an_answer_that_does_not_count_leaves_the_promise(store):
    book(store, findings=[STOPS])
    answer(store, 1, promise(27))
    answer(store, 1, an_answer(), TEAM, counts=False)
    assert expected(store)[0] == 27


def test_a_promise_that_is_taken_back_leaves_the_one_before_it(store):
    book(store, findings=[STOPS])
    answer(store, 1, promise(26))
    second = answer(store, 1, promise(27))
    third = answer(store, 1)
    assert expected(store) == (None, "")
    take_back(store, third)
    assert expected(store)[0] == 27
    take_back(store, second)
    assert expected(store)[0] == 26


def test_an_answer_that_is_taken_back_is_marked_and_its_query_asks_again_with_its_letter(store):
    book(store, findings=[ASKS])
    letter = does(store, lambda work: work.documents.add_letter([1]))
    kept = answer(store, 1)
    amend(store, 1, answered=[1], case=a_case(shade="A3"))
    take_back(store, kept)
    amended = amend(store, 1, ASKS, case=a_case())
    (query,) = store.read.queries_of(1)
    assert (query.state, query.letter_id, amended.opened_queries) == ("open", letter, 0)
    (row,) = store.read.answers_of(1)
    assert (row.taken_back, row.answer) == (True, an_answer())
    assert [event.kind for event in store.read.history(1)][-2:] == ["answer-taken-back", "case-amended"]
    with pytest.raises(NotNow, match="already"):
        take_back(store, kept)
    with pytest.raises(NotThere, match="no answer 99"):
        take_back(store, 99)


def test_taking_one_of_two_answers_back_leaves_the_query_answered(store):
    book(store, findings=[ASKS])
    first = answer(store, 1)
    answer(store, 1, an_answer(says="3 mm", written="3"))
    amend(store, 1, answered=[1])
    take_back(store, first)
    assert store.read.query(1).state == "answered"


def test_a_spoken_answer_waits_to_be_confirmed_in_writing(store):
    save_practices(store)
    book(store, findings=[STOPS, ASKS])
    written = answer(store, 1, speaker=Speaker(name="Dr R. Ashdown", authority="prescriber", route="e-mail"))
    spoken = answer(store, 2, spoken=True)
    assert [row.answer_id for row in store.read.spoken()] == [spoken]
    assert store.read.spoken("MILL") == store.read.spoken()
    assert store.read.spoken("QUAY") == ()
    confirm(store, spoken, how="on the reply form")
    assert store.read.spoken() == ()
    row = store.read.answers_to(2)[0]
    assert (row.confirmed, row.confirmed_how) == (LATER, "on the reply form")
    event = store.read.history(1)[-1]
    assert (event.kind, event.details["how"]) == ("answer-confirmed", "on the reply form")
    with pytest.raises(NotNow, match="confirmed already"):
        confirm(store, spoken)
    with pytest.raises(NotNow, match="confirmed already"):
        confirm(store, written)
    with pytest.raises(NotThere):
        confirm(store, 99)


@pytest.mark.parametrize("how", ["note", "taken back", "withdrawn"])
def test_what_does_not_hold_needs_no_confirmation(store, how):
    booked = book(store, findings=[ASKS])
    kept = answer(store, 1, spoken=True, counts=how != "note")
    if how == "taken back":
        take_back(store, kept)
    if how == "withdrawn":
        does(store, lambda work: work.cases.withdraw(booked.case_id, booked.version, "booked twice"))
    assert store.read.spoken() == ()


@pytest.fixture
def sqlite_store(sqlite_place):
    opened = Store.open(sqlite_place)
    yield opened
    opened.close()


ACTS = st.lists(
    st.tuples(
        st.sampled_from(["value", "usual", "as-it-is", "promise", "ring-back", "note", "take-back", "confirm"]),
        st.integers(0, 9),
    ),
    max_size=12,
)


@given(ACTS)
@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_whatever_is_done_an_answer_never_loses_an_earlier_answer(sqlite_store, acts):
    booked = book(sqlite_store, findings=[ASKS])
    (query,) = sqlite_store.read.queries_of(booked.case_id)
    given_so_far = []
    for act, which in acts:
        before = sqlite_store.read.answers_of(booked.case_id)
        if act in ("take-back", "confirm"):
            standing = [row for row in before if not row.taken_back and row.spoken and row.confirmed is None]
            if standing:
                answer_id = standing[which % len(standing)].answer_id
                (take_back if act == "take-back" else confirm)(sqlite_store, answer_id)
        else:
            said = an_answer(act, f"answer {which}", str(which))
            given_so_far.append(said)
            answer(sqlite_store, query.query_id, said, spoken=act == "value")
        after = sqlite_store.read.answers_of(booked.case_id)
        assert [row.answer for row in after] == given_so_far
        assert [untouched(row) for row in after[: len(before)]] == [untouched(row) for row in before]
        promised = sqlite_store.read.query(query.query_id)
        assert (promised.expected_on is not None) == expects(after)


def untouched(row):
    """An answer without what may be marked on it."""
    return replace(row, confirmed=None, confirmed_how="", taken_back=False, letter_id=None)


def expects(rows):
    """Whether the newest of the answers that stand and say something is a promise."""
    said = [row.kind for row in rows if not row.taken_back and row.kind not in ("note", "ring-back")]
    return said[-1:] == ["promise"]


def test_an_answer_comes_with_the_returned_form_that_it_stood_on(store):
    book(store, findings=[ASKS])
    reply = does(store, lambda work: work.replies.add(NewReply("abc", "form"))).reply_id
    answer(store, 1, speaker=OSTERBY.model_copy(update={"route": "reply-form"}), reply_id=reply)
    assert store.read.answers_to(1)[0].reply_id == reply
