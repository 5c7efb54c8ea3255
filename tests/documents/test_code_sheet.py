"""Sheets of labels, read back off the page by another program's eyes."""

from collections import Counter
from dataclasses import replace
from io import BytesIO

import numpy as np
import pdfplumber
import pytest
import zxingcpp

from intake.documents.code_128 import QUIET_MODULES, module_width
from intake.documents.code_sheet import BENCHES, BOXES, STICKERS, CodeTooLong, Label, draw_labels, sheet_of
from intake.documents.paper import MM
from intake.domain.own_codes import OwnCode, own_code, read_own_code
from tests.documents.reading import outside, overlaps, rendered, scanned, text_of
from tests.documents.samples import HOSTILE

DPI = 300
LABORATORY = "To Ellerquay Dental Laboratory"
STICKER = Label(own_code("practice", "MARLOW1"), "Marlow House Dental", "MARLOW1", LABORATORY)
LONG = Label(
    own_code("practice", "Żółć & Söhne 12"),
    "Gemeinschaftspraxis für Zahnheilkunde Dr. Żółć & Söhne am Marktplatz, Außenstelle Nord",
    "Żółć & Söhne 12",
    LABORATORY,
)
ODD = Label(own_code("practice", "ŁÓDŹ1"), HOSTILE, "ŁÓDŹ1", HOSTILE)
NAMES = ("Casting", "Setting up", "Wax & fix", "Oberflächenbearbeitung", "Ł", "Checking")
BENCH_LABELS = [Label(own_code("bench", name), name, "Scan this, then the tickets") for name in NAMES]
BOX_LABELS = [Label(own_code("box", str(n)), str(n), f"Box {n}") for n in (*range(1, 28), 12345, 999_999)]
SHEETS = {
    "stickers": draw_labels([STICKER] * 24, STICKERS, "Stickers"),
    "a long name": draw_labels([LONG] * sheet_of(LONG, STICKERS), STICKERS, "Stickers"),
    "odd characters": draw_labels([ODD] * 3, STICKERS, "Stickers"),
    "benches": draw_labels(BENCH_LABELS, BENCHES, "Bench codes"),
    "boxes": draw_labels(BOX_LABELS, BOXES, "Box labels"),
}
EVERY_SHEET = pytest.mark.parametrize("pdf", SHEETS.values(), ids=SHEETS)


def codes_on(pdf, dpi=DPI):
    return [code for page in rendered(pdf, dpi) for code in scanned(page)]


def test_a_sheet_has_24_stickers_and_each_is_read_back():
    assert sheet_of(STICKER, STICKERS) == 24
    codes = codes_on(SHEETS["stickers"])
    assert codes == [STICKER.payload] * 24
    assert read_own_code(codes[0]) == OwnCode("practice", "MARLOW1")


def test_a_sticker_says_in_words_whose_it_is():
    (page,) = text_of(SHEETS["stickers"])
    assert Counter(line.strip() for line in page.splitlines())["MARLOW1"] == 24
    assert page.count("Marlow House Dental") == 24
    assert page.count(LABORATORY) == 24


def test_a_long_code_takes_a_wider_sticker_and_is_read_back():
    (page,) = rendered(SHEETS["a long name"], DPI)
    assert sheet_of(LONG, STICKERS) == 4
    for row in range(4):
        (code,) = scanned(page.crop((0, row * page.height // 4, page.width, (row + 1) * page.height // 4)))
        assert read_own_code(code) == OwnCode("practice", "ŻÓŁĆ & SÖHNE 12")


@pytest.mark.parametrize("dpi", [203, 300, 600])
def test_every_bench_is_read_back_at_every_printer(dpi):
    read = [read_own_code(code) for code in codes_on(draw_labels(BENCH_LABELS, BENCHES, "Bench codes", dpi), dpi)]
    assert Counter(read) == Counter(OwnCode("bench", name.upper()) for name in NAMES)


def test_boxes_go_on_to_a_second_sheet_in_their_order():
    first, second = rendered(SHEETS["boxes"], DPI)
    assert Counter(scanned(first)) == Counter(label.payload for label in BOX_LABELS[:24])
    assert Counter(scanned(second)) == Counter(label.payload for label in BOX_LABELS[24:])
    assert "999999" in text_of(SHEETS["boxes"])[1]


@EVERY_SHEET
def test_nothing_stands_on_another_thing_nor_where_printers_do_not_print(pdf):
    assert overlaps(pdf) == []
    assert outside(pdf, 4.5 * MM) == []


@EVERY_SHEET
def test_the_same_sheet_is_the_same_file(pdf):
    again = draw_labels([STICKER] * 24, STICKERS, "Stickers")
    assert again == SHEETS["stickers"]
    assert pdf.startswith(b"%PDF-")


@pytest.mark.parametrize("name", ["stickers", "a long name", "benches", "boxes"])
def test_both_quiet_zones_are_blank(name):
    """GS1 General Specifications, 5.4.4: ten modules each side."""
    for page in rendered(SHEETS[name], 600):
        ink = np.asarray(page) < 128
        quiet = int(QUIET_MODULES * module_width(DPI, 0.25 * MM) * 600 / 72)
        for found in zxingcpp.read_barcodes(page, formats=zxingcpp.BarcodeFormat.Code128):
            box = found.position
            y = (box.top_left.y + box.bottom_left.y) // 2
            left, right = box.top_left.x, box.top_right.x
            assert not ink[y, max(0, left - quiet) : left - 4].any()
            assert not ink[y, right + 4 : right + quiet].any()


@EVERY_SHEET
def test_the_bars_are_whole_dots_wide_and_at_least_a_quarter_of_a_millimetre(pdf):
    with pdfplumber.open(BytesIO(pdf)) as document:
        bars = [rect for page in document.pages for rect in page.rects]
    dots = np.array([[bar["x0"], bar["width"]] for bar in bars]) * DPI / 72
    assert np.abs(dots - dots.round()).max() < 0.02
    assert dots[:, 1].round().min() >= 3  # of 300 to the inch: 0.254 mm


def test_a_code_that_no_sheet_has_room_for_is_refused():
    label = replace(STICKER, payload=own_code("practice", "Ω" * 12), title="Ω")
    with pytest.raises(CodeTooLong, match="too long for a barcode"):
        draw_labels([label], STICKERS, "Stickers")


@pytest.mark.parametrize("length", range(1, 60))
@pytest.mark.sampled(20)
def test_every_code_that_is_taken_can_be_read_back(length):
    label = replace(STICKER, payload=own_code("practice", ("AB7" * 20)[:length]))
    try:
        pdf = draw_labels([label], STICKERS, "Stickers")
    except CodeTooLong:
        assert length > 40
    else:
        assert codes_on(pdf) == [label.payload]
