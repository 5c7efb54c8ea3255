"""Query letters with their life: what each asks and confirms, by which way it leaves, reminders, cancelling."""

from datetime import timedelta

import pytest

from intake.domain.case import NewPractice
from intake.store.meanwhile import NotNow, NotThere
from tests.store.samples import NOW, a_case, a_finding, a_practice, amend, answer, book, does, save_practices

STOPS, ASKS = a_finding("bite-record", "stops"), a_finding("thickness")
NEXT_DAY = NOW + timedelta(days=1)


def write(store, query_ids=(), answer_ids=(), at=NOW, **said):
    return does(store, lambda work: work.documents.add_letter(query_ids, answer_ids, **said), at)


def cancel(store, letter):
    does(store, lambda work: work.documents.cancel_letter(letter))


@pytest.fixture
def asked(store):
    """A practice's case with two queries in a letter that was printed."""
    save_practices(store, a_practice(), a_practice("QUAY", "Quay Street"))
    book(store, findings=[STOPS, ASKS])
    letter = write(store, [1, 2])
    does(store, lambda work: work.documents.keep_pdf(letter, b"%PDF"))
    does(store, lambda work: work.documents.mark_done(letter))
    return store


def newest(store, query_id):
    query = store.read.query(query_id)
    return query.letter_id, query.letters


def test_a_query_knows_its_newest_letter_and_how_many_asked_it(asked):
    (first,) = asked.read.letters_to("MILL")
    second = write(asked, [1], at=NEXT_DAY, reminder=1)
    assert (newest(asked, 1), newest(asked, 2)) == ((second, 2), (first.document_id, 1))
    assert [query.query_id for query in asked.read.queries_in(first.document_id)] == [1, 2]
    assert [query.query_id for query in asked.read.queries_in(second)] == [1]


def test_a_reminder_counts_for_what_was_asked_before_and_not_for_what_is_new(asked):
    book(asked, findings=[ASKS])
    letter = write(asked, [1, 3], at=NEXT_DAY, reminder=2)
    assert asked.read.letter_queries(letter) == ((1, 2), (3, 0))
    assert asked.read.history(1)[-1].details["reminder"] == 2


def test_nothing_is_asked_twice_in_a_letter(asked):
    letter = write(asked, [1, 1, 2, 1], at=NEXT_DAY)
    assert asked.read.letter_queries(letter) == ((1, 0), (2, 0))


def test_an_answered_query_stays_among_what_its_letter_asked(asked):
    answer(asked, 2)
    amend(asked, 1, STOPS, answered=[2])
    (letter,) = asked.read.letters_to("MILL")
    assert [query.state for query in asked.read.queries_in(letter.document_id)] == ["open", "answered"]
    with pytest.raises(NotNow, match="no longer open"):
        write(asked, [1, 2])


def test_a_letter_has_spoken_answers_confirmed_with_or_without_questions(asked):
    kept = answer(asked, 2, spoken=True)
    amend(asked, 1, STOPS, answered=[2])
    letter = write(asked, answer_ids=[kept])
    assert asked.read.queries_in(letter) == ()
    assert [row.answer_id for row in asked.read.answers_in(letter)] == [kept]
    assert asked.read.answers_to(2)[0].letter_id == letter
    assert asked.read.document(letter).practice_code == "MILL"
    both = write(asked, [1], [kept], at=NEXT_DAY)
    assert asked.read.answers_to(2)[0].letter_id == both
    assert asked.read.history(1)[-1].details["answers"] == [kept]


def test_what_is_confirmed_or_taken_back_is_in_no_further_letter(asked):
    confirmed, gone = answer(asked, 1, spoken=True), answer(asked, 2, spoken=True)
    does(asked, lambda work: work.answers.confirm([confirmed], "by letter"))
    does(asked, lambda work: work.answers.take_back(gone))
    for answer_id in (confirmed, gone):
        with pytest.raises(NotNow, match="Gather the letter once more"):
            write(asked, answer_ids=[answer_id])
    with pytest.raises(NotThere):
        write(asked, answer_ids=[99])


def test_a_letter_about_questions_and_answers_is_to_one_practice(asked):
    book(asked, case=a_case(practice="QUAY"), findings=[ASKS])
    kept = answer(asked, 3, spoken=True)
    with pytest.raises(NotNow, match="several practices"):
        write(asked, [1], [kept])


def test_a_cancelled_letter_gives_its_queries_and_answers_the_former_one_back(asked):
    (first,) = asked.read.letters_to("MILL")
    book(asked, findings=[ASKS])
    kept = answer(asked, 2, spoken=True)
    told = write(asked, answer_ids=[kept])
    second = write(asked, [1, 3], [kept], at=NEXT_DAY, reminder=1)
    cancel(asked, second)
    assert (newest(asked, 1), newest(asked, 3)) == ((first.document_id, 1), (None, 0))
    assert asked.read.answers_to(2)[0].letter_id == told
    assert asked.read.document(second).state == "cancelled"
    assert [query.query_id for query in asked.read.queries_in(second)] == [1, 3]
    assert [asked.read.history(case_id)[-1].kind for case_id in (1, 2)] == ["letter-cancelled", "letter-cancelled"]
    with pytest.raises(NotNow, match="cancelled; it cannot become cancelled"):
        cancel(asked, second)


def test_only_a_letter_that_was_not_sent_is_cancelled(asked):
    (printed,) = asked.read.letters_to("MILL")
    with pytest.raises(NotNow, match="is done"):
        cancel(asked, printed.document_id)
    with pytest.raises(NotThere, match="no letter 1"):
        cancel(asked, 1)
    with pytest.raises(NotThere, match="no document 99"):
        cancel(asked, 99)


def test_an_e_mail_that_fails_is_counted_and_stays_among_what_waits(asked):
    letter = write(asked, [1], at=NEXT_DAY, way="mail", address="desk@mill.example.com")
    does(asked, lambda work: work.documents.keep_pdf(letter, b"%PDF"))
    for turn in (1, 2):
        at = NEXT_DAY + timedelta(minutes=15 * turn)
        does(asked, lambda work: work.documents.mark_tried(letter, "The mail server does not answer."), at)
        row = asked.read.document(letter)
        assert (row.state, row.tries, row.tried, row.problem) == (
            "failed",
            turn,
            at,
            "The mail server does not answer.",
        )
    assert letter in {row.document_id for row in asked.read.documents_waiting()}
    does(asked, lambda work: work.documents.mark_sent(letter, "desk@mill.example.com", "250 accepted"))
    row = asked.read.document(letter)
    assert (row.state, row.way, row.address, row.problem) == ("sent", "mail", "desk@mill.example.com", None)


def test_the_case_hears_once_that_its_letter_failed_and_that_it_was_sent(asked):
    letter = write(asked, [1], at=NEXT_DAY, way="mail", address="desk@mill.example.com")
    does(asked, lambda work: work.documents.keep_pdf(letter, b"%PDF"))
    for _ in range(3):
        does(asked, lambda work: work.documents.mark_tried(letter, "No answer."))
    does(asked, lambda work: work.documents.mark_sent(letter, "mail", "1"))
    events = asked.read.history(1)[-3:]
    assert [event.kind for event in events] == ["letter-added", "letter-failed", "letter-sent"]
    assert {event.details["way"] for event in events} == {"mail"}
    assert {event.details["document"] for event in events} == {letter}


def test_letters_are_those_to_a_practice_by_its_key(asked):
    book(asked, case=a_case(practice=NewPractice(name="Harbour Rooms")), findings=[ASKS])
    unlisted = write(asked, [3], at=NEXT_DAY)
    assert [row.document_id for row in asked.read.letters_to("~Harbour Rooms")] == [unlisted]
    assert len(asked.read.letters_to("MILL")) == 1
    assert asked.read.letters_to("MILL", since=NEXT_DAY) == asked.read.letters_to("QUAY") == ()
    assert asked.read.letters_to("~") == ()


def test_the_practices_that_had_a_letter_on_a_day_leave_cancelled_ones_out(asked):
    assert asked.read.letters_on(NOW.date()) == {"MILL"}
    assert asked.read.letters_on(NEXT_DAY.date()) == frozenset()
    letter = write(asked, [1], at=NEXT_DAY)
    assert asked.read.letters_on(NEXT_DAY.date()) == {"MILL"}
    cancel(asked, letter)
    assert asked.read.letters_on(NEXT_DAY.date()) == frozenset()


def test_a_blank_form_goes_to_a_practice_of_the_directory(asked):
    blank = does(asked, lambda work: work.documents.add_blank("QUAY", way="mail", address="desk@quay.example.com"))
    row = asked.read.document(blank)
    assert (row.kind, row.practice_code, row.practice_name, row.way) == ("blank", "QUAY", "Quay Street", "mail")
    assert asked.read.letters_to("QUAY") == ()
    does(asked, lambda work: work.documents.keep_pdf(blank, b"%PDF"))
    does(asked, lambda work: work.documents.mark_done(blank))
    kinds = [event.kind for event in asked.read.history_of_practice("QUAY")]
    assert kinds == ["practice-saved", "blank-added", "blank-drawn", "blank-done"]
    with pytest.raises(NotThere, match="no practice “NOWHERE”"):
        does(asked, lambda work: work.documents.add_blank("NOWHERE", way="print"))
    with pytest.raises(NotThere, match="no letter"):
        cancel(asked, blank)
