"""E-mails that did not go out are told with their reasons, and named as what they are."""

from dataclasses import replace

import pytest

from intake.desk.issue_words import issued_words, problem_words
from intake.desk.letters import write_to
from intake.desk.mailing import password_problem
from intake.desk.unsent import try_again, unsent, unsent_words
from intake.outbox.mail import MailTrouble
from intake.outbox.mail_file import DraftFolder
from tests.desk.desks import demo_lab
from tests.desk.waiting import booked

KEY = "QUILLB2"


class Down:
    """A mail server that cannot be reached."""

    def send(self, mail):
        raise MailTrouble("mail.example.com cannot be reached. It is tried again.")


@pytest.fixture
def letter(desk):
    booked(desk, "02")
    (issued,) = write_to(replace(desk, mail=Down()), KEY, "mail")
    return issued


def test_a_mail_that_failed_is_not_said_to_wait_for_the_printer(letter):
    number = letter.document.document_id
    reason = "mail.example.com cannot be reached. It is tried again."
    assert problem_words([letter]) == f"Letter {number} waits to go by e-mail. {reason}"
    assert issued_words([letter]) == ""


def test_what_did_not_go_out_is_told_until_it_is_sent(desk, letter, tmp_path):
    number, practice = letter.document.document_id, letter.document.practice_name
    assert unsent_words(unsent(desk)) == (
        f"Letter {number} to {practice} did not go out by e-mail. "
        "mail.example.com cannot be reached. It is tried again."
    )
    assert try_again(replace(desk, mail=Down())).issued == (), "it is not time yet"
    tried = try_again(replace(desk, mail=DraftFolder(tmp_path / "sent")), at_once=True)
    assert tried.unsent == ()
    assert unsent_words(tried.unsent) == ""
    assert issued_words(tried.issued) == f"Letter {number}: sent by e-mail to {letter.document.address}."


def test_tickets_that_fail_are_no_mails(desk):
    booked(desk, "02")
    with desk.work() as work:
        (ticket,) = [row for row in desk.store.read.documents_waiting() if row.kind == "ticket"][:1]
        work.documents.mark_failed(ticket.document_id, "out of paper")
        work.commit()
    assert unsent(desk) == ()


def test_no_password_is_missed_where_none_is_needed(desk):
    assert password_problem(desk) == ""
    mail = demo_lab().mail.model_copy(update={"server": "mail.example.com"})
    assert password_problem(replace(desk, lab=demo_lab().model_copy(update={"mail": mail}))) == ""
