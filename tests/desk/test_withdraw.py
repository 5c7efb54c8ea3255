"""A case that is cancelled or returned, and one that was not."""

import pytest

from intake.desk.book_in import book
from intake.desk.issue import issue_all
from intake.desk.withdraw import ReasonMissing, take_up_again, withdraw
from intake.store.meanwhile import ChangedMeanwhile, NotNow
from tests.desk.desks import day_case


@pytest.fixture
def made(desk):
    return book(desk, day_case("18"), "form")


def states(desk, made):
    return [row.state for row in desk.store.read.jobs_of(made.case_id)]


def test_a_withdrawn_case_takes_all_its_jobs_with_it(desk, made):
    withdraw(desk, made.case_id, made.version, "cancelled by the practice")
    assert states(desk, made) == ["withdrawn", "withdrawn"]
    assert desk.store.read.documents_waiting() == ()


def test_taken_up_again_it_has_its_numbers_and_prints_what_was_never_printed(desk, made):
    version = withdraw(desk, made.case_id, made.version, "cancelled by the practice")
    again = take_up_again(desk, made.case_id, version)
    assert states(desk, made) == [job.state for job in made.jobs]
    assert again.tickets == made.tickets


def test_taken_up_again_it_does_not_print_a_second_time_what_is_out(desk, made):
    issue_all(desk, made.tickets)
    version = withdraw(desk, made.case_id, made.version, "cancelled by the practice")
    assert take_up_again(desk, made.case_id, version).tickets == ()


def test_a_reason_has_to_be_given(desk, made):
    with pytest.raises(ReasonMissing, match="Say why"):
        withdraw(desk, made.case_id, made.version, " ")
    assert "withdrawn" not in states(desk, made)


def test_a_case_is_not_withdrawn_twice(desk, made):
    version = withdraw(desk, made.case_id, made.version, "cancelled")
    with pytest.raises(NotNow, match="withdrawn already"):
        withdraw(desk, made.case_id, version, "cancelled")


def test_what_another_desk_changed_meanwhile_is_not_withdrawn_unseen(desk, made):
    version = withdraw(desk, made.case_id, made.version, "cancelled")
    take_up_again(desk, made.case_id, version)
    with pytest.raises(ChangedMeanwhile):
        withdraw(desk, made.case_id, made.version, "cancelled")
