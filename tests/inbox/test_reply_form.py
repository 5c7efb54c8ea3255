"""Returned reply forms: filled by other programs they are read exactly; what is unclear gets a kind and a sentence."""

import random
from dataclasses import replace
from io import BytesIO

import pypdfium2
import pytest
from pypdf import PdfReader, PdfWriter
from pypdf.annotations import FreeText
from pypdf.generic import ArrayObject, DictionaryObject, FloatObject, NameObject, TextStringObject

from intake.documents.blank_prescription import draw_blank
from intake.documents.letter import draw_letter
from intake.domain.form_check import form_check
from intake.domain.reply_fields import Filled
from intake.domain.reply_number import reply_number
from intake.inbox.reply_form import read_reply
from tests.documents.filling import Viewer, fields_of, filled_by_pypdf
from tests.documents.samples import BLANK, LETTER, REPLY_FORM

PDF = draw_letter(REPLY_FORM)
OTHER = draw_letter(replace(REPLY_FORM, number="188", form=reply_number(188)))
LETTERS = {187: PDF, 188: OTHER}
ROWS = {"a31-choice": "0", "a32-choice": "1", "q41-choice": "0", "q42-choice": "4", "role": "on-behalf"}
WORDS = {
    "a32-line-1-0": "send it to us, Łódź Żółć Ωμέγα Жанна (a) \\ %s",
    "q41-line-0-0": "Thu 26 Nov",
    "q44-line-0-0": "10 Dec",
    "q44-line-0-1": "9.30",
    "q45-other": "/red & “blue”",
    "name": "Dr R. Ashdown",
    "date": "26 Nov 2026",
}
AGREED = {31: Filled(0, "as agreed"), 32: Filled(1, f"not so: {WORDS['a32-line-1-0']}")}
ANSWERS = {
    41: Filled(0, "coming by post on Thu 26 Nov"),
    42: Filled(4, "use the lab’s usual"),
    43: Filled(None, "A3.5"),
    44: Filled(0, "on 10 Dec at 9.30"),
    45: Filled(other="/red & “blue”"),
}


def back(content, letters=LETTERS, name="reply.pdf"):
    return read_reply(content, name, letters.get)


def by_a_library():
    rows = {name: f"/{value}" for name, value in ROWS.items()}
    return filled_by_pypdf(PDF, rows | WORDS | {"q43-menu": "A3.5"})


def by_a_viewer():
    options = [str(option[0]) for option in PdfReader(BytesIO(PDF)).get_fields()["q43-menu"]["/Opt"]]
    with Viewer(PDF) as viewer:
        for name, value in ROWS.items():
            viewer.click(name, value)
        for name, words in WORDS.items():
            viewer.write(name, words)
        viewer.choose("q43-menu", options.index("A3.5"))
        return viewer.saved()


@pytest.mark.parametrize("fill", [by_a_library, by_a_viewer], ids=["pypdf", "pdfium"])
def test_a_form_filled_by_another_program_is_read_exactly(fill):
    read = back(fill())
    assert (read.kind, read.letter_id, read.problem) == ("form", 187, "")
    assert (dict(read.answers), dict(read.agreed)) == (ANSWERS, AGREED)
    assert (read.name, read.role, read.date) == ("Dr R. Ashdown", "on-behalf", "26 Nov 2026")


def test_a_form_that_nobody_filled_in_says_nothing():
    read = back(PDF)
    assert read.kind == "form"
    assert all(each.says_nothing for each in (*read.answers.values(), *read.agreed.values()))
    assert (read.name, read.role, read.date) == ("", "", "")


def test_a_form_of_a_letter_that_is_not_here_still_says_its_number():
    read = back(PDF, {})
    assert (read.kind, read.letter_id) == ("form", 187)


def changed(change):
    """The form with something done to it by another library."""
    writer = PdfWriter(clone_from=BytesIO(PDF))
    change(writer)
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def field_named(writer, name):
    return next(f.get_object() for f in writer.root_object["/AcroForm"]["/Fields"] if f.get_object()["/T"] == name)


def keep(writer, name, value):
    field_named(writer, name)[NameObject("/V")] = TextStringObject(value)


def asks_other(writer):
    keep(writer, "q42-asks", "What thickness?\n9 mm")


def asks_other_with_a_right_check(writer):
    asks_other(writer)
    keep(writer, "check", form_check(fields_of(PDF) | {"q42-asks": "What thickness?\n9 mm"}))


def names_another_letter_with_a_right_check(writer):
    keep(writer, "form", reply_number(188))
    keep(writer, "check", form_check(fields_of(PDF) | {"form": reply_number(188)}))


def loses_a_question(writer):
    fields = writer.root_object["/AcroForm"]["/Fields"]
    fields.remove(next(f for f in fields if f.get_object()["/T"] == "q45-asks"))


def prints_other_words(writer):
    writer.pages[0].merge_page(PdfReader(BytesIO(draw_letter(LETTER))).pages[0])


def has_a_page_more(writer):
    writer.append(BytesIO(draw_letter(LETTER)))


def date_box():
    for page in PdfReader(BytesIO(PDF)).pages:
        for each in page.annotations or ():
            if each.get_object().get("/T") == "date":
                return page.page_number, [float(n) for n in each.get_object()["/Rect"]]
    raise AssertionError("the form has no date")


def has_words_laid_over(writer):
    page, (left, low, _, high) = date_box()
    words = FreeText(text="3 mm, not 2", rect=(left - 150, low, left - 50, high))
    writer.add_annotation(page, words)


def drawn(kind, page, box):
    def change(writer):
        rect = ArrayObject([FloatObject(n) for n in box])
        stroke = ArrayObject([ArrayObject([FloatObject(n) for n in box])])
        kept = {"/Type": NameObject("/Annot"), "/Subtype": NameObject(kind), "/Rect": rect, "/InkList": stroke}
        mark = DictionaryObject({NameObject(name): value for name, value in kept.items()})
        writer.add_annotation(page, mark)

    return change


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (asks_other, "changed on the way"),
        (loses_a_question, "changed on the way"),
        (asks_other_with_a_right_check, "other things than the letter"),
        (names_another_letter_with_a_right_check, "words printed on this form"),
        (prints_other_words, "words printed on this form"),
        (has_a_page_more, "more pages"),
        (has_words_laid_over, "written or drawn"),
        (drawn("/Ink", 2, (100, 400, 200, 420)), "written or drawn"),
    ],
    ids=lambda case: getattr(case, "__name__", ""),
)
def test_a_form_that_is_not_as_it_was_issued_is_left_to_a_person(change, told):
    read = back(changed(change))
    assert read.kind == "altered"
    assert told in read.problem
    assert read.problem.endswith("Read it, and take its answers down by hand.")
    assert not read.answers
    assert not read.agreed


@pytest.mark.parametrize("kind", ["/Ink", "/Stamp"])
def test_a_signature_on_its_line_is_no_change(kind):
    page, (left, low, _, high) = date_box()
    read = back(changed(drawn(kind, page, (left - 200, low - 10, left - 60, high + 20))))
    assert (read.kind, read.problem) == ("form", "")


def test_a_role_that_was_not_offered_is_none():
    assert back(changed(lambda writer: keep(writer, "role", "owner"))).role == ""


@pytest.mark.parametrize("number", ["R00018767", "R187", "260041237600", ""], ids=["mistyped", "short", "job", "none"])
def test_a_number_that_is_none_makes_no_letter(number):
    read = back(changed(lambda writer: keep(writer, "form", number)))
    assert (read.kind, read.letter_id) == ("unreadable", None)


def pages(dpi=200, turn=0.0):
    """The slip as a scanner sees it."""
    document = pypdfium2.PdfDocument(by_a_library())
    document.init_forms()
    seen = [page.render(scale=dpi / 72).to_pil().convert("L") for page in document][2:]
    document.close()
    return [page.rotate(turn, expand=True, fillcolor=255) for page in seen]


def saved(images, kind="PDF"):
    out = BytesIO()
    images[0].save(out, kind, **({"save_all": True, "append_images": images[1:]} if kind == "PDF" else {}))
    return out.getvalue()


@pytest.mark.parametrize("turn", [0, 3, 90, 180])
@pytest.mark.parametrize("kind", ["PDF", "PNG", "JPEG"])
@pytest.mark.sampled(4)
def test_a_form_that_was_printed_and_scanned_says_which_letter_it_is_and_no_more(kind, turn):
    read = back(saved(pages(turn=turn), kind))
    assert (read.kind, read.letter_id) == ("scanned", 187)
    assert "printed and scanned" in read.problem
    assert not read.answers
    assert not read.agreed


def flattened():
    """The form without its fields, as “print to PDF” leaves it."""
    document = pypdfium2.PdfDocument(by_a_library())
    document.init_forms()
    for page in document:
        assert pypdfium2.raw.FPDFPage_Flatten(page, pypdfium2.raw.FLAT_PRINT) != pypdfium2.raw.FLATTEN_FAIL
    out = BytesIO()
    document.save(out)
    document.close()
    writer = PdfWriter(clone_from=BytesIO(out.getvalue()))
    writer.root_object.pop("/AcroForm", None)
    for page in writer.pages:
        page.pop("/Annots", None)
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def test_a_form_that_lost_its_fields_says_which_letter_it_is_and_no_more():
    read = back(flattened())
    assert (read.kind, read.letter_id) == ("flattened", 187)
    assert not read.answers


def test_forms_of_two_letters_in_one_file_belong_to_neither():
    writer = PdfWriter()
    for content in LETTERS.values():
        writer.append(BytesIO(saved([p.render(scale=200 / 72).to_pil() for p in pypdfium2.PdfDocument(content)][2:])))
    out = BytesIO()
    writer.write(out)
    read = back(out.getvalue())
    assert (read.kind, read.letter_id) == ("unreadable", None)
    assert "several letters" in read.problem


@pytest.mark.parametrize("other", [draw_letter(LETTER), draw_blank(BLANK)], ids=["letter", "blank"])
@pytest.mark.parametrize("is_scanned", [False, True])
def test_any_other_paper_is_no_reply(other, is_scanned):
    if is_scanned:
        other = saved([pypdfium2.PdfDocument(other)[0].render(scale=200 / 72).to_pil()])
    read = back(other)
    assert (read.kind, read.letter_id) == ("unreadable", None)


def test_damaged_forms_are_each_read_or_told_of(often):
    chance, whole, kinds = random.Random(11), by_a_library(), set()
    for _ in range(often(100)):
        damaged = bytearray(whole)
        for _ in range(chance.randint(1, 30)):
            at = chance.randrange(len(damaged))
            if chance.random() < 0.7:
                damaged[at] = chance.randrange(256)
            else:
                del damaged[at : at + chance.randint(1, 400)]
        read = back(bytes(damaged))
        kinds.add(read.kind)
        assert read.problem.endswith(".") or (read.kind == "form" and read.letter_id == 187)
    assert len(kinds) > 1
