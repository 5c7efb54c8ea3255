"""Letters by e-mail: through a real server, to the directory's address only, tried again when the line was down."""

from dataclasses import replace
from datetime import timedelta
from email import message_from_bytes, policy

import pytest

from intake.desk.issue import issue_all
from intake.desk.letters import write_due, write_to
from intake.desk.mailing import AddressMissing, due_again
from intake.outbox.mail_file import DraftFolder
from intake.outbox.smtp import Smtp
from tests.desk.desks import NOW
from tests.desk.waiting import booked
from tests.outbox.mail_server import mail_server

KEY = "QUILLB2"


def later(desk, **time):
    return replace(desk, now=lambda: NOW + timedelta(**time))


def test_a_letter_by_mail_brings_the_pdf_that_is_kept_and_names_no_patient(desk):
    booked(desk, "02")
    with mail_server() as server:
        mailing = replace(desk, mail=Smtp("localhost", server.port, context=server.trusted))
        (issued,) = write_to(mailing, KEY, "mail")
    assert issued.sent
    message = message_from_bytes(server.kept.messages[0], policy=policy.strict)
    (pdf,) = list(message.iter_attachments())
    document = desk.store.read.document(issued.document.document_id)
    assert pdf.get_content() == desk.store.read.pdf(document.document_id)
    assert message["To"] == "hello@quillbury-street.example.com"
    case = desk.store.read.case(1).case
    told = f"{message['Subject']} {pdf.get_filename()}"
    assert case.patient.label not in told
    assert case.patient.reference not in told
    assert (document.state, document.way) == ("done", "mail")


def test_a_mail_that_cannot_leave_stays_visible_and_is_tried_again(desk):
    booked(desk, "02")
    with mail_server() as server:
        route = Smtp("localhost", server.port, context=server.trusted)
        mailing = replace(desk, mail=route)
        server.kept.refuse = "451 come back later"
        (issued,) = write_to(mailing, KEY, "mail")
        assert not issued.sent
        assert "451 come back later" in issued.problem
        assert due_again(later(mailing, minutes=14)) == ()
        (again,) = due_again(later(mailing, minutes=15))
        server.kept.refuse = ""
        (issued,) = issue_all(later(mailing, minutes=15), [again])
    assert issued.sent
    assert len(server.kept.messages) == 1
    assert desk.store.read.documents_waiting() == tuple(
        row for row in desk.store.read.documents_waiting() if row.kind == "ticket"
    )


def test_nobody_is_mailed_at_an_address_that_is_not_the_directorys(desk):
    booked(desk, "65")  # came with an address of its own
    key = next(row.key for row in desk.store.read.ring_rows())
    with pytest.raises(AddressMissing, match="addresses of the directory only"):
        write_to(desk, key, "mail")


def test_a_mail_to_an_address_that_has_changed_meanwhile_is_not_sent(desk, tmp_path):
    booked(desk, "02")
    (issued,) = write_to(desk, KEY, "mail")  # there is no server yet
    assert "names no mail server" in issued.problem
    row = desk.store.read.practice(KEY)
    with desk.work() as work:
        work.practices.save(row.practice.model_copy(update={"email": "new@quillbury-street.example.com"}), row.version)
        work.commit()
    drafts = replace(desk, mail=DraftFolder(tmp_path / "drafts"))
    (again,) = issue_all(drafts, [issued.document.document_id])
    assert "is new@quillbury-street.example.com now" in again.problem


def test_a_draft_lies_ready_for_a_mail_program(desk, tmp_path):
    booked(desk, "02")
    drafting = replace(desk, mail_drafts=DraftFolder(tmp_path / "drafts"))
    (issued,) = write_to(drafting, KEY, "draft")
    assert issued.sent
    (file,) = (tmp_path / "drafts").iterdir()
    assert file.name == f"letter-{issued.document.document_id}.eml"


def test_all_letters_by_mail_go_by_post_where_there_is_no_address(desk, tmp_path):
    booked(desk, "02")
    booked(desk, "65")
    mailing = replace(desk, mail=DraftFolder(tmp_path / "sent"))
    ways = {issued.document.practice_name: issued.document.way for issued in write_due(mailing, "mail")}
    assert sorted(ways.values()) == ["mail", "print"]
