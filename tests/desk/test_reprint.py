"""A ticket that was lost is printed again: with its reason, as the next copy."""

import pytest

from intake.desk.book_in import book
from intake.desk.issue import issue_all
from intake.desk.reprint import ReasonMissing, reprint
from intake.desk.withdraw import withdraw
from intake.domain.job_number import JobNumber, read_number
from intake.store.meanwhile import NotNow, NotThere
from tests.desk.desks import day_case, printed
from tests.documents.reading import text_of


@pytest.fixture
def number(desk):
    booked = book(desk, day_case("01"), "form")
    issue_all(desk, booked.tickets)
    return read_number(booked.jobs[0].number)


def test_a_reprint_is_the_next_copy_and_says_why_on_the_paper(desk, number):
    issued = reprint(desk, number, "  lost  ")
    words = " ".join(text_of(desk.store.read.pdf(issued.document.document_id)))
    assert issued.document.copy == 2
    assert "COPY 2" in words.upper()
    assert "lost" in words


@pytest.mark.parametrize("reason", ["", "   "])
def test_without_a_reason_nothing_is_printed(desk, number, reason, tmp_path):
    before = printed(tmp_path)
    with pytest.raises(ReasonMissing, match="Say why"):
        reprint(desk, number, reason)
    assert printed(tmp_path) == before
    assert len(desk.store.read.documents_of(number.digits)) == 1


def test_a_job_that_is_not_here_has_no_ticket_to_print(desk):
    with pytest.raises(NotThere):
        reprint(desk, JobNumber.make(2026, 99), "lost")


def test_a_withdrawn_job_gets_no_ticket(desk, number):
    case = desk.store.read.case_of_job(number.digits)
    withdraw(desk, case.case_id, case.version, "cancelled")
    with pytest.raises(NotNow, match="withdrawn"):
        reprint(desk, number, "lost")


def test_the_reprint_of_a_ticket_that_never_was_printed_cancels_the_first(desk):
    booked = book(desk, day_case("02"), "other form")
    reprint(desk, read_number(booked.jobs[0].number), "lost")
    states = [row.state for row in desk.store.read.documents_of(booked.jobs[0].number)]
    assert states == ["cancelled", "sent"]
