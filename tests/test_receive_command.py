"""`intake receive` and `intake letters --mail`: the same desk without a window."""

from dataclasses import replace
from email import message_from_bytes, policy

import pytest

from intake.desk.book_in import book
from intake.outbox.mail_file import DraftFolder
from intake.setup.places import DataFolder
from intake.store.opening import Store
from tests.desk.desks import day_case, day_file
from tests.documents.filling import filled_by_pypdf
from tests.test_cli import data, intake, open_desk  # noqa: F401  # the commands' own fixtures


def letter_in(data):  # noqa: F811
    store = Store.open(data / "intake.db")
    try:
        (letter,) = store.read.letters_to("QUILLB2")
        return letter.document_id, store.read.pdf(letter.document_id)
    finally:
        store.close()


@pytest.fixture
def letter(intake, data, tmp_path):  # noqa: F811
    """A hard splint without bite record, booked and asked about."""
    intake("book", day_file("02"), "--out", tmp_path / "out")
    return letter_in(data)


def test_a_returned_form_is_taken_in_and_told(intake, letter, tmp_path):  # noqa: F811
    (tmp_path / "back").mkdir()
    (tmp_path / "back" / "reply.pdf").write_bytes(filled_by_pypdf(letter[1], {"name": "Jo"}))
    code, said, _ = intake("receive", tmp_path / "back")
    assert code == 0
    assert said == f"The reply to letter {letter[0]}: filled in\n"


def test_a_prescription_file_waits_in_arrivals_and_an_odd_file_is_refused(intake, tmp_path):  # noqa: F811
    odd = tmp_path / "odd.txt"
    odd.write_text("hello")
    code, said, _ = intake("receive", day_file("01"), odd)
    assert code == 2
    assert "It waits in Arrivals." in said
    assert "odd.txt is no form, mail, scan or prescription." in said


def test_a_file_that_is_not_there_is_told(intake, tmp_path):  # noqa: F811
    code, said, _ = intake("receive", tmp_path / "gone.pdf")
    assert code == 2
    assert "There is no such file" in said


def test_a_letter_that_is_due_goes_out_as_a_draft(intake, data, tmp_path):  # noqa: F811
    def drafting(folder, out):
        return replace(open_desk(folder, out), mail_drafts=DraftFolder(tmp_path / "drafts"))

    desk = open_desk(DataFolder(data), None)
    book(desk, day_case("02"), "form")
    desk.store.close()
    code, _, _ = intake("letters", "--mail", open_desk=drafting)
    assert code == 0
    (draft,) = (tmp_path / "drafts").iterdir()
    message = message_from_bytes(draft.read_bytes(), policy=policy.default)
    assert message["To"] == "hello@quillbury-street.example.com"
