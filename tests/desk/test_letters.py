"""Query letters: one a day to a practice, for everything that it has not been asked yet, and what it agreed to."""

from dataclasses import replace
from datetime import timedelta

import pytest

from intake.desk.answering import take_answer
from intake.desk.book_in import amend, book
from intake.desk.letters import NothingToAsk, letters_due, nobody_to_write_to, write_due, write_to, write_to_practice_of
from intake.desk.tries import note_try
from intake.domain.job_number import read_number
from tests.desk.desks import NOW, day_case, printed
from tests.desk.waiting import NURSE, said
from tests.documents.reading import text_of


def booked(desk, name):
    return book(desk, day_case(name), f"form-{name}")


def words(desk, issued):
    return " ".join(" ".join(text_of(desk.store.read.pdf(issued.document.document_id))).split())


def test_each_practice_gets_one_letter_for_all_its_cases(desk, tmp_path):
    for name in ("02", "05", "23"):  # the last two are of one practice
        booked(desk, name)
    assert sorted(issued.document.practice_code for issued in write_due(desk)) == ["CANDLE", "QUILLB2"]
    assert write_due(desk) == ()
    assert len(printed(tmp_path)) == 2


def test_one_practice_can_be_written_to_now(desk):
    case_id = booked(desk, "02").case_id
    booked(desk, "05")
    issued = write_to_practice_of(desk, case_id)
    assert issued.document.practice_code == "QUILLB2"
    assert [due.practice.code for due in letters_due(desk)] == ["CANDLE"]


def test_a_practice_that_is_not_in_the_directory_is_written_to_by_its_own_address(desk):
    case_id = booked(desk, "65").case_id
    issued = write_to_practice_of(desk, case_id)
    assert issued.sent
    assert issued.document.practice_code is None


def test_what_was_asked_already_is_not_asked_twice(desk):
    case_id = booked(desk, "02").case_id
    first = write_to_practice_of(desk, case_id)
    told = f"Letter {first.document.document_id} went to Quillbury Street Surgery today already"
    with pytest.raises(NothingToAsk, match=told):
        write_to_practice_of(desk, case_id)


def test_a_complete_case_leaves_nothing_to_ask(desk):
    with pytest.raises(NothingToAsk, match="There is nothing to ask Candlewick Square"):
        write_to_practice_of(desk, booked(desk, "52").case_id)


@pytest.mark.parametrize(("name", "why"), [("07", "names no practice"), ("66", "“MRLOW1” is not in the directory")])
def test_without_an_address_nobody_can_be_written_to(desk, name, why):
    with pytest.raises(NothingToAsk, match=why):
        write_to_practice_of(desk, booked(desk, name).case_id)


def test_a_letter_says_what_becomes_of_the_appointment_only_where_work_waits(desk):
    assert "we cannot keep the appointment" in words(desk, write_to_practice_of(desk, booked(desk, "02").case_id))
    case = day_case("02").model_copy(update={"items": day_case("36").items})
    only_asks = book(desk, case, "another form")
    assert only_asks.verdict.state == "clear"
    tomorrow = replace(desk, now=lambda: NOW + timedelta(days=1))
    assert "we cannot keep the appointment" not in words(desk, write_to_practice_of(tomorrow, only_asks.case_id))


def test_a_question_that_names_its_appliance_does_not_name_it_twice(desk):
    said = words(desk, write_to_practice_of(desk, booked(desk, "47").case_id))
    assert "Upper sports mouthguard: Which colour" not in said
    assert "Lower repair: Please send the appliance that is to be repaired." in said


def test_a_question_that_was_answered_is_asked_in_no_letter(desk):
    made = booked(desk, "02")
    amend(desk, made.case_id, made.version, day_case("36").model_copy(update={"practice": "QUILLB2"}))
    assert "bite record" not in " ".join(query.question for due in letters_due(desk) for query in due.queries)


def test_what_several_appliances_lack_is_asked_once_for_all_of_them(desk):
    splint, tray = day_case("02").appliances[0], day_case("22").appliances[0].model_copy(update={"arch": "upper"})
    bare = day_case("02").model_copy(update={"appliances": (splint, tray), "items": ()})
    said = words(desk, write_to_practice_of(desk, book(desk, bare, "a form").case_id))
    question = "Please send an impression, model or scan of the upper arch."
    assert said.count(question) == 2  # in the letter and on its slip
    assert f"Upper hard occlusal splint and upper whitening tray: {question}" in said


def test_questions_that_no_letter_can_ask_are_told_with_their_job(desk):
    nameless, unknown = (read_number(booked(desk, name).jobs[0].number).shown for name in ("07", "66"))
    booked(desk, "02")
    write_due(desk)
    assert nobody_to_write_to(desk) == (
        f"{nameless}: The case names no practice, so there is nobody to write to. Enter the practice first.",
        f"{unknown}: “MRLOW1” is not in the directory, so there is no address to write to. "
        "Enter the practice with its address first.",
    )


def on(desk, days, hours=0):
    """The same desk so many days later."""
    return replace(desk, now=lambda: NOW + timedelta(days=days, hours=hours))


def letter_ids(desk, key):
    return [row.document_id for row in desk.store.read.letters_to(key) if row.state != "cancelled"]


def test_nobody_is_written_to_twice_a_day_whatever_comes_in_between(desk):
    booked(desk, "02")
    write_due(desk)
    booked(desk, "09")  # of another practice
    late = book(desk, day_case("20").model_copy(update={"practice": "QUILLB2"}), "another form")
    assert "QUILLB2" not in [issued.document.practice_code for issued in write_due(desk)]
    with pytest.raises(NothingToAsk, match="nobody is written to twice a day"):
        write_to(desk, "QUILLB2")
    (tomorrows,) = [each for each in write_due(on(desk, 1)) if each.document.practice_code == "QUILLB2"]
    asked = desk.store.read.queries_in(tomorrows.document.document_id)
    assert {query.case_id for query in asked} == {late.case_id}


def test_a_letter_of_today_that_has_not_left_is_replaced_by_one_with_everything(desk):
    booked(desk, "02")
    stuck = replace(
        desk, lab=desk.lab.model_copy(update={"letter": desk.lab.letter.model_copy(update={"queue": None})})
    )
    (unsent,) = write_due(stuck)
    assert not unsent.sent
    book(desk, day_case("20").model_copy(update={"practice": "QUILLB2"}), "another form")
    (whole,) = write_to(desk, "QUILLB2")
    assert desk.store.read.document(unsent.document.document_id).state == "cancelled"
    assert len({query.case_id for query in desk.store.read.queries_in(whole.document.document_id)}) == 2


def test_what_a_letter_asked_in_vain_is_asked_again_as_a_reminder_that_counts_up(desk):
    booked(desk, "26")  # no appointment, so nothing presses
    key = "MARLOW1" if letter_ids(desk, "MARLOW1") else write_due(desk)[0].document.practice_code
    assert write_due(on(desk, 2)) == ()  # Friday: the letter has two working days
    (first,) = write_due(on(desk, 5))
    assert "Reminder 1" in words(desk, first)
    (second,) = write_due(on(desk, 12))
    assert "Reminder 2" in words(desk, second)
    assert len(letter_ids(desk, key)) == 3


def test_a_confirmation_goes_out_the_same_day_even_after_todays_letter(desk):
    made = booked(desk, "40")
    key = desk.store.read.case(made.case_id).practice_code
    write_due(desk)
    take_answer(desk, *said(desk, key, "thickness", "3"), NURSE)
    (confirms,) = write_due(desk)
    told = words(desk, confirms)
    assert desk.lab.letter.agreed in told
    assert "3 mm" in told
    assert "Ms Osterby" in told
    assert "How thick" not in told  # what was answered is not asked
    assert write_due(desk) == ()


def test_what_was_agreed_and_what_is_still_asked_go_out_together(desk):
    made = booked(desk, "02")
    key = desk.store.read.case(made.case_id).practice_code
    take_answer(desk, *said(desk, key, "thickness", "3"), NURSE)
    (letter,) = write_due(desk)
    told = words(desk, letter)
    assert "3 mm" in told
    assert "Please send a bite record" in told
    assert len(letter_ids(desk, key)) == 1


def test_what_is_promised_is_not_asked_in_a_letter_until_its_day_is_over(desk):
    booked(desk, "02")
    take_answer(desk, *said(desk, "QUILLB2", "bite-record", "post"), NURSE)
    (letter,) = write_due(desk)
    asked = [query.requirement for query in desk.store.read.queries_in(letter.document.document_id)]
    assert "bite-record" not in asked
    (later,) = write_due(on(desk, 2))
    asked = [query.requirement for query in desk.store.read.queries_in(later.document.document_id)]
    assert "bite-record" in asked


def test_where_the_lab_rings_first_a_letter_is_due_only_when_ringing_did_not_help(desk):
    rings = desk.lab.letter.model_copy(update={"first": "after-ringing"})
    desk = replace(desk, lab=desk.lab.model_copy(update={"letter": rings}))
    booked(desk, "26")
    assert write_due(desk) == ()
    (key,) = {row.key for row in desk.store.read.ring_rows()}
    for hour in range(3):
        note_try(on(desk, 0, hour), key, "no-answer")
    (letter,) = write_due(on(desk, 0, 4))
    assert letter.document.reason == "3 tries without an answer"


def test_a_confirmation_that_never_came_is_asked_for_again_after_the_setups_days(desk):
    made = booked(desk, "40")
    key = desk.store.read.case(made.case_id).practice_code
    take_answer(desk, *said(desk, key, "thickness", "3"), NURSE)
    write_due(desk)
    assert not any(due.spoken for due in letters_due(on(desk, 7)))  # Wednesday after, five working days
    (again,) = [due for due in letters_due(on(desk, 8)) if due.spoken]
    assert again.spoken[0].answer.says == "3 mm"


def test_no_letter_asks_for_an_answer_by_a_time_that_has_passed(desk):
    told = words(desk, write_to_practice_of(desk, booked(desk, "31").case_id))  # an appointment that cannot hold
    assert "can no longer be held" in told
    assert "Please reply by" not in told
