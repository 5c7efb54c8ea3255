"""A practice is rung, asked everything at once, and what it says is taken down, by keyboard alone."""

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtGui import QGuiApplication

from intake.desk.amending import bring_in_line
from intake.desk.answering import take_answer
from intake.desk.call_card import call_card
from intake.domain.answer import Answer, Speaker
from intake.outbox.mail_file import DraftFolder

QUILLBURY = "Quillbury Street Surgery"


@pytest.fixture
def splint(booked):
    """A hard splint without bite record, bite opening and thickness: the three questions of a usual call."""
    return booked("02")[0]


@pytest.fixture
def called(splint, person):
    """The call is begun, and somebody speaks for the prescriber."""
    person.press("Enter").type("Ms Osterby").press("F12", "Enter")
    return person


def answers(desk, case_id):
    rows = desk.store.read.answers_of(case_id)
    return [(row.requirement, row.says, row.speaker, row.authority, row.route, row.who) for row in rows]


def tries(desk, key="QUILLB2"):
    return [row.outcome for row in desk.store.read.attempts(key)]


def test_a_usual_call_of_three_questions_takes_at_most_fifteen_keys_beyond_the_words(splint, person, desk):
    """From anywhere in the window to the next practice in the list."""
    person.press("F2", "F11")
    person.pressed = 1
    person.press("Enter").type("Ms Osterby").press("F12", "Enter")
    person.type("post").press("Enter").type("2").press("Enter").type("3").press("Enter", "Enter")
    assert person.pressed <= 15
    assert person.at == "list"
    assert {each[0] for each in answers(desk, splint.case_id)} == {"bite-record", "bite-opening", "thickness"}
    assert {each[2:] for each in answers(desk, splint.case_id)} == {("Ms Osterby", "on-behalf", "telephone", "AB")}


def test_with_the_usual_answers_a_call_takes_a_key_a_question(splint, person, desk):
    person.press("Enter", "Ctrl+1", "Ctrl+1", "Ctrl+1", "Ctrl+1", "Enter")
    assert person.pressed == 6
    assert len(answers(desk, splint.case_id)) == 3


def test_the_card_says_whom_and_what_it_is_about_and_why(called):
    say = called.place.card.to_say
    assert called.practice == QUILLBURY
    assert say.about.text().startswith("D.W. · QS 881, Hard occlusal splint")
    assert called.asked.startswith("Please send a bite record")
    assert say.because.text().startswith("Stops the work. No bite record among the 2 items")
    assert "Without an answer by" in called.card
    assert "never one from a message" in called.place.card.head.caution.text()


def test_every_key_stroke_is_echoed_by_what_was_understood(called):
    called.press("Enter", "Enter")
    assert called.asked.startswith("How thick shall the upper hard occlusal splint be")
    called.type("3")
    assert called.echo.startswith("3 mm")
    called.type(".x")
    assert "Type the measure in mm" in called.echo
    edit = called.place.card.to_say.field.edit
    assert not edit.property("wrong"), "checklist 16: no error before it is to be taken"
    called.press("Enter")
    assert edit.property("wrong") is True
    assert called.place.card.to_say.field.edit.accessibleDescription() == called.echo


def test_what_is_not_understood_is_not_taken_and_stays(called, splint, desk):
    called.press("Enter", "Enter").type("thickish").press("Enter")
    assert called.text == "thickish"
    assert called.at == "answer"
    assert answers(desk, splint.case_id) == []


def test_nobody_named_is_asked_for_first_and_the_answer_waits(splint, person):
    person.press("Enter")
    person.place.card.to_say.setFocus()
    person.type("post").press("Enter")
    assert person.at == "speaker"
    assert person.place.card.speaker.name.echo.text() == "Say first who gives the answers."
    person.type("Dr L").press("Enter")
    assert (person.at, person.text) == ("answer", "post")


def test_a_word_of_the_team_does_not_change_what_is_made(splint, person, desk):
    person.press("Enter").type("Jo").press("Enter", "Enter", "Enter").type("3")
    assert "has to come from the prescriber" in person.echo
    person.press("Enter")
    assert desk.store.read.case(splint.case_id).case.appliances[0].options.thickness_mm is None
    assert answers(desk, splint.case_id)[0][1] == "3 mm"


def test_the_role_is_seen_and_heard_in_words(called):
    button = called.place.card.speaker.role_button
    assert button.text() == "for the prescriber  F12"
    assert button.accessibleName() == "In what role: for the prescriber"
    called.press("F12")
    assert button.text() == "the prescriber  F12"
    called.press("F12")
    assert button.text() == "of the practice’s team  F12"


def test_an_answer_changes_the_case_and_is_to_be_confirmed(called, splint, desk):
    called.press("Enter", "Enter").type("3").press("Enter")
    assert desk.store.read.case(splint.case_id).case.appliances[0].options.thickness_mm == 3
    assert "3 mm, says Ms Osterby, for the prescriber, by telephone" in called.news
    assert "Said by word of mouth, to be confirmed in writing" in called.card


def test_the_last_answer_can_be_taken_back(called, splint, desk):
    called.press("Enter", "Enter").type("3").press("Enter", "F8")
    assert desk.store.read.case(splint.case_id).case.appliances[0].options.thickness_mm is None
    assert called.asked.startswith("How thick")
    assert called.text == "3"
    assert [row.taken_back for row in desk.store.read.answers_of(splint.case_id)] == [True]


def test_a_promise_leaves_the_question_open_with_its_day(called, desk):
    called.type("post").press("Enter")
    assert "promised for Thu 26 Nov" in called.card
    assert "✓ taken down" in called.card
    assert called.asked.startswith("By how many mm")
    assert "1 promised for Thu 26 Nov" in called.place.ring.current.told


def test_the_practice_was_reached_is_noted_once_a_call(called, desk):
    called.type("post").press("Enter").type("2").press("Enter")
    assert tries(desk) == ["spoke"]


def test_an_answer_that_was_given_elsewhere_meanwhile_loses_nothing_that_was_typed(called, splint, desk):
    called.press("Enter", "Enter").type("3")
    query = called.place.calling._at.id.removeprefix("question-")
    said = Answer(kind="value", says="2 mm", written="2", sets=(("appliances[0].options.thickness_mm", "2"),))
    take_answer(desk, int(query), said, Speaker(name="Dr L", authority="prescriber", route="telephone"))
    called.press("Enter")
    assert "answered meanwhile" in called.window.news.trouble_words.text()
    assert called.place.calling.call.texts[f"question-{query}"] == "3"


def test_a_question_that_is_settled_under_the_hands_stays_until_they_leave_it(called, splint, desk):
    called.press("PgDown", "PgDown").type("3")
    row = desk.store.read.case(splint.case_id)
    options = row.case.appliances[0].options.model_copy(update={"thickness_mm": 2.0})
    appliance = row.case.appliances[0].model_copy(update={"options": options})
    with desk.work() as work:
        case = row.case.model_copy(update={"appliances": (appliance,)})
        bring_in_line(desk, work, row.case_id, row.version, case, desk.practice_of(case))
        work.commit()
    called.place.read_again()
    called.wait()
    assert called.text == "3"
    assert "settled by now" in called.echo
    called.press("PgUp")
    assert not called.asked.startswith("How thick")


def test_what_is_typed_survives_another_place_and_another_practice(called, booked):
    called.type("po")
    called.press("F2", "F11")
    assert (called.at, called.text) == ("answer", "po")
    booked("09")
    called.place.read_again()
    called.wait()
    other = next(line.practice for line in called.place.ring.model.all if line.practice != QUILLBURY)
    called.press("Esc").type(other[:6]).press("Enter")
    assert called.practice == other
    assert called.place.card.speaker.name.text == ""
    called.press("Esc", "Esc").type("quill").press("Enter")
    assert called.place.card.speaker.name.text == "Ms Osterby"
    called.press("Enter")
    assert called.text == "po"


def test_letters_typed_before_the_card_is_there_belong_to_its_call(splint, booked, person):
    booked("09")
    person.place.read_again()
    person.wait()
    person.press("Up")
    second = person.place.ring.model.rows[1]
    person.press_at_once("Down")
    person.press_at_once("Enter")
    person.type("Ms Osterby")
    assert person.place.calling.call_of(second.key).name == "Ms Osterby"
    assert person.practice == second.practice


def test_up_and_down_go_through_the_usual_answers_and_back_to_what_was_typed(called):
    called.type("po").press("Down")
    assert called.text == "post"
    assert called.place.card.to_say.field.offers.at == 0
    called.press("Down", "Up", "Up")
    assert called.text == "po"


@pytest.mark.parametrize(
    ("key", "outcome", "says"),
    [
        ("Ctrl+Shift+N", "no-answer", "No answer"),
        ("Ctrl+Shift+G", "engaged", "engaged"),
        ("Ctrl+Shift+M", "message-left", "message left"),
        ("Ctrl+Shift+X", "wrong-number", "Only writing helps"),
    ],
)
def test_a_try_in_vain_is_noted_with_one_key_and_the_list_goes_on(splint, person, desk, key, outcome, says):
    person.press("Enter", key)
    assert tries(desk) == [outcome]
    assert says.casefold() in person.news.casefold()
    assert person.at == "list"
    assert not person.place.ring.current.can_ring


def test_after_a_try_in_vain_the_next_practice_stands_there(splint, booked, person):
    booked("09", "16")
    person.place.read_again()
    person.wait()
    first, second = person.listed[:2]
    person.press("Up", "Up")
    assert person.practice == first
    person.press("Ctrl+Shift+N")
    assert person.listed[0] == second
    assert person.practice == second


def test_ring_back_asks_when_in_the_place_of_the_question(called, desk):
    called.press("Ctrl+Shift+R")
    assert called.asked == "When shall we ring back?"
    called.type("14:30")
    assert called.echo == "Ring back Wed 25 Nov 2026, 14:30."
    called.press("Enter")
    (row,) = desk.store.read.attempts("QUILLB2")
    assert (row.outcome, f"{row.ring_back:%H:%M}") == ("ring-back", "14:30")
    assert called.place.ring.model.line_of("QUILLB2").standing == "ring-back"


def test_esc_leaves_the_time_to_ring_back_for_the_question(called):
    called.type("po").press("Ctrl+Shift+R", "Esc")
    assert (called.at, called.text) == ("answer", "po")


def test_the_call_over_nobody_speaks_any_more(called):
    called.type("post").press("Enter", "Enter", "Enter", "Enter")
    assert called.at == "list"
    called.press("Enter")
    assert called.place.card.speaker.name.text == ""


def test_always_makes_an_answer_standing(called, desk):
    called.press("Enter", "Enter").type("3").press("Ctrl+Shift+S")
    assert called.text == "always 3"
    called.press("Ctrl+Shift+S")
    assert called.text == "3"
    called.press("Ctrl+Shift+S", "Enter")
    standing = desk.store.read.practice("QUILLB2").practice.standing
    assert any(each.requirement == "thickness" and "3 mm" in each.says for each in standing)
    assert "Does it still hold?" in called.card


def test_what_was_said_is_confirmed_by_its_paper(called, desk):
    called.press("Enter", "Enter").type("3").press("Enter")
    spoken = next(line.id for line in called.place.card.script.lines if line.id.startswith("spoken-"))
    called.place.calling.go(spoken)
    called.type("e-m")
    assert called.echo == "Confirmed by e-mail."
    called.press("Enter")
    assert desk.store.read.spoken("QUILLB2") == ()


def test_a_standing_instruction_is_withdrawn_with_the_reason(called, desk):
    called.press("Enter", "Enter").type("always 3").press("Enter")
    standing = next(line.id for line in called.place.card.script.lines if line.id.startswith("standing-"))
    called.place.calling.go(standing)
    called.type("withdrawn")
    assert "Type the reason" in called.echo
    called.type(" new prescriber").press("Enter")
    withdrawn = [each.why_withdrawn for each in desk.store.read.practice("QUILLB2").practice.standing if each.withdrawn]
    assert withdrawn == ["new prescriber"]


def test_all_is_disinfected_needs_somebody_who_says_so(splint, person, desk):
    person.press("Enter", "Ctrl+Shift+H")
    assert person.at == "speaker"
    person.type("Dr L").press("F12", "F12", "Ctrl+Shift+H")
    standing = desk.store.read.practice("QUILLB2").practice.standing
    assert [each.requirement for each in standing if each.requirement == "hygiene-status"] == ["hygiene-status"]


def test_a_letter_is_written_now(called, desk, qtbot):
    with qtbot.waitSignal(called.place.issued) as written:
        called.press("Ctrl+B")
    (issued,) = written.args[0]
    assert issued.document.kind == "letter"
    assert "Letter" in called.card


def test_tickets_that_an_answer_frees_go_to_the_printer(called, desk, qtbot):
    with qtbot.waitSignal(called.place.freed) as freed:
        called.press("Enter", "Enter").type("3").press("Enter")
    said, issued = freed.args
    assert "3 mm" in said
    assert [each.document.kind for each in issued] == ["ticket"]


def test_the_number_is_copied_as_it_is_dialled(called):
    called.press("Ctrl+Shift+C")
    assert QGuiApplication.clipboard().text() == called.place.card.head.telephone.text()
    assert "is copied" in called.news


def test_a_number_is_dialled_by_the_system(called, monkeypatch):
    dialled = []
    monkeypatch.setattr(
        "intake.ui.waiting.acts.QDesktopServices.openUrl", lambda url: dialled.append(url.toString()) or True
    )
    called.press("Ctrl+Shift+T")
    assert dialled == [called.place.ring.current.dial]
    assert called.news.startswith("Dialling")


def test_a_practice_of_which_nothing_is_open_any_more_leaves_the_list_when_its_call_is_over(booked, person, desk):
    case_id = booked("15")[0].case_id
    person.place.read_again()
    person.wait()
    person.press("Enter", "Ctrl+1")
    while person.asked != "Everything is asked.":
        person.press("Ctrl+1")
    if desk.store.read.spoken():
        person.place.calling.go(next(line.id for line in person.place.card.script.lines if "spoken-" in line.id))
        person.type("form").press("Enter")
    assert call_card(desk, desk.store.read.case(case_id).practice_code) is None
    assert "Nothing is open for this practice any more." in person.place.card.to_say.notes.text()
    person.press("Enter")
    assert person.at == "list"
    assert person.listed == []


def test_time_that_passes_brings_a_practice_back(called, clock):
    called.press("Ctrl+Shift+N")
    assert not called.place.ring.current.can_ring
    clock.now += timedelta(days=1)
    called.place._on_time()
    called.wait()
    assert called.place.ring.current.can_ring


def test_no_question_is_skipped_when_an_answer_changes_the_order_of_the_cases(booked, person):
    booked("03", "20")
    person.place.read_again()
    person.wait()
    person.press("Enter").type("Dr L").press("F12", "F12", "Enter")
    seen = []
    while person.asked not in ("Everything is asked.", *seen[-1:]):
        seen.append(person.asked)
        person.press("Ctrl+1")
    assert len(set(seen)) == 3


def test_what_was_passed_is_not_asked_again_by_itself(called):
    called.press("Enter").type("2").press("Enter").type("3").press("Enter")
    assert called.asked == "Gone through; 1 left without an answer."
    called.press("PgUp")
    assert called.place.card.to_say.asking.id.startswith(("question", "spoken", "standing"))


def test_blank_forms_are_sent_with_one_key(called, qtbot):
    with qtbot.waitSignal(called.place.issued) as sent:
        called.press("Ctrl+Shift+F")
    assert [each.document.kind for each in sent.args[0]] == ["blank"]


def test_without_a_mail_server_the_letter_becomes_a_draft_that_the_mail_program_opens(
    splint, open_person, desk, tmp_path, monkeypatch
):
    opened = []
    monkeypatch.setattr(
        "intake.ui.waiting.deeds.QDesktopServices.openUrl", lambda url: opened.append(url.toLocalFile()) or True
    )
    person = open_person(replace(desk, mail_drafts=DraftFolder(tmp_path / "drafts")))
    person.press("Enter", "Ctrl+M")
    (draft,) = (tmp_path / "drafts").glob("*.eml")
    assert [Path(each) for each in opened] == [draft]


def test_the_whole_list_is_worked_by_keyboard_alone(booked, person, desk):
    """A part of the demo's day: every question of whoever can be rung gets an answer."""
    cases = [each.case_id for each in booked("03", "06", "09", "10", "16", "20")]
    asked = [query.query_id for case_id in cases for query in desk.store.read.queries_of(case_id)]
    person.place.read_again()
    person.wait()
    person.press("PgUp", "PgUp")
    while person.place.ring.current is not None and person.place.ring.current.can_ring:
        person.press("Enter").type("Dr L").press("F12", "F12", "Enter")
        while person.at == "answer":
            if person.place.card.to_say.asking.offers:
                person.press("Ctrl+1")
            if person.text or not person.place.card.to_say.asking.offers:
                person.press("Enter")
    left = [desk.store.read.query(each) for each in asked if not desk.store.read.answers_to(each)]
    assert [query.question for query in left if query.state == "open"] == []
    assert len(left) < len(asked) / 2, "few are settled by the answer to another"
    assert person.at == "list"


def test_a_try_noted_with_the_wrong_key_is_taken_back_by_one(splint, person, desk):
    person.press("Enter", "Ctrl+Shift+X")
    assert tries(desk) == ["wrong-number"]
    assert person.place.ring.current.when == ""  # only writing helps
    person.press("F8")
    assert tries(desk) == []
    assert person.place.ring.current.when
    assert "taken back" in person.news
