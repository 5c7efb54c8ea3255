"""Blank prescriptions that came back filled in by other programs, read into the form that the desk would have typed."""

from datetime import date
from io import BytesIO

import pytest
from pypdf import PdfWriter
from pypdf.annotations import FreeText
from pypdf.generic import NameObject, TextStringObject

from intake.desk.blank_words import blank_words
from intake.documents.blank_prescription import draw_blank
from intake.documents.letter import draw_letter
from intake.domain.blank_fields import BlankNumberRefused
from intake.inbox.filled_blank import DRAWN, BlankAltered, read_blank
from intake.inbox.pdf_form import PdfUnreadable
from tests.desk.desks import demo_lab, demo_practices
from tests.documents.filling import Viewer, filled_by_pypdf
from tests.documents.samples import REPLY_FORM

TODAY = date(2026, 11, 25)
LAB, PRACTICES = demo_lab(), demo_practices()
OXMERE = next(practice for practice in PRACTICES if practice.code == "OXMERE")
PDF = draw_blank(blank_words(OXMERE, LAB, TODAY))
WORDS = {"patient-label": "J.T.", "patient-reference": "20418", "appliance1-thickness_mm": "2,5", "notes": "Thank you"}
TYPED = {
    "practice": "OXMERE",
    "patient.label": "J.T.",
    "patient.reference": "20418",
    "patient.under_18": "n",
    "items": "upper impression; bite open",
    "notes": "Thank you",
    "appliances[0]": "upper",
    "appliances[0].options.thickness_mm": "2,5",
}
BOXES = ("sent-impression-upper", "sent-bite-record")
ROWS = {"appliance1-arch": "0", "bite-kind": "1", "under-18": "1"}


def by_a_library():
    rows = {name: f"/{value}" for name, value in ROWS.items()}
    return filled_by_pypdf(PDF, WORDS | rows | dict.fromkeys(BOXES, "/Yes"))


def by_a_viewer():
    with Viewer(PDF) as viewer:
        for name, value in ROWS.items():
            viewer.click(name, value)
        for name in BOXES:
            viewer.click(name)
        for name, words in WORDS.items():
            viewer.write(name, words)
        return viewer.saved()


def read(content):
    return read_blank(content, LAB, PRACTICES, TODAY)


@pytest.mark.parametrize("fill", [by_a_library, by_a_viewer], ids=["pypdf", "pdfium"])
def test_a_blank_filled_by_another_program_is_the_form_that_was_meant(fill):
    assert read(fill()) == TYPED


def changed(change):
    writer = PdfWriter(clone_from=BytesIO(by_a_library()))
    change(writer)
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def kept(writer, name, value):
    fields = [each.get_object() for each in writer.root_object["/AcroForm"]["/Fields"]]
    next(each for each in fields if each["/T"] == name)[NameObject("/V")] = TextStringObject(value)


def test_a_blank_with_another_check_is_left_to_a_person():
    with pytest.raises(BlankAltered, match="changed on the way"):
        read(changed(lambda writer: kept(writer, "check", "0" * 16)))


def test_a_blank_with_a_mistyped_number_belongs_to_no_practice():
    with pytest.raises(BlankNumberRefused):
        read(changed(lambda writer: kept(writer, "form", "BOXMERE00")))


def test_what_is_written_over_the_page_is_not_missed():
    words = FreeText(text="latex!", rect=(100, 100, 200, 120))
    typed = read(changed(lambda writer: writer.add_annotation(0, words)))
    assert typed == TYPED | {"notes": f"Thank you · {DRAWN}"}


def test_a_reply_form_is_no_blank():
    with pytest.raises(BlankNumberRefused):
        read(draw_letter(REPLY_FORM))


def test_what_is_no_pdf_is_refused():
    with pytest.raises(PdfUnreadable):
        read(b"%PDF-1.7")
