"""The demo's ring-round: what is said in it fits what is asked, and its forms are forms as practices send them."""

from dataclasses import replace

import pytest

from intake.desk.letters import write_to
from intake.desk.replies import reply_card
from intake.invented_lab import DemoClock, book_day_before, open_demo
from intake.outbox.folder_queue import FolderQueue
from intake.ring_round import Call, Form, Says, come_back, ring, ring_round
from intake.setup.places import DataFolder

CALLS, FORMS = ring_round()


@pytest.fixture
def clock():
    return DemoClock()


@pytest.fixture
def desk(tmp_path, clock):
    """The demo's desk with what came the day before."""
    (tmp_path / "data").mkdir()
    desk = open_demo(DataFolder(tmp_path / "data"), FolderQueue(tmp_path / "printed"), clock)
    book_day_before(desk, clock)
    yield desk
    desk.store.close()


def test_calls_and_forms_come_one_after_the_other():
    times = [each.at for each in (*CALLS, *FORMS)]
    assert times == sorted(times)
    assert {call.outcome for call in CALLS} > {"spoke"}
    assert {form.taken for form in FORMS} == {True, False}


def test_whoever_is_reached_has_a_name_and_answers():
    assert all(bool(call.speaker) == bool(call.answers) == (call.outcome == "spoke") for call in CALLS)


def test_an_answer_is_told_with_its_patient_and_frees_a_ticket(desk, clock):
    call = Call(clock.now(), "FERNHAL", "spoke", "Dr S. Nkemelu-Hart", "prescriber", (Says("F-3301", "shade", "a2"),))
    happened = ring(desk, call)
    assert happened.said[0] == "Fernhallow Dental Care: spoke."
    assert "A.O. · F-3301: Shade: A2, says Dr S. Nkemelu-Hart, the prescriber, by telephone." in happened.said[1]
    assert len(happened.tickets) == 1


def test_what_is_not_asked_is_not_answered(desk, clock):
    with pytest.raises(LookupError, match="FERNHAL is not asked about thickness of F-3301"):
        ring(desk, Call(clock.now(), "FERNHAL", "spoke", "Jo", "team", (Says("F-3301", "thickness", "2"),)))


@pytest.mark.parametrize("by_mail", [True, False], ids=["in a mail", "as a file"])
def test_a_form_comes_back_with_its_answers_ticked(desk, clock, tmp_path, by_mail):
    write_to(desk, "MARLOW1")
    says = Says("20401", "thickness", "____ mm", ("1",))
    form = Form(clock.now(), "MARLOW1", "Ms T. Penhallick", "prescriber", (says,), by_mail=by_mail)
    happened = come_back(desk, form, tmp_path / "returned")
    assert happened.said[0].endswith("It waits to be looked at.")
    (waits,) = desk.store.read.replies()
    card = reply_card(desk, waits.reply_id)
    assert [each.read.answer.says for each in card.answers if each.read.answer] == ["1 mm"]
    assert (card.speaker.name, card.speaker.authority) == ("Ms T. Penhallick", "prescriber")


def test_a_form_that_is_taken_answers_its_questions(desk, clock, tmp_path):
    write_to(desk, "MARLOW1")
    says = Says("20401", "thickness", "____ mm", ("1",))
    form = Form(clock.now(), "MARLOW1", "Ms T. Penhallick", "prescriber", (says,))
    happened = come_back(desk, replace(form, taken=True), tmp_path / "returned")
    assert any("Thickness: 1 mm" in said for said in happened.said)
    assert desk.store.read.replies() == ()
