"""Query letters: one to a practice, for everything that it has not been asked yet."""

import pytest

from intake.desk.book_in import amend, book
from intake.desk.letters import NothingToAsk, nobody_to_write_to, write_due, write_to_practice_of
from intake.domain.job_number import read_number
from tests.desk.desks import day_case, printed
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
    assert [due.code for due in desk.store.read.letters_due()] == ["CANDLE"]


def test_a_practice_that_is_not_in_the_directory_is_written_to_by_its_own_address(desk):
    case_id = booked(desk, "65").case_id
    issued = write_to_practice_of(desk, case_id)
    assert issued.sent
    assert issued.document.practice_code is None


def test_what_was_asked_already_is_not_asked_twice(desk):
    case_id = booked(desk, "02").case_id
    first = write_to_practice_of(desk, case_id)
    with pytest.raises(NothingToAsk, match=f"asked already, in letter {first.document.document_id}"):
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
    assert "we cannot keep the appointment" not in words(desk, write_to_practice_of(desk, only_asks.case_id))


def test_a_question_that_names_its_appliance_does_not_name_it_twice(desk):
    said = words(desk, write_to_practice_of(desk, booked(desk, "47").case_id))
    assert "Upper sports mouthguard: Which colour" not in said
    assert "Lower repair: Please send the appliance that is to be repaired." in said


def test_a_question_that_was_answered_is_asked_in_no_letter(desk):
    made = booked(desk, "02")
    amend(desk, made.case_id, made.version, day_case("36").model_copy(update={"practice": "QUILLB2"}))
    assert "bite record" not in " ".join(
        query.question for due in desk.store.read.letters_due() for query in due.queries
    )


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
