"""The note of return: its address in the envelope's window and nothing else, all that is to be said, no patient."""

from dataclasses import replace
from io import BytesIO

import pdfplumber
import pytest

from intake.documents.address_window import WINDOWS
from intake.documents.letter_sheet import AddressDoesNotFit
from intake.documents.return_note import ReturnNote, draw_return_note
from tests.documents.reading import MM, fonts_of, ink, outside, overlaps, text_of
from tests.documents.samples import HOSTILE, STRESSED

NOTE = ReturnNote(
    number="41",
    date="Wed 25 Nov 2026",
    lab="Tern Bay Dental Laboratory",
    lab_address=("4 Slipway Court", "Tern Bay", "ZZ9 9ZZ"),
    telephone="01632 960 144",
    email="desk@ternbay.example.com",
    practice="Marlow Street Dental Practice",
    address=("12 Marlow Street", "Tern Bay", "ZZ9 4AB"),
    subject="Returned to you: our parcel 12",
    facts=(
        ("What came", "2 cases and an appliance for repair"),
        ("When", "Wed 25 Nov 2026, 10:30, by post; opened by AB"),
        ("Its label", "RA473124829GB · Signed-for post"),
        ("What was seen", "Wet, crushed and blood seen"),
        ("Disinfection", "Not declared on it, and not done here. Treat it as contaminated when you open it."),
    ),
    why="The box is crushed and both impressions are broken.",
    text="We return this to you as it came. Please send what we need instead, or ring us.",
    closing="With kind regards",
)
NOTES = {
    "usual": NOTE,
    "of a practice that is not in the directory": replace(NOTE, address=(), practice="A surgery in the hills"),
    "long": replace(NOTE, why=f"{NOTE.why} " * 60, text=f"{NOTE.text} " * 40),
    "stressed": replace(NOTE, practice=STRESSED.practice, address=STRESSED.address, lab=STRESSED.lab),
    "hostile": replace(NOTE, why=HOSTILE, text=HOSTILE, facts=(("What came", HOSTILE), ("Empty", " "))),
}
TRUE = 0.1
"""Millimetres: the ink of a letter begins not quite where its box does."""
EVERY_NOTE = pytest.mark.parametrize("note", NOTES.values(), ids=NOTES)
EVERY_WINDOW = pytest.mark.parametrize("window", WINDOWS)


@EVERY_NOTE
@EVERY_WINDOW
@pytest.mark.sampled(5)
def test_nothing_stands_on_something_else_or_in_the_margin(note, window):
    pdf = draw_return_note(note, window)
    assert overlaps(pdf) == []
    assert outside(pdf, 10 * MM) == []


@EVERY_NOTE
@EVERY_WINDOW
def test_the_window_shows_the_address_and_nothing_else(note, window):
    """The windows are held against DIN 5008 and the DL envelope in tests/standards/test_address_window.py."""
    place = WINDOWS[window]
    with pdfplumber.open(BytesIO(draw_return_note(note, window))) as document:
        page = document.pages[0]
        boxes = [box for box in ink(page) / MM if box[0] < place.clear.right and box[1] < place.clear.bottom]
        shown = [box for box in boxes if box[3] > place.clear.top]
        area = place.address
        assert shown
        assert all(area.left - TRUE <= box[0] and box[2] <= area.right + TRUE for box in shown)
        assert all(area.top - TRUE <= box[1] and box[3] <= area.bottom + TRUE for box in shown)
        corner = (area.left * MM, area.top * MM, area.right * MM, area.bottom * MM)
        lines = page.crop(corner).extract_text().splitlines()
    if note is NOTE:
        assert lines == ["Marlow Street Dental Practice", "12 Marlow Street", "Tern Bay", "ZZ9 4AB"]


def test_it_says_what_came_when_what_was_seen_and_why_it_goes_back():
    text = " ".join(" ".join(text_of(draw_return_note(NOTE))).split())
    for said in (
        "Note of return 41",
        "Returned to you: our parcel 12",
        "2 cases and an appliance for repair",
        "by post; opened by AB",
        "RA473124829GB",
        "Wet, crushed and blood seen",
        "Treat it as contaminated when you open it.",
        "Why it goes back",
        "The box is crushed and both impressions are broken.",
        "Please send what we need instead",
        "01632 960 144",
        "Page 1 of 1",
    ):
        assert said in text, said


def test_what_is_empty_is_left_out_and_a_long_one_has_its_pages_numbered():
    assert "Its label" not in text_of(draw_return_note(replace(NOTE, facts=(("Its label", ""),))))[0]
    pages = text_of(draw_return_note(NOTES["long"]))
    assert len(pages) > 1
    assert f"Page 2 of {len(pages)}" in pages[1]
    assert "Marlow Street Dental Practice" in pages[1]


def test_an_address_that_no_window_shows_is_refused():
    with pytest.raises(AddressDoesNotFit, match="Shorten the name or the address"):
        draw_return_note(replace(NOTE, address=tuple(f"Line {number} of a very long address" for number in range(30))))


def test_the_same_note_is_the_same_bytes_in_embedded_fonts():
    assert draw_return_note(NOTE) == draw_return_note(NOTE)
    assert all("/FontFile2" in font["/FontDescriptor"].get_object() for font in fonts_of(draw_return_note(NOTE)))
