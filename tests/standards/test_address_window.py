"""The place of an address on A4 against DIN 5008, British bulk post and the envelope itself. Millimetres.

DIN 5008:2020 as summarised on several pages; the left edge of its field and the British envelope from memory.
"""

from io import BytesIO

import pdfplumber
import pytest

from intake.documents.address_window import WINDOWS
from intake.documents.letter import draw_letter
from tests.documents.reading import MM, ink
from tests.documents.samples import LETTERS

FIELDS = {"din-5008-a": (20, 27, 105, 72), "din-5008-b": (20, 45, 105, 90)}
"""DIN 5008: the field of 85 x 45 mm as left, top, right, bottom."""


def first_page(letter, window):
    with pdfplumber.open(BytesIO(draw_letter(letter, window))) as document:
        page = document.pages[0]
        return [tuple(v / MM for v in box) for box in ink(page)], [
            (line["x0"] / MM, line["top"] / MM) for line in page.lines if line["x0"] < 10 * MM
        ]


def within(box, area) -> bool:
    return box[0] >= area[0] and box[1] >= area[1] and box[2] <= area[2] and box[3] <= area[3]


def touches(box, area) -> bool:
    return box[0] < area[2] and box[2] > area[0] and box[1] < area[3] and box[3] > area[1]


@pytest.mark.parametrize("name", LETTERS)
@pytest.mark.parametrize("window", FIELDS)
def test_only_the_address_stands_in_the_field_of_din_5008_and_5_mm_around_it(window, name):
    left, top, right, bottom = FIELDS[window]
    seen = [b for b in first_page(LETTERS[name], window)[0] if touches(b, (left - 5, top - 5, right + 5, bottom + 5))]
    address_zone = (left, bottom - 27.3, right, bottom)
    assert seen
    assert all(within(box, address_zone) for box in seen)


@pytest.mark.parametrize("name", LETTERS)
def test_the_dl_window_shows_the_whole_address_and_nothing_else_however_the_sheet_lies(name):
    # Envelope 220 x 110, window 90 x 35, 20 from the left, 18 from below; the sheet is 210 wide, a third of 297 high.
    boxes, _ = first_page(LETTERS[name], "dl")
    positions = [(x, y) for x in (0, 5, 10) for y in (0, 5.5, 11)]
    address = [b for b in boxes if touches(b, (20, 57, 100, 81))]
    for x, y in positions:
        window = (20 - x, 57 - y, 110 - x, 92 - y)
        assert all(within(box, window) for box in address)
        around = (window[0] - 5, window[1] - 5, window[2] + 5, window[3] + 5)
        assert [b for b in boxes if touches(b, around)] == address


def test_the_address_begins_where_british_bulk_post_reads_it():
    # The government's letter service (August 2026): addresses from x = 24.6 mm, 8 points and more; sender from 125 mm.
    assert all(24.6 <= window.address.left <= 30 for window in WINDOWS.values())
    assert all(window.sender_left >= 125 for window in WINDOWS.values())


@pytest.mark.parametrize(
    ("window", "marks"),
    # DIN 5008 forms A and B with the hole mark at 148.5; a sheet in three: 297 / 3.
    [("din-5008-a", [87, 148.5, 192]), ("din-5008-b", [105, 148.5, 210]), ("dl", [99, 198])],
)
def test_fold_marks_are_where_the_template_folds(window, marks):
    drawn = sorted(top for _, top in first_page(LETTERS["two cases"], window)[1])
    assert drawn == pytest.approx(marks, abs=0.5)


@pytest.mark.parametrize("window", WINDOWS)
def test_the_left_margin_is_25_mm(window):
    boxes, _ = first_page(LETTERS["two cases"], window)
    assert min(box[0] for box in boxes) == pytest.approx(25, abs=0.5)
