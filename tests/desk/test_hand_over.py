"""Boxes go to the benches and come back: each scan is answered, each answer is one move, and each can be taken back."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from intake.desk.answering import take_answer
from intake.desk.book_in import amend, book
from intake.desk.boxes import put_in_box
from intake.desk.call_card import call_card
from intake.desk.hand_over import NotTakenBack, bring_back, hand_over, send_on, take_back, take_in
from intake.desk.history import told
from intake.desk.hygiene import disinfect
from intake.desk.issue import issue_all
from intake.desk.letters import write_due
from intake.desk.look_up import card
from intake.desk.raising import AnsweredMeanwhile, NothingAsked, raise_question, take_question_back
from intake.desk.reprint import reprint
from intake.desk.trace import NothingToTrace, trace_of
from intake.desk.withdraw import withdraw
from intake.domain.handing_over import BACK_WORDS
from intake.domain.job_number import JobNumber, read_number
from intake.domain.scan_codes import ScanCode
from tests.desk.desks import NOW, day_case
from tests.desk.waiting import PRESCRIBER, said

ASKED = "Is the clasp on UR4 wanted?"


def clear(desk, name="36", mark=""):
    """A case of the day that is clear, booked in; its first job."""
    made = book(desk, day_case(name), f"form-{name}{mark}")
    assert made.jobs[0].state == "clear"
    return made.jobs[0]


def ticket(job, copy=1):
    return ScanCode("ticket", job.number, copy)


def later(desk, **passed):
    """The same desk when some time has passed."""
    at = desk.now() + timedelta(**passed)
    return replace(desk, now=lambda: at)


def other(desk):
    return replace(desk, person="CD", name="desk 2")


def now(desk, job):
    return desk.store.read.job(job.number)


def events(desk, job):
    return [each.what for each in told(desk.store.read.history(now(desk, job).case_id), several=False)]


def whole_route(desk, job):
    """The job's box through all its benches; the desk a minute after each step."""
    for stop in now(desk, job).deadlines.route:
        for step in (hand_over, send_on):
            desk = later(desk, minutes=1)
            assert step(desk, stop.bench, ticket(job)).yes
    return desk


def test_a_clear_box_is_handed_over(desk):
    job = clear(desk)
    handed = hand_over(desk, "Casting", ticket(job))
    assert (handed.yes, handed.said, handed.shown) == (True, "To Casting.", job.shown)
    assert (handed.category, handed.colour) == ("Splints", "Blue")
    found = now(desk, job)
    assert (found.state, found.bench, found.moved) == ("gone", "Casting", NOW)
    assert events(desk, job)[-1] == f"Job {job.shown} handed over to Casting."


def test_the_same_ticket_twice_within_seconds_is_one_move(desk):
    job = clear(desk)
    first = hand_over(desk, "Casting", ticket(job))
    second = hand_over(later(desk, seconds=3), "Casting", ticket(job))
    assert (second.yes, second.again, second.move_id) == (True, True, None)
    assert not first.again
    assert len(desk.store.read.moves_of(now(desk, job).job_id)) == 1
    third = hand_over(later(desk, minutes=5), "Casting", ticket(job))
    assert (third.yes, third.why) == (False, "already")


def test_two_desks_that_scan_the_same_box_at_once_make_one_move(desk, monkeypatch):
    job, second_desk = clear(desk), other(desk)
    from intake.desk import hand_over as module

    facts_of, scanned = module.box_facts, []

    def facts_and_another_desk(at, row, copy):
        facts = facts_of(at, row, copy)
        if not scanned:
            scanned.append(job.number)
            assert hand_over(second_desk, "Casting", ticket(job)).yes
        return facts

    monkeypatch.setattr(module, "box_facts", facts_and_another_desk)
    handed = hand_over(desk, "Casting", ticket(job))
    assert (handed.yes, handed.again) == (True, True)
    assert [move.who for move in desk.store.read.moves_of(now(desk, job).job_id)] == ["CD"]


def test_a_held_job_stops_with_what_is_open(desk):
    job = book(desk, day_case("40"), "form").jobs[0]  # a soft splint without its thickness
    handed = hand_over(desk, "Casting", ticket(job))
    assert (handed.yes, handed.why, handed.key) == (False, "held", "go-waiting")
    assert "How thick" in handed.said
    assert now(desk, job).state == "held"


def test_a_withdrawn_job_stops(desk):
    made = book(desk, day_case("36"), "form")
    withdraw(desk, made.case_id, made.version, "cancelled")
    assert hand_over(desk, "Casting", ticket(made.jobs[0])).why == "withdrawn"


def test_a_replaced_copy_stops_and_the_new_one_goes(desk):
    job = clear(desk)
    issue_all(desk, [job.document_id])
    reprint(other(later(desk, minutes=5)), read_number(job.number), "lost in the post room")
    stopped = hand_over(desk, "Casting", ticket(job, 1))
    assert stopped.why == "replaced"
    assert "Copy 2 counts, since Wed 25 Nov 2026, 10:35, by CD: lost in the post room." in stopped.said
    assert hand_over(desk, "Casting", ticket(job, 2)).yes


def test_a_copy_that_was_never_made_stops(desk):
    assert hand_over(desk, "Casting", ticket(clear(desk), 9)).why == "never-made"


def test_a_number_of_another_laboratory_stops(desk):
    stranger = JobNumber.make(2026, 999_999)
    handed = hand_over(desk, "Casting", ScanCode("ticket", stranger.digits, 1))
    assert (handed.yes, handed.why) == (False, "unknown")
    assert stranger.shown in handed.said


def test_a_box_whose_contents_are_not_disinfected_stops_until_they_are(desk):
    in_the_hand = tuple(
        each.model_copy(update={"item": "model" if each.item == "scan" else each.item, "source": None})
        for each in day_case("36").items
    )
    case = day_case("36").model_copy(update={"items": in_the_hand, "hygiene": "not-disinfected"})
    job = book(desk, case, "form").jobs[0]
    stopped = hand_over(desk, "Casting", ticket(job))
    assert (stopped.yes, stopped.why, stopped.key) == (False, "to-disinfect", "go-parcels")
    disinfect(desk, "Sodium hypochlorite 0.5 %", 10, case_id=now(desk, job).case_id)
    assert hand_over(desk, "Casting", ticket(job)).yes


def test_a_box_of_another_day_stops_where_the_lab_wants_it_so(desk):
    job = clear(desk)
    (casting, *_) = now(desk, job).deadlines.route
    rules = desk.lab.hand_over.model_copy(update={"ahead_days": 0})
    strict = replace(desk, lab=desk.lab.model_copy(update={"hand_over": rules}))
    stopped = hand_over(strict, "Casting", ticket(job))
    assert (stopped.why, stopped.yes) == ("too-early", False)
    day = datetime.combine(casting.by, NOW.time())
    assert hand_over(replace(strict, now=lambda: day), "Casting", ticket(job)).yes


def test_a_box_goes_through_its_route_and_is_finished(desk):
    job = clear(desk)
    desk = whole_route(desk, job)
    found = now(desk, job)
    assert (found.state, found.bench, found.finished) == ("gone", None, desk.now())
    assert trace_of(desk, job.number).standing == "finished"
    assert events(desk, job)[-1] == f"Job {job.shown}: Checking is done with it."


def test_a_bench_takes_in_what_was_handed_over_to_it(desk):
    job = clear(desk)
    hand_over(desk, "Casting", ticket(job))
    taken = take_in(other(later(desk, minutes=20)), "Casting", ticket(job))
    assert (taken.yes, taken.said) == (True, "Taken in at Casting.")
    trace = trace_of(desk, job.number)
    assert (trace.last.kind, trace.last.who) == ("in", "CD")


def test_a_wrong_bench_stops_with_the_right_one(desk):
    stopped = hand_over(desk, "Wire", ticket(clear(desk)))
    assert (stopped.why, stopped.key) == ("wrong-bench", "choose-bench")
    assert stopped.way_on == "It goes to Casting first: choose Casting, then scan it again."


def test_a_job_whose_prescription_was_changed_on_its_way_stops_at_the_next_bench(desk):
    made = book(desk, day_case("36"), "form")
    job = made.jobs[0]
    issue_all(desk, made.tickets)
    hand_over(desk, "Casting", ticket(job))
    amend(desk, made.case_id, made.version, day_case("36").model_copy(update={"notes": "no clasps"}))
    assert now(desk, job).state == "gone"
    stopped = hand_over(later(desk, hours=1), "Splints", ticket(job))
    assert stopped.why == "replaced"
    assert "prescription changed" in stopped.said
    assert hand_over(later(desk, hours=1), "Splints", ticket(job, 2)).yes


@pytest.mark.parametrize("back_for", ["wrong-bench", "damaged", "other"])
def test_a_box_that_comes_back_is_clear_again_and_says_why(desk, back_for):
    job = clear(desk)
    hand_over(desk, "Casting", ticket(job))
    back = bring_back(later(desk, hours=1), ticket(job), back_for, "the label had come off")
    assert back.yes
    assert back.said == f"Back from Casting: {BACK_WORDS[back_for]}. It is clear and waits at reception."
    found = now(desk, job)
    assert (found.state, found.bench) == ("clear", None)
    assert events(desk, job)[-1] == (
        f"Job {job.shown} brought back to reception from Casting: {BACK_WORDS[back_for]}: the label had come off."
    )
    assert hand_over(later(desk, hours=2), "Casting", ticket(job)).yes


def test_a_box_that_comes_back_with_a_question_holds_the_job_and_is_asked(desk):
    made = book(desk, day_case("36"), "form")
    job = made.jobs[0]
    issue_all(desk, made.tickets)
    hand_over(desk, "Casting", ticket(job))
    hand_over(later(desk, hours=1), "Splints", ticket(job))
    at = later(desk, hours=2)
    back = bring_back(at, ticket(job), "question", f" {ASKED} ")
    assert (back.yes, back.said) == (True, "Back from Splints: held until the practice has answered.")
    found = now(at, job)
    assert (found.state, found.bench) == ("held", None)
    (query,) = [q for q in at.store.read.queries_of(found.case_id) if q.state == "open"]
    assert (query.requirement, query.level, query.question) == ("raised", "stops", ASKED)
    (ticket_2,) = issue_all(at, back.tickets)
    assert (ticket_2.document.copy, ticket_2.document.reason) == (2, "question raised")
    stopped = hand_over(later(at, hours=1), "Splints", ticket(job, 2))
    assert (stopped.why, ASKED in stopped.said) == ("held", True)
    told_now = "\n".join(events(at, job))
    assert f"Job {job.shown} brought back to reception from Splints: {ASKED}" in told_now
    assert f"Question to the practice raised at Splints: “{ASKED}”" in told_now
    assert f"Job {job.shown} is held, was clear. To ask: the laboratory’s question." in told_now


def test_a_question_of_a_bench_is_rung_for_answered_and_the_box_goes_on(desk):
    made = book(desk, day_case("36"), "form")
    job, key = made.jobs[0], desk.store.read.case(made.case_id).practice_code
    issue_all(desk, made.tickets)
    hand_over(desk, "Casting", ticket(job))
    issue_all(desk, bring_back(later(desk, minutes=1), ticket(job), "question", ASKED).tickets)
    assert any(each.finding.question == ASKED for case in call_card(desk, key).cases for each in case.questions)
    answered = take_answer(desk, *said(desk, key, "raised", "no, leave it out"), PRESCRIBER)
    assert answered.closed
    assert desk.store.read.case(made.case_id).case.raised[0].answer == "no, leave it out"
    assert now(desk, job).state == "clear"
    tickets = issue_all(desk, answered.tickets)
    copy = tickets[-1].document.copy
    assert hand_over(later(desk, hours=1), "Casting", ticket(job, copy)).yes


def test_a_raised_question_is_written_in_the_practices_letter(desk):
    made = book(desk, day_case("36"), "form")
    raise_question(desk, made.case_id, made.version, ASKED)
    (letter,) = write_due(desk)
    assert letter.problem is None
    (query,) = desk.store.read.queries_of(made.case_id)
    assert query.letter_id == letter.document.document_id


def test_judging_a_case_anew_keeps_its_raised_question(desk):
    made = book(desk, day_case("36"), "form")
    raised = raise_question(desk, made.case_id, made.version, ASKED)
    kept = desk.store.read.case(made.case_id).case
    amend(desk, made.case_id, raised.version, kept.model_copy(update={"notes": "please be quick"}))
    assert now(desk, made.jobs[0]).state == "held"
    assert [q.question for q in desk.store.read.queries_of(made.case_id) if q.state == "open"] == [ASKED]


def test_a_question_raised_while_the_box_is_at_a_bench_leaves_it_there(desk):
    made = book(desk, day_case("36"), "form")
    job = made.jobs[0]
    issue_all(desk, made.tickets)
    hand_over(desk, "Casting", ticket(job))
    raised = raise_question(desk, made.case_id, made.version, ASKED)
    assert (now(desk, job).state, now(desk, job).bench) == ("gone", "Casting")
    issue_all(desk, raised.tickets)
    assert hand_over(later(desk, hours=1), "Splints", ticket(job)).why == "replaced"


def test_a_question_raised_by_mistake_is_taken_back(desk):
    made = book(desk, day_case("36"), "form")
    raised = raise_question(desk, made.case_id, made.version, ASKED)
    take_question_back(desk, raised)
    assert now(desk, made.jobs[0]).state == "clear"
    assert desk.store.read.case(made.case_id).case.raised == ()
    assert any("raised by mistake" in each for each in events(desk, made.jobs[0]))


def test_a_question_without_words_or_about_a_withdrawn_case_is_refused(desk):
    made = book(desk, day_case("36"), "form")
    with pytest.raises(NothingAsked, match="Type the question"):
        raise_question(desk, made.case_id, made.version, "  ")
    version = withdraw(desk, made.case_id, made.version, "cancelled")
    with pytest.raises(NothingAsked, match="withdrawn"):
        raise_question(desk, made.case_id, version, ASKED)
    with pytest.raises(NothingAsked, match="not here"):
        raise_question(desk, 99, 1, ASKED)


def test_a_question_needs_its_words_before_the_box_comes_back(desk):
    job = clear(desk)
    hand_over(desk, "Casting", ticket(job))
    back = bring_back(later(desk, minutes=1), ticket(job), "question")
    assert (back.yes, back.why) == (False, "question-missing")
    assert now(desk, job).bench == "Casting"


def test_what_is_at_reception_does_not_come_back(desk):
    assert bring_back(desk, ticket(clear(desk)), "damaged").why == "at-reception"


def test_a_box_of_a_withdrawn_case_comes_back_and_is_withdrawn(desk):
    made = book(desk, day_case("36"), "form")
    job = made.jobs[0]
    hand_over(desk, "Casting", ticket(job))
    withdraw(desk, made.case_id, made.version, "cancelled")
    assert hand_over(later(desk, hours=1), "Splints", ticket(job)).way_on == "Bring it back to reception."
    assert trace_of(desk, job.number).line.endswith("handed over by AB.")
    assert bring_back(later(desk, hours=1), ticket(job), "other").yes
    assert now(desk, job).state == "withdrawn"
    assert trace_of(desk, job.number).line == "Withdrawn, and nothing is being made of it."


def test_a_move_is_taken_back(desk):
    job = clear(desk)
    handed = hand_over(desk, "Casting", ticket(job))
    assert take_back(desk, handed) == ()
    found = now(desk, job)
    assert (found.state, found.bench, found.moved) == ("clear", None, None)
    assert events(desk, job)[-1] == (
        f"Job {job.shown}: the move before was a mistake and was taken back: handed over to Casting."
    )
    assert hand_over(later(desk, minutes=1), "Casting", ticket(job)).yes


def test_moves_are_taken_back_one_after_the_other(desk):
    job = clear(desk)
    moves = [hand_over(desk, "Casting", ticket(job)), send_on(desk, "Casting", ticket(job))]
    with pytest.raises(NotTakenBack, match="moved on since"):
        take_back(desk, moves[0])
    take_back(desk, moves[1])
    assert now(desk, job).bench == "Casting"
    take_back(desk, moves[0])
    assert now(desk, job).state == "clear"


def test_a_return_with_a_question_is_taken_back_with_the_question(desk):
    job = clear(desk)
    hand_over(desk, "Casting", ticket(job))
    back = bring_back(later(desk, minutes=1), ticket(job), "question", ASKED)
    take_back(desk, back)
    found = now(desk, job)
    assert (found.state, found.bench) == ("gone", "Casting")
    assert [q for q in desk.store.read.queries_of(found.case_id) if q.state == "open"] == []


def test_a_return_is_not_taken_back_once_its_question_is_answered(desk):
    job = clear(desk)
    key = now(desk, job).practice_code
    hand_over(desk, "Casting", ticket(job))
    back = bring_back(later(desk, minutes=1), ticket(job), "question", ASKED)
    take_answer(desk, *said(desk, key, "raised", "yes"), PRESCRIBER)
    with pytest.raises(AnsweredMeanwhile):
        take_back(desk, back)
    assert now(desk, job).bench is None


def test_a_finished_job_that_is_taken_back_has_its_box_again(desk):
    job = clear(desk)
    put_in_box(desk, 12, ticket(job))
    route = [stop.bench for stop in now(desk, job).deadlines.route]
    for bench in route:
        hand_over(desk, bench, ticket(job))
    done = send_on(desk, route[-1], ticket(job))
    assert desk.store.read.box(12) is None
    assert f"Job {job.shown}: Checking is done with it. Box 12 is free." in events(desk, job)
    take_back(desk, done)
    assert desk.store.read.box(12).job == job.number


def test_the_trace_says_where_a_job_is_in_one_line(desk):
    job = clear(desk)
    hand_over(desk, "Casting", ticket(job))
    put_in_box(desk, 12, ticket(job))
    trace = trace_of(desk, job.number)
    assert trace.line.startswith("At Casting since Wednesday 25 November, 10:30, handed over by AB; Splints by ")
    assert trace.line.endswith(" It is in box 12.")
    assert (trace.place, trace.box) == ("Casting", 12)
    with pytest.raises(NothingToTrace):
        trace_of(desk, "260000000000")


def test_the_trace_of_a_held_job_says_what_it_waits_for(desk):
    job = book(desk, day_case("40"), "form").jobs[0]
    line = trace_of(desk, job.number).line
    assert line.startswith("At reception since Wednesday 25 November, ")
    assert ", held until the practice answers one question; Casting by " in line


def test_every_move_of_the_day_is_in_the_history_of_its_card(desk):
    job = clear(desk)
    desk = whole_route(desk, job)
    told_here = [each.what for each in card(desk, job.number).history]
    assert sum("handed over" in each or "taken in" in each or "is done with it" in each for each in told_here) == 6
