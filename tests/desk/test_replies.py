"""Returned reply forms: filled by other programs, read back, taken with one key; never a guess."""

from io import BytesIO

import pypdfium2
import pytest
from pypdf import PdfReader, PdfWriter

from intake.desk.answering import take_answer
from intake.desk.call_card import call_card
from intake.desk.letters import write_to
from intake.desk.receive import receive
from intake.desk.replies import NoReply, reply_card, reply_file, set_aside, take_reply
from intake.domain.reply_fields import DATE, NAME, agreed_key, choice_field, line_field, other_field, question_key
from tests.desk.waiting import NURSE, booked, question, said
from tests.documents.filling import Viewer, filled_by_pypdf

KEY = "QUILLB2"
SIGNED = {NAME: "Dr C. Vantongeren", DATE: "26.11.2026"}
"""By a prescriber of the practice, in full."""


@pytest.fixture
def letter(desk):
    """The letter about a hard splint that came without bite record, opening and thickness."""
    booked(desk, "02")
    (issued,) = write_to(desk, KEY)
    return desk.store.read.pdf(issued.document.document_id)


def field_of(desk, requirement):
    return question_key(question(desk, KEY, requirement)[1].query_id)


def answers(desk):
    """A thickness of 2 mm, the bite record in the post, and an opening as another answer."""
    return SIGNED | {
        choice_field(field_of(desk, "thickness")): "/0",
        line_field(field_of(desk, "thickness"), 0, 0): "2",
        choice_field(field_of(desk, "bite-record")): "/0",
        line_field(field_of(desk, "bite-record"), 0, 0): "27 nov",
        other_field(field_of(desk, "bite-opening")): "2,5 mm",
    }


def returned(desk, folder, content, name="reply.pdf"):
    path = folder / name
    path.write_bytes(content)
    (received,) = receive(desk, [path])
    return received


def open_about(desk):
    return {query.requirement for query in desk.store.read.practice_queries(KEY)}


def test_a_form_filled_by_another_pdf_library_is_read_and_taken(desk, letter, tmp_path):
    received = returned(desk, tmp_path, filled_by_pypdf(letter, answers(desk)))
    card = reply_card(desk, received.reply_id)
    assert card.can_take
    assert {each.read.answer.says for each in card.answers} == {
        "2 mm",
        "2.5 mm",
        "bite record in the post, here by Mon 30 Nov 2026",
    }
    assert (card.speaker.name, card.speaker.authority, card.speaker.route) == (
        "Dr C. Vantongeren",
        "prescriber",
        "reply-form",
    )
    taken = take_reply(desk, received.reply_id).answers
    assert len(taken) == 3
    assert open_about(desk) == {"bite-record"}
    options = desk.store.read.case(taken[0].case_id).case.appliances[0].options
    assert (options.thickness_mm, options.bite_opening_mm) == (2, 2.5)
    assert desk.store.read.spoken(KEY) == ()  # it is in writing
    (kept, *_) = desk.store.read.answers_of(taken[0].case_id)
    assert kept.reply_id == received.reply_id


def test_a_form_filled_in_a_viewer_is_read_and_taken(desk, letter, tmp_path):
    thickness = field_of(desk, "thickness")
    with Viewer(letter) as viewer:
        viewer.click(choice_field(thickness), "0")
        viewer.write(line_field(thickness, 0, 0), "2")
        viewer.write(NAME, "Dr C. Vantongeren")
        filled = viewer.saved()
    received = returned(desk, tmp_path, filled)
    assert received.taken
    (taken,) = take_reply(desk, received.reply_id).answers
    assert taken.closed
    assert "2 mm" in taken.said


def test_a_form_attached_to_a_mail_is_found(desk, letter, tmp_path):
    from email.message import EmailMessage

    mail = EmailMessage()
    mail["From"], mail["Subject"] = "desk@quillbury-street.example.com", "Letter"
    mail.set_content("Here it is.")
    mail.add_attachment(filled_by_pypdf(letter, answers(desk)), maintype="application", subtype="pdf", filename="r.pdf")
    received = returned(desk, tmp_path, bytes(mail), "mail.eml")
    assert (received.what, received.key) == ("reply", KEY)


def test_the_same_form_dropped_twice_is_one(desk, letter, tmp_path):
    filled = filled_by_pypdf(letter, answers(desk))
    first, second = (returned(desk, tmp_path, filled, name) for name in ("one.pdf", "two.pdf"))
    assert first.reply_id == second.reply_id
    assert "taken in before" in second.said


def test_a_form_that_was_answered_twice_is_not_taken_by_itself(desk, letter, tmp_path):
    first = answers(desk)
    other = first | {NAME: "Dr L. Amberley-Shah"}
    take_reply(desk, returned(desk, tmp_path, filled_by_pypdf(letter, first)).reply_id)
    second = returned(desk, tmp_path, filled_by_pypdf(letter, other), "second.pdf")
    card = reply_card(desk, second.reply_id)
    assert card.kind == "again"
    assert not card.can_take
    with pytest.raises(NoReply, match="came back before"):
        take_reply(desk, second.reply_id)


def test_a_form_with_two_answers_to_one_question_leaves_it_open(desk, letter, tmp_path):
    unclear = answers(desk) | {other_field(field_of(desk, "thickness")): "or 3"}
    received = returned(desk, tmp_path, filled_by_pypdf(letter, unclear))
    card = reply_card(desk, received.reply_id)
    (thickness,) = [each for each in card.answers if "thick" in each.question]
    assert thickness.read.answer is None
    assert thickness.read.said.wrong
    take_reply(desk, received.reply_id)
    assert "thickness" in open_about(desk)


def test_a_form_whose_questions_were_altered_is_not_taken(desk, letter, tmp_path):
    writer = PdfWriter(clone_from=BytesIO(filled_by_pypdf(letter, answers(desk))))
    asks = f"{field_of(desk, 'thickness')}-asks"
    for page in writer.pages:
        writer.update_page_form_field_values(page, {asks: "How thin?"})
    out = BytesIO()
    writer.write(out)
    received = returned(desk, tmp_path, out.getvalue())
    card = reply_card(desk, received.reply_id)
    assert card.kind == "altered"
    assert not card.can_take
    assert "Read it, and take its answers down by hand." in card.problem


def flattened(content):
    """The form as a printer to PDF leaves it: its words, without its fields."""
    writer = PdfWriter(clone_from=BytesIO(content))
    writer.remove_annotations("/Widget")
    del writer._root_object["/AcroForm"]
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def test_a_form_that_lost_its_fields_is_known_by_its_barcode_and_read_by_a_person(desk, letter, tmp_path):
    received = returned(desk, tmp_path, flattened(filled_by_pypdf(letter, answers(desk))))
    card = reply_card(desk, received.reply_id)
    assert (card.kind, card.key) == ("flattened", KEY)
    assert not card.can_take
    assert all(each.read.answer is None for each in card.answers)


def test_a_form_that_was_printed_and_scanned_is_known_by_its_barcode(desk, letter, tmp_path):
    page = next(i for i, page in enumerate(PdfReader(BytesIO(letter)).pages) if "Reply slip" in page.extract_text())
    picture = pypdfium2.PdfDocument(letter)[page].render(scale=200 / 72).to_pil().convert("L")
    out = BytesIO()
    picture.rotate(1.5, expand=True, fillcolor=255).save(out, "JPEG", quality=55)
    received = returned(desk, tmp_path, out.getvalue(), "scan.jpg")
    card = reply_card(desk, received.reply_id)
    assert (card.kind, card.key) == ("scanned", KEY)
    assert reply_file(desk, received.reply_id) == ("scan.jpg", out.getvalue())
    set_aside(desk, received.reply_id)
    assert call_card(desk, KEY).replies == ()


def test_a_form_of_a_letter_that_is_not_here_is_told(desk, letter, tmp_path, store):
    from intake.documents.letter import draw_letter
    from tests.documents.samples import REPLY_FORM

    received = returned(desk, tmp_path, draw_letter(REPLY_FORM))
    assert "There is no letter 187 here" in received.said
    assert not reply_card(desk, received.reply_id).can_take


def test_a_question_that_was_answered_by_telephone_meanwhile_is_not_overwritten(desk, letter, tmp_path):
    filled = filled_by_pypdf(letter, answers(desk))
    take_answer(desk, *said(desk, KEY, "thickness", "3"), NURSE)
    received = returned(desk, tmp_path, filled)
    card = reply_card(desk, received.reply_id)
    (thickness,) = [each for each in card.answers if not each.open]
    assert thickness.now == "answered meanwhile: 3 mm"
    take_reply(desk, received.reply_id)
    case_id = desk.store.read.practice_queries(KEY)[0].case_id
    assert desk.store.read.case(case_id).case.appliances[0].options.thickness_mm == 3


def test_what_was_agreed_by_word_of_mouth_is_confirmed_by_its_tick(desk, tmp_path):
    booked(desk, "02")
    answered = take_answer(desk, *said(desk, KEY, "thickness", "3"), NURSE)
    (issued,) = write_to(desk, KEY)
    pdf = desk.store.read.pdf(issued.document.document_id)
    key = agreed_key(answered.answer_ids[0])
    received = returned(desk, tmp_path, filled_by_pypdf(pdf, SIGNED | {choice_field(key): "/0"}))
    take_reply(desk, received.reply_id)
    assert desk.store.read.spoken(KEY) == ()


def test_what_is_not_so_agreed_stays_to_be_cleared_up(desk, tmp_path):
    booked(desk, "02")
    answered = take_answer(desk, *said(desk, KEY, "thickness", "3"), NURSE)
    (issued,) = write_to(desk, KEY)
    pdf = desk.store.read.pdf(issued.document.document_id)
    key = agreed_key(answered.answer_ids[0])
    filled = filled_by_pypdf(pdf, SIGNED | {choice_field(key): "/1", line_field(key, 1, 0): "2 mm"})
    card = reply_card(desk, returned(desk, tmp_path, filled).reply_id)
    (agreed,) = card.agreed
    assert not agreed.confirms
    assert agreed.written == "not so: 2 mm"
    assert len(desk.store.read.spoken(KEY)) == 1


@pytest.mark.parametrize("content", [b"hello", b"\x00\x01"])
def test_what_is_none_of_these_is_not_taken_in(desk, tmp_path, content):
    received = returned(desk, tmp_path, content, "odd.bin")
    assert not received.taken
    assert received.said == "odd.bin is no form, mail, scan or prescription. Nothing was taken in."
