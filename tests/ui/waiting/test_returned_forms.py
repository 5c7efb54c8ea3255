"""A form that came back lies beside its questions and is taken with one key; what is unclear is read by a person."""

import pytest
from PySide6.QtCore import QBuffer, QByteArray, QIODevice
from PySide6.QtGui import QImage

from intake.desk.letters import write_to
from intake.store.rows import NewReply
from intake.ui.waiting.reply_page import page_picture
from intake.ui.waiting.stray_replies import NAME

ROLE = {"name": "Dr L. Quist", "role": "prescriber", "date": "25 Nov 2026"}


@pytest.fixture
def letter(desk, booked):
    booked("02")
    (issued,) = write_to(desk, "QUILLB2")
    return issued.document.document_id


@pytest.fixture
def returned(desk, letter):
    """Keeps a form as it was read: `returned(thickness="3")`."""

    def comes_back(kind="form", problem="", key="QUILLB2", letter_id=letter, file=b"", **answers):
        queries = {query.requirement: query.query_id for query in desk.store.read.queries_in(letter)}
        read = {
            str(queries[name.replace("_", "-")]): {"choice": None, "text": text, "other": "", "problem": ""}
            for name, text in answers.items()
        }
        content = {"answers": read, **ROLE}
        seal = f"{kind}-{answers}"
        reply = NewReply(seal, kind, "reply.pdf", letter_id, key, problem, content, file)
        with desk.work() as work:
            kept = work.replies.add(reply)
            work.commit()
        return kept.reply_id

    return comes_back


def picture():
    image = QImage(300, 200, QImage.Format.Format_RGB32)
    image.fill(0xFFFFFF)
    kept = QByteArray()
    buffer = QBuffer(kept)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "PNG")
    return bytes(kept.data())


def test_a_returned_form_stands_first_beside_its_questions(returned, open_person, desk):
    returned(thickness="3")
    person = open_person(desk)
    person.press("Enter").type("Jo").press("Enter")
    assert person.asked == "A form came back. Take it as it stands?"
    notes = person.place.card.to_say.notes.text()
    assert "How thick shall the upper hard occlusal splint be" in notes
    assert "“3”, 3 mm" in notes
    assert "Dr L. Quist, the prescriber, on the reply form." in person.place.card.to_say.because.text()


def test_a_returned_form_is_taken_with_one_key(returned, open_person, desk, letter):
    returned(thickness="3")
    person = open_person(desk)
    person.press("Enter").type("Jo").press("Enter", "Ctrl+1")
    asked = desk.store.read.queries_in(letter)
    (answer,) = [answer for query in asked for answer in desk.store.read.answers_to(query.query_id)]
    assert answer.requirement == "thickness"
    assert (answer.speaker, answer.authority, answer.route) == ("Dr L. Quist", "prescriber", "reply-form")
    assert desk.store.read.replies() == ()
    assert person.asked.startswith("Please send a bite record")


def test_a_form_that_cannot_be_taken_shows_its_page_and_is_set_aside(returned, open_person, desk):
    returned(kind="scanned", problem="It was printed and scanned.", file=picture())
    person = open_person(desk)
    person.press("Enter").type("Jo").press("Enter")
    assert person.asked == "It was printed and scanned."
    assert not person.place.card.to_say.picture.isHidden()
    person.type("take")
    assert "cannot be taken as it is" in person.echo
    person.press("Enter")
    assert person.text == "take"
    person.place.card.to_say.field.edit.clear()
    person.press("Ctrl+1")
    assert desk.store.read.replies() == ()


def test_a_form_of_nobody_known_stands_before_all_practices(returned, open_person, desk):
    returned(kind="unreadable", problem="Nothing on it says which letter it answers.", key=None, letter_id=None)
    person = open_person(desk)
    assert person.listed[0] == NAME
    person.press("Up", "Enter").type("Jo").press("Enter")
    assert person.asked == "Nothing on it says which letter it answers."
    person.press("Ctrl+1", "Enter")
    assert NAME not in person.listed


def test_the_page_of_a_picture_is_the_picture_and_of_nonsense_there_is_none():
    assert page_picture(picture()).startswith(b"\x89PNG")
    assert page_picture(b"%PDF-1.7 torn") is None
    assert page_picture(b"words") is None


def test_the_first_page_of_a_pdf_is_drawn(letter, desk):
    assert page_picture(desk.store.read.pdf(letter)).startswith(b"\x89PNG")
