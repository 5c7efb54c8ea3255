"""PDFs from outside: read, or refused with a sentence, whatever they hold."""

import random
import subprocess
import sys
import zlib
from io import BytesIO

import pytest
from pypdf import PdfReader, PdfWriter
from pypdf.annotations import FreeText, Link
from pypdf.generic import (
    ArrayObject,
    ByteStringObject,
    DictionaryObject,
    NameObject,
    NumberObject,
    StreamObject,
    TextStringObject,
)

from intake.documents.letter import draw_letter
from intake.inbox.pdf_form import MOST_BYTES, PdfUnreadable, is_pdf, read_form
from tests.documents.filling import fields_of
from tests.documents.samples import REPLY_FORM

PDF = draw_letter(REPLY_FORM)


def written(writer):
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def changed(change):
    writer = PdfWriter(clone_from=BytesIO(PDF))
    change(writer)
    return written(writer)


def test_the_fields_of_a_form_are_read_as_another_library_reads_them():
    told = {name: value.removeprefix("/") for name, value in fields_of(PDF).items()}
    assert read_form(PDF).fields == told


def test_the_words_of_each_page_are_read_and_nothing_lies_over_them():
    form = read_form(PDF)
    assert len(form.texts) == len(PdfReader(BytesIO(PDF)).pages)
    assert "R 000187 66" in "\n".join(form.texts)
    assert form.marks == ()


def test_a_field_stands_where_it_was_drawn():
    place = read_form(PDF).places["date"]
    assert place.kind == "/Widget"
    assert place.within(place.page, place.left, place.low, place.right, place.high)
    assert not place.within(place.page + 1, place.left, place.low, place.right, place.high)
    assert not place.within(place.page, place.left + 1, place.low, place.right, place.high)


def test_what_is_laid_over_the_pages_is_told_and_links_are_nothing():
    def change(writer):
        writer.add_annotation(0, FreeText(text="3 mm", rect=(10, 20, 90, 40)))
        writer.add_annotation(0, Link(url="https://lab.example.com", rect=(10, 20, 90, 40)))

    (mark,) = read_form(changed(change)).marks
    assert (mark.kind, mark.page, mark.left, mark.high) == ("/FreeText", 0, 10, 40)


def keep(name, value):
    def change(writer):
        fields = [each.get_object() for each in writer.root_object["/AcroForm"]["/Fields"]]
        next(each for each in fields if each["/T"] == name)[NameObject("/V")] = value

    return change


@pytest.mark.parametrize(
    ("value", "read"),
    [
        (TextStringObject("/1 mm"), "/1 mm"),
        (TextStringObject("Łódź “漢字” 😀"), "Łódź “漢字” 😀"),
        (ByteStringObject(b"2 mm \x9f"), "2 mm \N{REPLACEMENT CHARACTER}"),
        (NumberObject(2), "2"),
        (TextStringObject("x" * 50_000), "x" * 20_000),
    ],
    ids=["a stroke is kept", "any language", "bytes of no encoding", "a number", "cut"],
)
def test_what_stands_in_a_field_is_read_as_it_stands(value, read):
    assert read_form(changed(keep("name", value))).fields["name"] == read


@pytest.mark.parametrize("content", [b"", b"%PDF-1.7", b"%PDF-1.7\n" + b"\0" * 5000, b"hello"])
def test_what_is_no_sound_pdf_is_refused_with_a_sentence(content):
    with pytest.raises(PdfUnreadable, match=r"damaged and cannot be read as a PDF .*\.$"):
        read_form(content)


@pytest.mark.parametrize("algorithm", ["RC4-128", "AES-256"])
def test_a_locked_file_is_asked_for_without_its_password(algorithm):
    with pytest.raises(PdfUnreadable, match="locked with a password"):
        read_form(changed(lambda writer: writer.encrypt("secret", algorithm=algorithm)))


def test_a_file_that_only_its_owner_may_change_is_read():
    content = changed(lambda writer: writer.encrypt("", "secret", algorithm="AES-256"))
    assert read_form(content).fields == read_form(PDF).fields


WITHOUT_CIPHERS = """
import sys
sys.modules.update({"cryptography": None, "Crypto": None})
from intake.inbox.pdf_form import PdfUnreadable, read_form
try:
    read_form(sys.stdin.buffer.read())
except PdfUnreadable as unreadable:
    print(unreadable)
"""


def test_a_cipher_that_this_computer_lacks_is_as_good_as_a_lock():
    """`cryptography` is needed by the tests alone: what is installed at a lab does not bring it."""
    content = changed(lambda writer: writer.encrypt("", "secret", algorithm="AES-256"))
    done = subprocess.run([sys.executable, "-c", WITHOUT_CIPHERS], input=content, capture_output=True, check=True)
    assert done.stdout.decode().strip() == "The file is protected. Ask for it without protection."


def test_a_form_that_hides_what_is_filled_in_is_asked_for_as_a_plain_pdf():
    """XFA forms, deprecated by ISO 32000-2."""

    def change(writer):
        writer.root_object["/AcroForm"][NameObject("/XFA")] = ArrayObject()

    with pytest.raises(PdfUnreadable, match="XFA"):
        read_form(changed(change))


def test_a_file_larger_than_any_form_is_not_even_opened():
    with pytest.raises(PdfUnreadable, match="larger than 25 MB"):
        read_form(b"%PDF-1.7" + b" " * MOST_BYTES)


def test_a_file_of_more_pages_than_any_form_is_refused():
    def change(writer):
        for _ in range(60):
            writer.add_blank_page(595, 842)

    with pytest.raises(PdfUnreadable, match="more than 60 pages"):
        read_form(changed(change))


def test_a_file_of_more_fields_than_any_form_is_refused():
    def change(writer):
        fields = writer.root_object["/AcroForm"]["/Fields"]
        for number in range(5_000):
            each = {NameObject("/T"): TextStringObject(f"x{number}"), NameObject("/FT"): NameObject("/Tx")}
            fields.append(writer._add_object(DictionaryObject(each)))

    with pytest.raises(PdfUnreadable, match="more than 5,000 fields"):
        read_form(changed(change))


def test_fields_that_hold_each_other_are_read_or_told_of():
    def change(writer):
        loop = DictionaryObject({NameObject("/T"): TextStringObject("loop")})
        reference = writer._add_object(loop)
        loop[NameObject("/Kids")] = ArrayObject([reference, reference])
        writer.root_object["/AcroForm"]["/Fields"].append(reference)

    assert read_form(changed(change)).fields["form"] == REPLY_FORM.form


FONT = DictionaryObject(
    {
        NameObject("/Type"): NameObject("/Font"),
        NameObject("/Subtype"): NameObject("/Type1"),
        NameObject("/BaseFont"): NameObject("/Helvetica"),
    }
)


def resources(kind, name, what):
    return DictionaryObject({NameObject(kind): DictionaryObject({NameObject(name): what})})


def page_that_draws(writer, content, means):
    page, stream = writer.add_blank_page(595, 842), StreamObject()
    stream._data = zlib.compress(content, 9)
    stream[NameObject("/Filter")] = NameObject("/FlateDecode")
    page[NameObject("/Contents")] = writer._add_object(stream)
    page[NameObject("/Resources")] = means
    return written(writer)


@pytest.mark.parametrize(
    "times",
    [pytest.param(150_000, id="more steps"), pytest.param(2_000_000, id="more bytes", marks=pytest.mark.thorough)],
)
def test_a_small_file_with_a_flood_of_drawing_in_it_is_refused(times):
    flood = page_that_draws(PdfWriter(), b"BT /F 9 Tf (a) Tj ET " * times, resources("/Font", "/F", FONT))
    assert len(flood) < 200_000
    with pytest.raises(PdfUnreadable, match="more drawn on the pages"):
        read_form(flood)


def test_drawings_that_draw_drawings_come_to_an_end():
    """Nine deep and ten wide would be a thousand million words."""
    writer = PdfWriter()
    content, means = b"BT /F 9 Tf (a) Tj ET", resources("/Font", "/F", FONT)
    for _ in range(9):
        drawing = StreamObject()
        drawing._data = content
        drawing[NameObject("/Subtype")] = NameObject("/Form")
        drawing[NameObject("/Resources")] = means
        content, means = b"/X Do " * 10, resources("/XObject", "/X", writer._add_object(drawing))
    assert len(read_form(page_that_draws(writer, content, means)).texts[0]) < 1_000_000


def test_the_mark_of_a_pdf_may_stand_a_little_later():
    """ISO 32000-1, annex H, implementation note 13: within the first 1,024 bytes (from memory)."""
    assert is_pdf(b"\n\n%PDF-1.4")
    assert not is_pdf(b" " * 1_024 + b"%PDF-1.4")


def said_of(content):
    try:
        read_form(content)
    except PdfUnreadable as unreadable:
        return str(unreadable)
    return ""


def test_damaged_pdfs_are_each_read_or_told_of(often):
    chance, said = random.Random(3), []
    for _ in range(often(150)):
        damaged = bytearray(PDF)
        for _ in range(chance.randint(1, 20)):
            at = chance.randrange(len(damaged))
            match chance.randrange(3):
                case 0:
                    damaged[at] = chance.randrange(256)
                case 1:
                    del damaged[at : at + chance.randint(1, 300)]
                case 2:
                    damaged[at:at] = chance.choice((b"<<", b">>", b"[", b"(", b" 0 R ", b"endobj", b"/Kids", b"-1"))
        said.append(said_of(bytes(damaged)))
    assert "" in said
    assert len(set(said)) > 1
    assert all(each.endswith(".") for each in said if each)
