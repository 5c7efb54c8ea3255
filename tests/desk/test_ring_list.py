"""The ring list and the call card: whom to ring, what to say, and what became of it."""

import re
from dataclasses import replace
from datetime import timedelta

import pytest

from intake.desk.answering import take_answer
from intake.desk.book_in import book
from intake.desk.call_card import call_card
from intake.desk.letters import write_to
from intake.desk.look_up import card
from intake.desk.ring_list import ring_line, ring_list
from intake.desk.tries import note_try, read_ring_back, take_back_try
from intake.desk.withdraw import withdraw
from intake.domain.case import NewPractice
from intake.domain.written_dates import DateUnclear
from intake.store.meanwhile import NotNow
from tests.desk.desks import NOW, day_case
from tests.desk.waiting import NURSE, RECEPTION, booked, question, said


@pytest.fixture
def thursday(desk):
    """The day after, since Quillbury Street is closed on Wednesdays."""
    return later(desk, days=1)


def later(desk, **time):
    start = desk.now()
    return replace(desk, now=lambda: start + timedelta(**time))


def test_a_practice_stands_once_with_all_its_cases(desk):
    booked(desk, "05")
    booked(desk, "23")
    (line,) = ring_list(desk)
    assert (line.practice, line.cases) == ("Candlewick Square Sleep and Dental Clinic", 2)
    assert line.questions == len(desk.store.read.ring_rows())
    assert line.can_ring
    assert line.when == "now"


def test_the_number_is_shown_as_dialled_from_here_and_can_be_dialled(desk):
    booked(desk, "02")
    (line,) = ring_list(desk)
    assert (line.telephone, line.dial) == ("01632 960134", "tel:+44-1632-960134")


def test_whoever_can_be_rung_now_comes_before_whoever_is_at_lunch(thursday):
    booked(thursday, "02")  # Quillbury Street is at lunch from 12:45
    booked(thursday, "05")  # Candlewick Square has the usual hours, to 13:00
    at_lunch = later(thursday, hours=2, minutes=20)
    assert [(line.key, line.can_ring) for line in ring_list(at_lunch)] == [("CANDLE", True), ("QUILLB2", False)]
    assert ring_list(at_lunch)[1].when == "at 13:45"
    assert ring_list(at_lunch)[1].open == "at lunch until 13:45"


def test_a_case_that_is_answered_or_withdrawn_leaves_the_list(desk):
    made = booked(desk, "40")
    key = ring_list(desk)[0].key
    for asked in [q for case in call_card(desk, key).cases for q in case.questions]:
        take_answer(desk, *said(desk, key, asked.finding.requirement, "not needed"), NURSE)
    assert re.fullmatch(r"\d to confirm", ring_list(desk)[0].told)
    other = booked(desk, "02")
    withdraw(desk, other.case_id, other.version, "cancelled by the practice")
    assert [line.key for line in ring_list(desk)] == [key]
    withdraw(desk, made.case_id, desk.store.read.case(made.case_id).version, "cancelled by the practice")
    assert ring_list(desk) == ()
    assert ring_line(desk, key) is None
    assert call_card(desk, key) is None


def test_the_card_says_everything_in_the_order_to_say_it(desk):
    booked(desk, "02")
    card = call_card(desk, "QUILLB2")
    (case,) = card.cases
    assert case.patient == "D.W. · 30087" or case.patient
    assert case.numbers
    assert case.appointment
    assert case.otherwise.startswith("Without an answer by")
    assert [asked.finding.level for asked in case.questions] == ["stops", "asks", "asks"]
    assert card.caution == "Ring the number on file, 01632 960134, never one from a message."
    assert card.email == "hello@quillbury-street.example.com"


def test_held_cases_come_before_those_that_are_only_asked_about(desk):
    asks = book(desk, day_case("02").model_copy(update={"items": day_case("36").items}), "asks")
    held = booked(desk, "02")
    assert [case.case_id for case in call_card(desk, "QUILLB2").cases] == [held.case_id, asks.case_id]


def test_a_practice_that_is_not_in_the_directory_is_rung_by_the_number_that_came_with_its_case(desk):
    booked(desk, "65")
    (line,) = ring_list(desk)
    assert line.key.startswith("~")
    assert line.telephone
    assert "not in the directory" in call_card(desk, line.key).caution


def test_where_no_number_is_on_file_only_writing_helps(desk):
    bare = NewPractice(name="Harbour Practice", address=("4 Harbour Street", "Ellerquay"))
    booked(desk, "02", practice=bare)
    (line,) = ring_list(desk)
    assert (line.when, line.can_ring, line.write) == ("", False, "no telephone number is on file")


@pytest.mark.parametrize(
    ("outcome", "told"),
    [
        ("no-answer", "no answer. Ring again Thu 26 Nov 2026, 11:30."),
        ("engaged", "engaged. Ring again Thu 26 Nov 2026, 10:40."),
        ("message-left", "message left. Ring again Thu 26 Nov 2026, 14:30."),
        ("wrong-number", "wrong number. Only writing helps until the directory has the right number."),
    ],
)
def test_a_try_in_vain_says_when_to_ring_again(thursday, outcome, told):
    booked(thursday, "02")
    assert note_try(thursday, "QUILLB2", outcome).said.endswith(told)
    (line,) = ring_list(thursday)
    assert not line.can_ring
    assert call_card(thursday, "QUILLB2").tries[0].startswith("Today 10:30")


def test_once_the_directory_has_another_number_the_practice_is_rung_again(thursday):
    booked(thursday, "02")
    note_try(thursday, "QUILLB2", "wrong-number")
    assert ring_list(thursday)[0].write == "the number on file is wrong"
    row = thursday.store.read.practice("QUILLB2")
    with thursday.work() as work:
        work.practices.save(row.practice.model_copy(update={"telephone": "01632 960999"}), row.version)
        work.commit()
    (line,) = ring_list(thursday)
    assert (line.telephone, line.when, line.write) == ("01632 960999", "now", "")


def test_three_tries_in_vain_say_that_it_is_time_to_write(desk):
    booked(desk, "02")
    for hour in range(3):
        note_try(later(desk, hours=hour), "QUILLB2", "no-answer")
    assert ring_list(later(desk, hours=3))[0].write == "3 tries without an answer"


def test_a_promise_is_told_with_its_own_day_not_with_that_of_one_that_failed(desk):
    booked(desk, "17")
    take_answer(desk, *said(desk, "FERNHAL", "working-arch", "scan"), NURSE)
    take_answer(desk, *said(desk, "FERNHAL", "bite-record", "post"), NURSE)
    line = ring_line(later(desk, days=1), "FERNHAL")
    assert line.told == "1 to ask · 1 promised for Thu 26 Nov"


def test_what_is_promised_waits_for_its_day_and_then_comes_back(desk):
    booked(desk, "02")
    for requirement in ("bite-record", "bite-opening", "thickness"):
        text = "post" if requirement == "bite-record" else "not needed"
        take_answer(desk, *said(desk, "QUILLB2", requirement, text), NURSE)
    (line,) = ring_list(desk)
    assert line.standing == "promised"
    assert "1 promised for Thu 26 Nov" in line.told
    (line,) = ring_list(later(desk, days=2))
    assert line.standing == "due"
    assert line.why == "What was promised for Thu 26 Nov is not here."


def test_what_a_letter_asks_is_in_writing_for_its_days(desk):
    booked(desk, "02")
    write_to(desk, "QUILLB2")
    (line,) = ring_list(desk)
    assert line.standing == "in-writing"
    assert call_card(desk, "QUILLB2").letters[0].startswith("Letter 2, Wed 25 Nov, by post, sent: 3 questions")
    assert question(desk, "QUILLB2", "thickness")[1].standing == "asked in letter 2"


def test_every_held_job_has_an_open_question_or_a_stated_expectation(desk):
    for name in ("02", "05", "07", "09", "29", "40", "61"):
        booked(desk, name)
    take_answer(desk, *said(desk, "QUILLB2", "bite-record", "post"), RECEPTION)
    rows = desk.store.read.open_queries()
    for case_id in {row.case_id for row in rows}:
        for job in desk.store.read.jobs_of(case_id):
            if job.state == "held":
                stops = [row for row in rows if row.case_id == case_id and row.level == "stops"]
                assert any(row.appliance is None or row.appliance in job.appliances for row in stops)


@pytest.mark.parametrize(
    ("text", "when"),
    [("14:30", "14:30"), ("30 min", "11:00"), ("9.15", "09:15"), ("in 5 minutes", "10:35"), ("tomorrow 9.30", "09:30")],
)
def test_when_to_ring_back_is_read_as_it_is_said(text, when):
    moment = read_ring_back(text, NOW)
    assert f"{moment:%H:%M}" == when
    assert moment > NOW


@pytest.mark.parametrize("text", ["", "later", "25:00", "tomorrow", "900 min"])
def test_no_time_to_ring_back_is_guessed(text):
    with pytest.raises(DateUnclear):
        read_ring_back(text, NOW)


def test_a_try_noted_by_a_slip_of_the_hand_is_taken_back_and_stays_in_the_story(thursday):
    made = booked(thursday, "02")
    noted = note_try(thursday, "QUILLB2", "wrong-number")
    assert ring_list(thursday)[0].when == ""
    take_back_try(thursday, noted)
    assert ring_list(thursday)[0].when == "now"
    assert call_card(thursday, "QUILLB2").tries == ()
    story = [each.what for each in card(thursday, made.jobs[0].number).history]
    assert story[-1] == "The call before was noted by mistake: the number was wrong."
    with pytest.raises(NotNow, match="taken back already"):
        take_back_try(thursday, noted)
