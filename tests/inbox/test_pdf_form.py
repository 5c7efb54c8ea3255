"""PDFs from outside: read, or refused with a sentence, whatever they hold."""

import random
from io import BytesIO

import pytest
from PIL import Image
from pypdf import PdfWriter

from intake.documents.letter import draw_letter
from intake.inbox.page_codes import codes_of_pdf, codes_of_picture
from intake.inbox.pdf_form import MOST_BYTES, PdfUnreadable, is_pdf, read_form
from intake.inbox.reply_form import read_reply
from intake.inbox.sorting import what_is
from tests.documents.filling import fields_of
from tests.documents.samples import REPLY_FORM


@pytest.fixture(scope="module")
def form():
    return draw_letter(REPLY_FORM)


def test_the_fields_of_a_form_are_read_as_another_library_reads_them(form):
    told = {name: value.removeprefix("/") for name, value in fields_of(form).items()}
    assert read_form(form).fields == told


def locked(content):
    writer = PdfWriter(clone_from=BytesIO(content))
    writer.encrypt("secret", algorithm="RC4-128")
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


@pytest.mark.parametrize("content", [b"", b"%PDF-1.7", b"%PDF-1.7\n" + b"\0" * 5000, b"hello"])
def test_what_is_no_sound_pdf_is_refused_with_a_sentence(content):
    with pytest.raises(PdfUnreadable):
        read_form(content)


def test_a_locked_file_is_asked_for_without_its_password(form):
    with pytest.raises(PdfUnreadable, match="locked with a password"):
        read_form(locked(form))


def test_a_file_larger_than_any_form_is_not_even_opened():
    with pytest.raises(PdfUnreadable, match="larger than"):
        read_form(b"%PDF-1.7" + b" " * MOST_BYTES)


def test_a_picture_of_a_page_still_says_which_letter_it_is(form):
    import pypdfium2

    page = pypdfium2.PdfDocument(form)[2].render(scale=200 / 72).to_pil().convert("L")
    out = BytesIO()
    page.rotate(2, expand=True, fillcolor=255).save(out, "JPEG", quality=60)
    assert REPLY_FORM.form in codes_of_picture(out.getvalue())
    assert REPLY_FORM.form in codes_of_pdf(form)


def test_a_picture_with_more_dots_than_a_scan_is_refused():
    out = BytesIO()
    Image.new("1", (12_000, 12_000)).save(out, "PNG")
    with pytest.raises(PdfUnreadable, match="more dots"):
        codes_of_picture(out.getvalue())


@pytest.mark.parametrize("content", [b"\x89PNG\r\n\x1a\n" + b"x" * 99, b"\xff\xd8\xff" + b"x" * 99])
def test_a_damaged_picture_is_told(content):
    read = read_reply(content, "scan.png", lambda _: None)
    assert read.kind == "unreadable"
    assert "damaged" in read.problem


def test_files_are_told_apart_by_content_and_never_by_name(form):
    assert what_is(form) == "reply"
    assert what_is(b"\x89PNG\r\n\x1a\n") == "reply"
    assert what_is(b' {"format": "intake-case/1"}') == "prescription"
    assert what_is(b"{ not json") == "unknown"
    assert what_is(b"From: a@example.com\n\nhello") == "mail"
    assert what_is(b"") == "unknown"
    assert is_pdf(b"\n\n%PDF-1.4")


def test_four_hundred_damaged_forms_are_each_read_or_told_of(form):
    chance = random.Random(11)
    kinds = set()
    for _ in range(400):
        damaged = bytearray(form)
        for _ in range(chance.randint(1, 30)):
            at = chance.randrange(len(damaged))
            if chance.random() < 0.7:
                damaged[at] = chance.randrange(256)
            else:
                del damaged[at : at + chance.randint(1, 400)]
        read = read_reply(bytes(damaged), "reply.pdf", lambda _: form)
        kinds.add(read.kind)
        assert read.kind == "form" or read.problem.endswith(".")
    assert kinds - {"form"}
