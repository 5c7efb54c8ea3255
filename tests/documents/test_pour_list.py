"""The pour list, read back with other eyes."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.documents.pour_list import PourBox, PourRow, PourSheet, draw_pour_list
from tests.documents.reading import MM, fonts_of, outside, overlaps, text_of, words_of

CAUTION = "Where the maker gives another time for the product, that time counts. Ask who answers for what is late."
LONG = "The Wexcombe Magna, Nether Ambling and Upper Tarnbeck Community Dental and Orthodontic Partnership"


def a_row(number="26 004123 76", **said):
    given_ = {
        "boxes": (PourBox(number, "Blue", "#1f6fb4"),),
        "patient": "J.T. · 20418",
        "practice": "Mill Lane Dental",
        "impressions": (("upper, Alginate", "by 16:20, past its usual time since Tue 24 Nov, 16:50"),),
        "mark": "At once",
    }
    return PourRow(**(given_ | said))


def a_sheet(*rows, **said):
    given_ = {
        "lab": "Ellerquay Dental Laboratory",
        "number": "12",
        "counted": f"Wed 25 Nov 2026, 10:30: {len(rows)} cases to pour, what keeps least first.",
        "rows": rows,
        "unopened": "",
        "caution": CAUTION,
    }
    return PourSheet(**(given_ | said))


def read(sheet):
    return [" ".join(page.split()) for page in text_of(draw_pour_list(sheet))]


def test_a_line_has_number_colours_name_material_time_and_mark():
    (page,) = read(a_sheet(a_row(), unopened="Not booked in yet: 3 arrivals with an impression; open them first."))
    for words in (
        "26 004123 76",
        "Blue box",
        "upper, Alginate",
        "by 16:20, past its usual time since Tue",
        "At once",
        "J.T. · 20418",
        "Mill Lane Dental",
        "3 arrivals with an impression",
        "page 1 of 1",
    ):
        assert words in page


def test_the_caution_and_the_heads_of_the_columns_stand_on_every_page():
    pages = read(a_sheet(*(a_row(f"26 {n:06d} 76") for n in range(60))))
    assert len(pages) > 3
    for number, page in enumerate(pages, start=1):
        assert CAUTION in page
        assert "Impression, patient" in page
        assert f"page {number} of {len(pages)}" in page
    for n in range(60):
        assert sum(f"26 {n:06d} 76" in page for page in pages) == 1


def test_every_case_has_a_box_to_tick():
    from io import BytesIO

    import pdfplumber

    with pdfplumber.open(BytesIO(draw_pour_list(a_sheet(*(a_row(f"26 {n:06d} 76") for n in range(8)))))) as document:
        ticks = [r for page in document.pages for r in page.rects if abs(r["width"] - 5 * MM) < 0.1]
    assert len(ticks) == 8


def test_a_case_of_two_boxes_names_both():
    both = (PourBox("26 000018 72", "Red", "#cc2222"), PourBox("26 000019 69", "Green", "#2e8b57"))
    (page,) = read(a_sheet(a_row(boxes=both)))
    assert "26 000018 72" in page
    assert "26 000019 69" in page
    assert ("Red box" in page, "Green box" in page) == (True, True)


def test_a_list_with_nothing_on_it_says_so():
    (page,) = read(a_sheet(counted="Wed 25 Nov 2026, 10:30: 0 cases to pour, what keeps least first."))
    assert "0 cases to pour" in page


texts = st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), max_size=40)


@settings(max_examples=10)
@given(texts, texts, texts, st.integers(1, 4))
def test_whatever_stands_on_it_nothing_covers_anything_or_leaves_the_paper(patient, practice, words, count):
    impressions = tuple((f"{words} {n}", "was to be poured by Mon 23 Nov, 11:00, estimated") for n in range(count))
    row = a_row(patient=patient, practice=practice or LONG, impressions=impressions, mark="Past its limit")
    pdf = draw_pour_list(a_sheet(row, a_row(), row))
    assert overlaps(pdf) == []
    assert outside(pdf, 8 * MM) == []


@pytest.mark.parametrize("text", ["<b>x</b>", "[[1+1]]", "%s {0}"])
def test_text_from_outside_is_printed_as_it_is_written(text):
    assert text in read(a_sheet(a_row(patient=text)))[0]


def test_it_is_the_same_whenever_it_is_drawn_and_in_the_house_font():
    sheet = a_sheet(a_row())
    assert draw_pour_list(sheet) == draw_pour_list(sheet)
    assert all("IntakeSans" in str(font["/BaseFont"]) for font in fonts_of(draw_pour_list(sheet)))
    assert words_of(draw_pour_list(sheet))["Poured"] == 1
