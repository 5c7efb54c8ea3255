"""A case that is cancelled or returned, and one that was not."""

import pytest

from intake.desk.book_in import book
from intake.desk.history import told
from intake.desk.issue import issue_all
from intake.desk.linked import AtTheBenches
from intake.desk.withdraw import ReasonMissing, items_to_send_back, send_back, take_up_again, withdraw
from intake.store.meanwhile import ChangedMeanwhile, NotNow
from tests.desk.desks import day_case
from tests.desk.standing import handed_over


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


def test_what_is_sent_back_is_withdrawn_and_the_history_says_what_went_and_why(desk, made):
    send_back(desk, made.case_id, made.version, "the impressions are distorted", [0, 1])
    assert states(desk, made) == ["withdrawn", "withdrawn"]
    returned, withdrawn = (said.what for said in told(desk.store.read.history(made.case_id))[-2:])
    assert returned == (
        "Sent back to the practice: the impressions are distorted. Upper impression and lower impression go back."
    )
    assert withdrawn.startswith("Withdrawn: sent back to the practice. Jobs ")


def test_what_is_sent_back_by_mistake_is_taken_up_again(desk, made):
    version = send_back(desk, made.case_id, made.version, "distorted")
    take_up_again(desk, made.case_id, version)
    assert states(desk, made) == [job.state for job in made.jobs]
    assert told(desk.store.read.history(made.case_id))[-3].what == "Sent back to the practice: distorted."


def test_only_what_can_be_held_in_the_hand_goes_back(desk):
    assert [words for _, words in items_to_send_back(day_case("18"))] == [
        "upper impression",
        "lower impression",
        "prescription sheet",
    ]
    assert items_to_send_back(day_case("64")) == ()


def test_nothing_is_sent_back_without_a_reason_nor_from_the_benches_nor_what_another_desk_changed(desk, made):
    with pytest.raises(ReasonMissing):
        send_back(desk, made.case_id, made.version, "")
    with pytest.raises(ChangedMeanwhile):
        send_back(desk, made.case_id, made.version + 1, "distorted")
    handed_over(desk, made.jobs[0].number)
    with pytest.raises(AtTheBenches, match="back at reception"):
        send_back(desk, made.case_id, desk.store.read.case(made.case_id).version, "distorted")
    assert not [said for said in told(desk.store.read.history(made.case_id)) if "Sent back" in said.what]
