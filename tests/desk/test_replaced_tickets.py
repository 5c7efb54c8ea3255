"""A ticket that was lost turns up: it says what replaced it, and that it was scanned stands in the history."""

from dataclasses import replace
from datetime import timedelta

import pytest

from intake.desk.book_in import book
from intake.desk.hand_over import hand_over
from intake.desk.history import told
from intake.desk.issue import issue_all
from intake.desk.look_up import card
from intake.desk.replaced_tickets import note_scan
from intake.desk.reprint import reprint
from intake.desk.split import split_off
from intake.desk.withdraw import send_back, take_up_again, withdraw
from intake.domain.job_number import read_number
from intake.domain.scan_codes import ScanCode
from tests.desk.desks import NOW, day_case


@pytest.fixture
def made(desk):
    booked = book(desk, day_case("18"), "form")
    issue_all(desk, booked.tickets)
    return booked


@pytest.fixture
def number(made, desk):
    """The number of a job whose ticket was lost and printed again by somebody else."""
    digits = made.jobs[0].number
    reprint(replace(desk, person="CD"), read_number(digits), "lost")
    return digits


def scans(desk, case_id):
    return [each.what for each in told(desk.store.read.history(case_id)) if "was scanned" in each.what]


def test_the_replaced_ticket_says_which_copy_replaced_it_when_by_whom_and_why(desk, number):
    assert card(desk, number, 1).replaced == (
        "This is copy 1 of the ticket; it no longer counts. Copy 2 replaced it on Wed 25 Nov 2026, 10:30, by CD: lost."
    )
    assert card(desk, number, 2).replaced == ""
    assert card(desk, number).replaced == ""


def test_that_it_was_scanned_and_by_whom_stands_in_the_history_once_a_copy_and_day(desk, made, number):
    assert note_scan(desk, number, 1)
    assert not note_scan(desk, number, 1)
    assert not note_scan(replace(desk, person="EF"), number, 1)
    shown = read_number(number).shown
    assert scans(desk, made.case_id) == [f"A replaced ticket, copy 1 of {shown}, was scanned by AB."]
    reprint(desk, read_number(number), "lost again")
    assert note_scan(desk, number, 2)
    assert note_scan(replace(desk, now=lambda: NOW + timedelta(days=1)), number, 1)
    assert len(scans(desk, made.case_id)) == 3


@pytest.mark.parametrize("copy", [None, 2, 7])
def test_a_ticket_that_counts_and_a_number_that_was_typed_leave_no_trace(desk, made, number, copy):
    count = desk.store.verify_chain().count
    assert not note_scan(desk, number, copy)
    assert desk.store.verify_chain().count == count


def test_a_number_of_no_job_here_is_nobodys(desk, number):
    assert not note_scan(desk, "26999999", 1)


def test_a_ticket_of_a_withdrawn_case_says_so(desk, made):
    withdraw(desk, made.case_id, made.version, "cancelled by the practice")
    assert card(desk, made.jobs[0].number, 1).replaced == "Its case is withdrawn. Nothing of it goes to a bench."


def test_a_ticket_of_what_was_sent_back_says_when_and_why(desk, made):
    version = send_back(desk, made.case_id, made.version, "the impression is distorted", [0])
    found = card(desk, made.jobs[0].number, 1)
    assert found.replaced == (
        "It was sent back to the practice on Wed 25 Nov 2026: the impression is distorted. "
        "Nothing of it goes to a bench."
    )
    take_up_again(desk, made.case_id, version)
    assert card(desk, made.jobs[0].number, 1).replaced == ""


def test_a_ticket_of_what_was_split_off_and_taken_back_names_the_case_before(desk, made):
    done = split_off(desk, made.case_id, made.version, [1], "two on one sheet")
    withdraw(desk, done.new.case_id, done.new.version, "cancelled")
    said = card(desk, done.new.jobs[0].number, 1).replaced
    assert said.startswith(f"Its case is withdrawn. It was split off from {read_number(made.jobs[0].number).shown}")


def test_a_replaced_ticket_that_is_scanned_in_hand_over_is_noted_too(desk, made, number):
    job = desk.store.read.job(number)
    bench = desk.lab.category_by_id[job.category].route[0].bench
    for _ in range(2):
        answer = hand_over(desk, bench, ScanCode("ticket", number, 1))
        assert (answer.yes, answer.why) == (False, "replaced")
        assert "by CD" in answer.said
    assert len(scans(desk, made.case_id)) == 1
    assert hand_over(desk, bench, ScanCode("ticket", number, 2)).yes
