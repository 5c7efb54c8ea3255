"""A practice that is written to in its own language, and what it answers in it."""

from dataclasses import replace
from datetime import date

import pytest

from intake.desk.answering import take_answer
from intake.desk.blank_words import blank_words
from intake.desk.code_sheets import print_stickers
from intake.desk.letters import write_to
from intake.desk.mailing import mail_of
from intake.desk.receive import receive
from intake.desk.replies import reply_card, take_reply
from intake.documents.blank_prescription import draw_blank
from intake.domain.blank_fields import ALLERGIES
from intake.domain.blank_reading import typed_blank
from intake.domain.languages import spoken
from intake.domain.reply_fields import DATE, NAME, agreed_key, choice_field, line_field, own_asks, question_key
from tests.desk.desks import NOW
from tests.desk.german import german_lab, speak_german, whole_german_lab
from tests.desk.waiting import NURSE, booked, question, said
from tests.documents.filling import fields_of, filled_by_pypdf
from tests.documents.reading import text_of

KEY = "QUILLB2"


@pytest.fixture
def german(desk):
    """A desk whose setup has German, with a practice that is written to in it."""
    speak_german(desk, KEY)
    return replace(desk, lab=german_lab())


def written(desk):
    (issued,) = write_to(desk, KEY)
    return desk.store.read.pdf(issued.document.document_id)


def words(pdf):
    return " ".join(" ".join(text_of(pdf)).split())


def test_letter_and_slip_are_in_the_language_of_the_practice(german):
    booked(german, "02")
    text = words(written(german))
    for said_so in (
        "Antwortbogen",
        "Seite 1 von",
        "Die Arbeit wartet",
        "Mi, 25. Nov. 2026",
        "Termin Mo, 14. Dez. 2026, 16:00",
        "Bitte senden Sie uns ein Bissregistrat (Aufbissschiene, hart im Oberkiefer), in Zentrik oder gesperrt.",
        "Ohne Registrat wären Höhe und Kontakte geraten.",
        "Wie stark (üblich 1,5, 2 oder 3 mm)?",
        "mit der Post am",
    ):
        assert said_so in text
    assert "Reply slip" not in text
    assert "How thick" not in text


def test_what_is_not_translated_stays_in_the_laboratory_s_own_words(german):
    booked(german, "02")
    text = words(written(german))
    assert german.lab.letter.opening.split(".")[0] in text
    assert "By how many mm shall the" in text


def test_another_practice_is_written_to_as_before(german):
    booked(german, "05")  # of CANDLE, which has no language
    (issued,) = write_to(german, "CANDLE")
    assert "Reply slip" in words(german.store.read.pdf(issued.document.document_id))


def test_a_form_that_was_sent_in_another_language_is_read_as_the_laboratory_s_own(german, tmp_path):
    booked(german, "02")
    pdf = written(german)
    thickness, bite = (question_key(question(german, KEY, which)[1].query_id) for which in ("thickness", "bite-record"))
    assert fields_of(pdf)[own_asks(thickness)].splitlines()[0] == "____ mm"
    filled = filled_by_pypdf(
        pdf,
        {
            NAME: "Dr C. Vantongeren",
            DATE: "26.11.2026",
            choice_field(thickness): "/0",
            line_field(thickness, 0, 0): "2",
            choice_field(bite): "/0",
            line_field(bite, 0, 0): "27.11.",
        },
    )
    (tmp_path / "antwort.pdf").write_bytes(filled)
    (received,) = receive(german, [tmp_path / "antwort.pdf"])
    card = reply_card(german, received.reply_id)
    assert {each.written for each in card.answers} >= {"2 mm", "in the post on 27.11."}
    taken = take_reply(german, received.reply_id)
    assert len(taken.answers) == 2
    case = german.store.read.case(taken.answers[0].case_id).case
    assert case.appliances[0].options.thickness_mm == 2


def test_what_was_agreed_is_confirmed_in_the_language_too(german, tmp_path):
    booked(german, "02")
    take_answer(german, *said(german, KEY, "thickness", "2 mm"), NURSE)
    pdf = written(german)
    text = words(pdf)
    assert "Aufbissschiene, hart im Oberkiefer, Stärke: 2 mm" in text
    assert "Ms Osterby, im Auftrag, am Telefon, Mi, 25. Nov. 2026" in text
    (spoken_answer,) = german.store.read.spoken(KEY)
    key = agreed_key(spoken_answer.answer_id)
    assert fields_of(pdf)[own_asks(key)].splitlines() == ["as agreed", "not so: ____________"]
    (tmp_path / "antwort.pdf").write_bytes(filled_by_pypdf(pdf, {NAME: "Dr C. Vantongeren", choice_field(key): "/0"}))
    (received,) = receive(german, [tmp_path / "antwort.pdf"])
    take_reply(german, received.reply_id)
    assert german.store.read.spoken(KEY) == ()


def test_mail_stickers_and_form_are_in_the_language_too(german):
    booked(german, "02")
    (issued,) = write_to(german, KEY)
    mail = mail_of(german, issued.document, b"")
    assert mail.subject == f"Brief {issued.document.document_id} von {german.lab.name}"
    stickers = print_stickers(german, KEY)
    assert f"An {german.lab.name}" in words(german.store.read.pdf(stickers.document.document_id))
    practice = german.store.read.practice(KEY).practice
    assert "Auftrag" in words(draw_blank(blank_words(practice, german.lab, date(2026, 11, 25))))


def test_a_form_that_says_none_in_its_own_language_names_no_allergy(german):
    practice = german.store.read.practice(KEY).practice
    fields = fields_of(draw_blank(blank_words(practice, german.lab, NOW.date()))) | {ALLERGIES: "Keine."}
    typed = typed_blank(fields, german.lab, (practice,), NOW.date())
    assert typed["patient.allergies"] == "none"
    at_home = practice.model_copy(update={"language": None})
    assert typed_blank(fields, german.lab, (at_home,), NOW.date())["patient.allergies"] == "Keine."


def test_nothing_of_a_wholly_translated_letter_is_left_in_the_laboratory_s_own_words(desk):
    """But what is said of this case alone: names, numbers, measures and what the prescription has in words."""
    speak_german(desk, KEY)
    german = replace(desk, lab=whole_german_lab())
    booked(german, "02")
    letter = words(written(german))
    own = desk.lab
    for text in (own.letter.slip, own.letter.closing, own.words.letter.slip, own.words.letter.reply_by):
        assert letter.count(text) == letter.count(f"ÄÄ {text}") > 0
    for rule in own.rules:
        if "{" not in rule.question and rule.question in letter:
            assert f"ÄÄ {rule.question}" in letter


def test_a_language_that_the_setup_does_not_have_is_the_laboratory_s_own(desk):
    assert spoken(desk.lab, "fr") is desk.lab
    assert spoken(desk.lab, None) is desk.lab
