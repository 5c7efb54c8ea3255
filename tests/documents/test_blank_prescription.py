"""The blank prescription on paper and in a viewer: filled in by other programs it becomes the case that it says."""

from dataclasses import replace
from datetime import date
from io import BytesIO

import pytest
from PIL import Image
from pypdf import PdfReader

from intake.desk.blank_words import blank_words
from intake.documents.blank_prescription import BlankDoesNotFit, draw_blank
from intake.domain.blank_fields import is_as_issued, read_blank_number
from intake.domain.blank_reading import typed_blank
from intake.domain.own_codes import own_code
from tests.desk.desks import demo_lab, demo_practices
from tests.documents.filling import Viewer, fields_of, filled_by_pypdf
from tests.documents.reading import MM, outside, overlaps, rendered, scanned, text_of
from tests.documents.samples import HOSTILE

TODAY = date(2026, 11, 25)
LAB, PRACTICES = demo_lab(), demo_practices()
OXMERE = next(practice for practice in PRACTICES if practice.code == "OXMERE")
BLANK = blank_words(OXMERE, LAB, TODAY)
LONG = replace(
    BLANK,
    practice="Ysbyty Llanfair Pwllgwyngyll a’r Cylch: Canolfan Ddeintyddol Dŵr y Môr",
    lab="Tern Bay Dental Laboratory of Fixed and Removable Appliances, Northern Branch",
    address=("Tŷ Coch, Ulica Świętej Jadwigi Śląskiej", "Παπαδημητρίου 4", "Щербакова", "Tern Bay", "ZZ9 4AB"),
    code="LLANFAIRPW12",
)
ODD = replace(
    BLANK,
    practice=HOSTILE,
    lab=HOSTILE,
    code="ŁÓDŹ1",
    prescribers=(HOSTILE, "("),
    caution=HOSTILE,
    needs=tuple(replace(need, appliance=HOSTILE, also=(HOSTILE,)) for need in BLANK.needs),
)
BLANKS = {"demo": BLANK, "long names": LONG, "odd characters": ODD}
EVERY_BLANK = pytest.mark.parametrize("blank", BLANKS.values(), ids=BLANKS)
PDF = draw_blank(BLANK)
MENUS = {
    "prescriber": "Dr H. Quarrell",
    "appliance1-type": "occlusal-splint-hard",
    "appliance3-type": "wire-retainer",
    "appliance1-shade": "A3.5",
    "impression-material": "addition-silicone",
}
ROWS = {"appliance1-arch": "0", "appliance3-arch": "1", "bite-kind": "1", "hygiene": "0", "under-18": "1"}
BOXES = ("sent-impression-upper", "sent-model-lower", "sent-bite-record", "sent-photo")
WORDS = {
    "patient-label": "Ł.Ż. Ωμέγα Жанна",
    "patient-reference": "20418",
    "appliance1-thickness_mm": "2,5",
    "appliance3-clasps": "UR6, UL6",
    "impression-taken": "24 Nov 2026 15:30",
    "bite-mm": "3",
    "appointment": "10 Dec 2026 9.30",
    "allergies": "nickel, latex",
    "notes": "Please telephone when it leaves.",
}
TYPED = {
    "practice": "OXMERE",
    "prescriber": "“Dr H. Quarrell”",
    "patient.label": "Ł.Ż. Ωμέγα Жанна",
    "patient.reference": "20418",
    "patient.under_18": "n",
    "patient.allergies": "nickel, latex",
    "items": "upper impression Addition silicone 24 Nov 2026 15:30; lower model; photo; bite open 3 mm",
    "hygiene": "d",
    "appointment": "10 Dec 2026 9.30",
    "notes": "Please telephone when it leaves.",
    "appliances[0]": "Hard occlusal splint upper",
    "appliances[0].options.thickness_mm": "2,5",
    "appliances[0].options.shade": "A3.5",
    "appliances[1]": "Wire retainer lower",
    "appliances[1].options.clasps": "UR6, UL6",
}


def typed(pdf: bytes) -> dict[str, str]:
    fields = fields_of(pdf)
    assert is_as_issued(fields)
    return typed_blank(fields, LAB, PRACTICES, TODAY)


@pytest.fixture(scope="module")
def clicked():
    """The form filled in with clicks and keys in pdfium."""
    shown = {
        "prescriber": OXMERE.prescribers,
        "appliance1-shade": LAB.shades,
        "impression-material": [material.id for material in LAB.materials],
    }
    types = [kind.id for kind in LAB.types]
    with Viewer(PDF) as viewer:
        for name, value in MENUS.items():
            viewer.choose(name, list(shown.get(name, types)).index(value))
        for name, value in ROWS.items():
            viewer.click(name, value)
        for name in BOXES:
            viewer.click(name)
        for name, text in WORDS.items():
            viewer.write(name, text)
        return viewer.saved()


def test_a_form_filled_with_clicks_and_keys_in_pdfium_is_read_back_exactly(clicked):
    assert typed(clicked) == TYPED


def test_a_form_filled_by_pypdf_is_read_back_exactly():
    ticks = {name: f"/{value}" for name, value in ROWS.items()} | dict.fromkeys(BOXES, "/Yes")
    assert typed(filled_by_pypdf(PDF, {**MENUS, **ticks, **WORDS})) == TYPED


def test_a_box_that_is_ticked_twice_is_not_ticked():
    with Viewer(PDF) as viewer:
        viewer.click("sent-photo")
        viewer.click("sent-photo")
        assert typed(viewer.saved()) == {"practice": "OXMERE"}


def test_several_lines_of_notes_are_kept_on_one():
    with Viewer(PDF) as viewer:
        viewer.paste("notes", "first line\nsecond line")
        assert typed(viewer.saved())["notes"] == "first line second line"


def test_another_appliance_or_prescriber_than_those_of_the_menu_can_be_written():
    with Viewer(PDF) as viewer:
        viewer.write("appliance2-type", "soft splint l 2mm")
        viewer.write("prescriber", "Dr N. Ewcomer")
        pdf = viewer.saved()
    assert typed(pdf)["appliances[0]"] == "soft splint l 2mm"
    assert typed(pdf)["prescriber"] == "“Dr N. Ewcomer”"


@EVERY_BLANK
def test_nothing_stands_on_something_else_or_in_the_margin(blank):
    pdf = draw_blank(blank)
    assert overlaps(pdf) == []
    assert outside(pdf, 8 * MM) == []


@EVERY_BLANK
def test_an_empty_form_is_as_issued_and_says_whose_it_is(blank):
    assert is_as_issued(fields_of(draw_blank(blank)))
    assert read_blank_number(fields_of(draw_blank(blank))["form"]) == "OXMERE"


@pytest.mark.parametrize("blank", [BLANK, LONG], ids=["demo", "long names"])
def test_the_code_of_the_practice_is_read_off_a_poor_scan_of_the_first_page(blank):
    page = rendered(draw_blank(blank), 150)[0].rotate(1.5, fillcolor=255, resample=Image.Resampling.BICUBIC)
    out = BytesIO()
    page.save(out, "JPEG", quality=50)
    assert scanned(Image.open(out)) == [own_code("practice", blank.code)]


def test_a_code_that_is_too_long_for_a_barcode_is_printed_in_letters():
    pdf = draw_blank(ODD)
    assert scanned(rendered(pdf, 200)[0]) == []
    assert "ŁÓDŹ1" in text_of(pdf)[0]


def test_the_form_asks_for_everything_on_its_first_page():
    page = text_of(PDF)[0]
    for words in (
        "Prescriber", "Appointment", "Patient’s label", "Reference", "Under 18", "Allergies", "Appliance", "Arch",
        "Teeth", "Thickness, mm", "Bite opening, mm", "Shade", "Material", "Colour", "Teeth to replace", "Clasps on",
        "Springs on", "Impression", "Model", "Scan", "Bite record", "centric", "open", "protrusive", "photo",
        "shade tab", "disinfected", "Notes", "Signature", "Date",
    ):  # fmt: skip
        assert words in page, words


def test_more_than_a_page_of_needs_goes_on_over_leaf():
    pdf = draw_blank(replace(BLANK, needs=BLANK.needs * 4))
    pages = text_of(pdf)
    assert len(pages) > 3
    assert sum(page.count("Whitening tray") for page in pages) == 4
    assert overlaps(pdf) == []


def test_rules_that_ask_for_nothing_leave_one_page():
    assert len(text_of(draw_blank(replace(BLANK, needs=())))) == 1


def test_a_caution_longer_than_the_page_is_refused_with_what_would_be_right():
    with pytest.raises(BlankDoesNotFit, match="Shorten"):
        draw_blank(replace(BLANK, caution="word " * 2000))


def test_the_fields_follow_each_other_appliance_by_appliance():
    widgets = [annotation.get_object() for annotation in PdfReader(BytesIO(PDF)).pages[0].annotations]
    names = [str(widget.get("/T") or widget["/Parent"]["/T"]) for widget in widgets]
    columns = [name[:10] for name in names if name.startswith("appliance")]
    assert columns == sorted(columns)


def test_the_same_blank_gives_the_same_bytes():
    assert draw_blank(BLANK) == PDF
