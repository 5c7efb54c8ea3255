"""A job made again: linked, with the reason, and nothing typed twice."""

from datetime import timedelta

import pytest

from intake.desk.book_in import amend, book
from intake.desk.history import told
from intake.desk.issue import issue_all
from intake.desk.linked import AtTheBenches
from intake.desk.look_up import card
from intake.desk.remake import CannotRemake, remake, take_back_remake
from intake.desk.withdraw import withdraw
from intake.domain.job_number import read_number
from intake.store.meanwhile import ChangedMeanwhile, NotNow
from tests.desk.desks import NOW, day_case, open_desk
from tests.desk.standing import handed_over, stands

WHY = "did not fit"


@pytest.fixture
def made(desk):
    """A complete hard splint that was made and left three weeks ago."""
    booked = book(desk, day_case("36"), "form")
    issue_all(desk, booked.tickets)
    handed_over(desk, booked.jobs[0].number)
    return booked


@pytest.fixture
def today(desk, tmp_path):
    """The desk three weeks later."""
    return open_desk(desk.store, tmp_path, now=NOW + timedelta(days=21))


def again(desk, made, models_here=True, token="once", chosen=(0,)):
    return remake(desk, made.case_id, chosen, WHY, models_here, token)


def asked(done):
    return [finding.requirement for finding in done.new.verdict.findings if finding.level != "warns"]


def test_with_the_models_here_only_the_appointment_is_asked_for(today, made):
    done = again(today, made)
    assert asked(done) == ["appointment-date"]
    case = today.store.read.case(done.new.case_id)
    assert case.case.appliances == day_case("36").appliances
    assert case.arrived == NOW + timedelta(days=21)
    assert not any(finding.requirement.startswith("impression") for finding in done.new.verdict.findings)


def test_without_models_what_is_needed_is_asked_for_too(desk, today):
    booked = book(desk, day_case("18"), "in-plaster")
    done = again(today, booked, False, chosen=(0, 1))
    assert {"working-arch", "appointment-date"} <= set(asked(done))
    assert today.store.read.case(done.new.case_id).case.items == ()


def test_a_digital_case_needs_nothing_again_for_its_scans_are_here(today, made):
    assert asked(again(today, made, False)) == ["appointment-date"]


def test_it_has_a_number_and_a_ticket_of_its_own_which_says_what_it_is(today, made):
    done = again(today, made)
    assert done.new.jobs[0].number != made.jobs[0].number
    assert [each.sent for each in issue_all(today, done.new.tickets)] == [True]
    shown = read_number(made.jobs[0].number).shown
    assert today.store.read.case(done.new.case_id).case.notes.startswith(f"Remake of {shown}: {WHY}.")


def test_both_cards_and_histories_tell_of_it(today, made):
    before = stands(today, made.case_id)
    done = again(today, made)
    first, new = read_number(made.jobs[0].number).shown, done.new.jobs[0].shown
    for number, line in (
        (made.jobs[0].number, f"Made again as {new}: {WHY}"),
        (done.new.jobs[0].number, f"Remake of {first}: {WHY}"),
    ):
        assert {fact.words: fact.lines for fact in card(today, number).facts}["Belongs to"] == (line,)
    assert told(today.store.read.history(done.new.case_id))[-1].what == f"Remake of {first}: {WHY}."
    assert told(today.store.read.history(made.case_id))[-1].what == f"Made again as {new}: {WHY}."
    assert {**stands(today, made.case_id), "links": []} == {**before, "links": []}


def test_one_of_two_appliances_is_made_again_alone(desk, today):
    booked = book(desk, day_case("18"), "two")
    done = again(today, booked, chosen=(1,))
    assert [job.category_name for job in done.new.jobs] == ["Retainers"]
    assert read_number(booked.jobs[1].number).shown in today.store.read.case(done.new.case_id).case.notes


def test_the_same_remake_asked_for_twice_is_one_case(today, made):
    first, second = again(today, made), again(today, made)
    assert (second.new.case_id, second.link_id) == (first.new.case_id, first.link_id)
    assert len(today.store.read.links_of(made.case_id)) == 1
    assert again(today, made, token="later").new.case_id != first.new.case_id


def test_undoing_withdraws_it_and_takes_the_link_back(today, made):
    before = stands(today, made.case_id)
    done = again(today, made)
    take_back_remake(today, done)
    assert today.store.read.case(done.new.case_id).state == "withdrawn"
    assert stands(today, made.case_id) == before
    assert told(today.store.read.history(done.new.case_id))[-1].what.startswith("Taken back")


def test_a_remake_that_was_changed_or_handed_over_is_not_taken_back(today, made):
    done = again(today, made)
    case = today.store.read.case(done.new.case_id).case
    amended = amend(
        today, done.new.case_id, done.new.version, case.model_copy(update={"appointment": NOW + timedelta(days=60)})
    )
    with pytest.raises(ChangedMeanwhile):
        take_back_remake(today, done)
    assert amended.jobs[0].state == "clear"
    handed_over(today, amended.jobs[0].number)
    with pytest.raises(AtTheBenches):
        take_back_remake(today, done)


def test_a_remake_of_a_remake_names_the_one_before(today, made):
    once = again(today, made)
    twice = remake(today, once.new.case_id, [0], "broke", True, "twice")
    notes = today.store.read.case(twice.new.case_id).case.notes
    assert notes.startswith(f"Remake of {once.new.jobs[0].shown}: broke.")
    assert notes.count("Remake of") == 1


def test_nothing_or_without_a_reason_or_what_is_withdrawn_is_not_made_again(today, made):
    with pytest.raises(CannotRemake, match="Say why"):
        remake(today, made.case_id, [0], " ", True, "a")
    with pytest.raises(CannotRemake, match="Choose"):
        remake(today, made.case_id, [], WHY, True, "b")
    other = book(today, day_case("18"), "other")
    withdraw(today, other.case_id, other.version, "cancelled")
    with pytest.raises(NotNow, match="withdrawn"):
        again(today, other, token="c")
