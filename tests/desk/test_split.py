"""Two prescriptions on one sheet, two patients in one bag: some appliances become a case of their own."""

from dataclasses import replace
from datetime import timedelta

import pytest

from intake.desk.answering import take_answer
from intake.desk.book_in import amend, book
from intake.desk.case_scans import has_scans, scans_of_case
from intake.desk.history import told
from intake.desk.hygiene import disinfect, hygiene_of
from intake.desk.issue import issue_all
from intake.desk.letters import write_due
from intake.desk.linked import AtTheBenches
from intake.desk.look_up import card
from intake.desk.split import join_again, split_off
from intake.desk.withdraw import withdraw
from intake.domain.case import Patient
from intake.domain.job_number import read_number
from intake.domain.splitting import CannotSplit
from intake.store.meanwhile import ChangedMeanwhile, NotNow, NotThere
from tests.desk.desks import NOW, day_case
from tests.desk.scan_mails import came
from tests.desk.standing import handed_over, stands
from tests.desk.waiting import NURSE, RECEPTION, question, said

WHY = "two patients in one bag"
OTHER = Patient(label="K. Whitcombe", reference="QS 999")


@pytest.fixture
def made(desk):
    """A soft splint and a pair of retainers: two boxes, both tickets printed."""
    booked = book(desk, day_case("18"), "form")
    issue_all(desk, booked.tickets)
    return booked


def split(desk, made, chosen=(1,), version=None, patient=None):
    return split_off(desk, made.case_id, version or made.version, chosen, WHY, patient)


def history(desk, case_id):
    return [each.what for each in told(desk.store.read.history(case_id), several=False)]


def bare_case():
    """Two trays of which much is missing, so that each is asked about."""
    first, second = day_case("18").appliances
    blank = first.options.model_copy(update={"thickness_mm": None})
    appliances = [each.model_copy(update={"options": blank}) for each in (first, second)]
    return day_case("18").model_copy(update={"appliances": tuple(appliances), "items": (), "appointment": None})


def test_what_leaves_has_a_number_and_a_ticket_of_its_own(desk, made):
    done = split(desk, made)
    (job,) = done.new.jobs
    assert job.category_name == "Retainers"
    assert job.number not in {each.number for each in made.jobs}
    assert [each.sent for each in issue_all(desk, done.new.tickets)] == [True]
    assert desk.store.read.case(done.new.case_id).case.appliances == day_case("18").appliances[1:]
    assert desk.store.read.case(made.case_id).case.appliances == day_case("18").appliances[:1]


def test_the_box_that_is_left_empty_is_withdrawn_and_its_ticket_says_where_to_go(desk, made):
    done = split(desk, made)
    splint, retainers = (desk.store.read.job(job.number) for job in made.jobs)
    assert (splint.state, retainers.state) == ("clear", "withdrawn")
    assert [read_number(splint.number).shown in card(desk, retainers.number, 1).replaced] == [True]
    assert done.new.jobs[0].shown in card(desk, retainers.number, 1).replaced


def test_one_of_two_in_one_box_leaves_and_the_ticket_of_the_rest_gets_its_next_copy(desk):
    trays = day_case("18").appliances[1]
    apart = tuple(trays.model_copy(update={"arch": arch}) for arch in ("upper", "lower"))
    booked = book(desk, day_case("18").model_copy(update={"appliances": apart}), "form")
    issue_all(desk, booked.tickets)
    done = split(desk, booked)
    (ticket,) = done.rest.tickets
    assert [(row.copy, row.reason) for row in desk.store.read.documents_of(booked.jobs[0].number)] == [
        (1, ""),
        (2, "part of it was split off"),
    ]
    assert desk.store.read.document(ticket).copy == 2
    items = [[item.arch for item in desk.store.read.case(each.case_id).case.items] for each in (done.rest, done.new)]
    assert items == [["upper", None], ["lower", None]]  # each the impression that it alone needs, the sheet with both


def test_the_new_case_has_the_patient_that_is_named(desk, made):
    done = split(desk, made, patient=OTHER)
    assert desk.store.read.case(done.new.case_id).case.patient.label == OTHER.label
    assert desk.store.read.case(made.case_id).case.patient == day_case("18").patient
    assert done.new.jobs[0].number in {row.number for row in desk.store.read.find("QS 999")}


def test_both_histories_and_both_cards_tell_of_it(desk, made):
    done = split(desk, made)
    first, new = read_number(made.jobs[0].number).shown, done.new.jobs[0].shown
    numbers = f"{first} and {read_number(made.jobs[1].number).shown}"
    assert history(desk, made.case_id)[-1] == f"Part of it was split off: it is {new} now: {WHY}."
    assert history(desk, done.new.case_id)[-1] == f"Split off from {numbers}: {WHY}."
    lines = {fact.words: fact.lines for fact in card(desk, done.new.jobs[0].number).facts}
    assert lines["Belongs to"] == (f"Split off from {first}: {WHY}",)
    lines = {fact.words: fact.lines for fact in card(desk, made.jobs[0].number).facts}
    assert lines["Belongs to"] == (f"Split off as {new}: {WHY}",)


@pytest.mark.parametrize("chosen", [(0,), (1,)])
def test_undoing_brings_back_the_case_as_it_was(desk, chosen):
    booked = book(desk, bare_case(), "form")
    issue_all(desk, booked.tickets)
    write_due(desk)
    before = stands(desk, booked.case_id)
    done = split(desk, booked, chosen)
    assert stands(desk, booked.case_id) != before
    again = join_again(desk, done)
    assert stands(desk, booked.case_id) == before
    assert desk.store.read.case(done.new.case_id).state == "withdrawn"
    assert [job.number for job in again.jobs] == [job.number for job in booked.jobs]
    assert "Taken back" in history(desk, booked.case_id)[-1]
    assert desk.store.verify_chain().count


def test_it_can_be_split_again_after_it_was_undone(desk, made):
    version = join_again(desk, split(desk, made)).version
    again = split(desk, made, version=version)
    assert desk.store.read.case(again.new.case_id).state == "open"


def test_a_question_that_was_asked_is_not_asked_anew(desk):
    booked = book(desk, bare_case(), "form")
    write_due(desk)
    asked = {(q.requirement, q.appliance): q.query_id for q in desk.store.read.queries_of(booked.case_id)}
    done = split(desk, booked, (0,))
    left = {(q.requirement, q.appliance): q for q in desk.store.read.queries_of(booked.case_id) if q.state == "open"}
    gone = {(q.requirement, q.appliance): q for q in desk.store.read.queries_of(done.new.case_id) if q.state == "open"}
    thickness = ("thickness", 0)
    assert gone[thickness].query_id == asked[thickness]
    assert gone[thickness].letters == 1
    assert ("thickness", 1) not in left  # of what stays the second became the first, with its question
    for requirement, appliance in left:
        if appliance == 0:
            assert left[requirement, 0].query_id == asked[requirement, 1]
            assert left[requirement, 0].letters == 1


def test_what_was_promised_for_it_is_expected_for_the_new_case(desk):
    booked = book(desk, bare_case(), "form")
    query_id, answer = said(desk, "QUILLB2", "working-arch", "post", booked.case_id)
    take_answer(desk, query_id, answer, RECEPTION)
    version = desk.store.read.case(booked.case_id).version
    promised = desk.store.read.expected("QUILLB2")
    (row,) = promised
    appliance = next(q.appliance for q in desk.store.read.queries_of(booked.case_id) if q.query_id == row.query_id)
    done = split_off(desk, booked.case_id, version, [appliance], WHY)
    assert [row.case_id for row in desk.store.read.expected("QUILLB2")] == [done.new.case_id]
    join_again(desk, done)
    assert [row.case_id for row in desk.store.read.expected("QUILLB2")] == [booked.case_id]


def test_after_a_change_of_the_new_case_it_is_not_undone(desk, made):
    done = split(desk, made)
    case = desk.store.read.case(done.new.case_id).case.model_copy(update={"notes": "ring first"})
    amend(desk, done.new.case_id, done.new.version, case)
    with pytest.raises(ChangedMeanwhile):
        join_again(desk, done)
    assert desk.store.read.case(done.new.case_id).state == "open"
    assert desk.store.read.case(made.case_id).case.appliances == day_case("18").appliances[:1]


def test_after_an_answer_to_the_new_case_it_is_not_undone(desk):
    done = split(desk, book(desk, bare_case(), "form"))
    query_id, answer = said(desk, "QUILLB2", "thickness", "2 mm", done.new.case_id)
    take_answer(desk, query_id, answer, NURSE)
    with pytest.raises(ChangedMeanwhile):
        join_again(desk, done)


@pytest.mark.parametrize("chosen", [(), (0, 1)])
def test_a_part_without_an_appliance_is_refused_and_nothing_is_saved(desk, made, chosen):
    before = stands(desk, made.case_id)
    with pytest.raises(CannotSplit):
        split(desk, made, chosen)
    assert stands(desk, made.case_id) == before


def test_a_reason_is_wanted(desk, made):
    with pytest.raises(CannotSplit, match="Say why"):
        split_off(desk, made.case_id, made.version, [1], " ")


def test_what_another_desk_changed_meanwhile_is_not_split_and_no_new_case_is_left_behind(desk, made):
    amend(desk, made.case_id, made.version, day_case("18").model_copy(update={"notes": "ring first"}))
    count = desk.store.verify_chain().count
    with pytest.raises(ChangedMeanwhile):
        split(desk, made)
    assert desk.store.verify_chain().count == count
    assert desk.store.read.case(made.case_id + 1) is None


def test_a_withdrawn_case_is_not_split_and_one_that_is_not_here_neither(desk, made):
    withdraw(desk, made.case_id, made.version, "cancelled")
    with pytest.raises(NotNow, match="withdrawn"):
        split(desk, made)
    with pytest.raises(NotThere):
        split_off(desk, 99, 1, [0], WHY)


def test_a_box_at_the_benches_stays_whole_and_another_one_of_the_case_may_leave(desk, made):
    handed_over(desk, made.jobs[1].number)
    with pytest.raises(AtTheBenches, match="has been handed over"):
        split(desk, made, (1,))
    version = desk.store.read.case(made.case_id).version
    done = split(desk, made, (0,), version)
    assert done.new.jobs[0].category_name == "Splints"
    assert desk.store.read.job(made.jobs[1].number).state == "gone"
    handed_over(desk, done.new.jobs[0].number)
    with pytest.raises(AtTheBenches):
        join_again(desk, done)


def test_the_ring_list_asks_for_each_case_by_its_own_number(desk):
    done = split(desk, book(desk, bare_case(), "form"))
    for each in (done.rest, done.new):
        case, _ = question(desk, "QUILLB2", "thickness", each.case_id)
        assert case.case_id == each.case_id


def test_what_was_disinfected_before_the_split_is_for_both_and_what_was_done_later_for_one(desk):
    booked = book(desk, day_case("18").model_copy(update={"hygiene": "unknown"}), "form")
    disinfect(desk, "spray", 5, case_id=booked.case_id)
    done = split(desk, booked)
    assert hygiene_of(desk, done.new.case_id).standing == "disinfected-here"

    other = book(desk, day_case("18").model_copy(update={"hygiene": "unknown"}), "other")
    apart = split(desk, other)
    later = replace(desk, now=lambda: NOW + timedelta(minutes=30))
    disinfect(later, "spray", 5, case_id=other.case_id)
    assert hygiene_of(later, other.case_id).standing == "disinfected-here"
    assert hygiene_of(later, apart.new.case_id).standing == "to-disinfect"


def test_the_scans_of_the_case_before_are_those_of_what_was_split_off(desk, tmp_path):
    arrival_id = came(desk, tmp_path, "scans", "Practice: QUILLB2\nPatient: V.R.\n", upper="upper", lower="lower")
    booked = book(desk, day_case("64"), "scan", arrival_id)
    done = split(desk, booked)
    assert has_scans(desk, done.new.case_id)
    assert list(scans_of_case(desk, done.new.case_id)) == [arrival_id]
