"""The query letter on paper: every case and question on it, its slip, and nothing lost, covered or beyond the edge."""

import re
from dataclasses import replace
from io import BytesIO

import pytest
from PIL import Image
from pypdf import PdfReader

from intake.documents.letter import WINDOWS, AddressDoesNotFit, LetterCase, LetterQuestion, draw_letter
from tests.documents.reading import MM, fonts_of, outside, overlaps, rendered, scanned, text_of
from tests.documents.samples import CASE, FORTY, LETTER, LETTERS, STRESSED, TWO_JOBS

FIRST_AND_OTHERS = [
    pytest.param(window, marks=[pytest.mark.thorough] if at else []) for at, window in enumerate(WINDOWS)
]
"""The envelopes’ windows: a usual run takes the first."""
EVERY_LETTER = pytest.mark.parametrize("letter", LETTERS.values(), ids=LETTERS)


def flat(text: str) -> str:
    return re.sub(r"\s+", " ", text)


@EVERY_LETTER
@pytest.mark.parametrize("window", FIRST_AND_OTHERS)
@pytest.mark.sampled(3)
def test_nothing_stands_on_something_else_or_in_the_margin(letter, window):
    pdf = draw_letter(letter, window)
    assert overlaps(pdf) == []
    assert outside(pdf, 10 * MM) == []


def test_a_letter_says_what_is_asked_why_and_until_when():
    text = flat(text_of(draw_letter(LETTER))[0])
    for said in (
        "Tern Bay Dental Laboratory",
        "01632 960 144",
        "Wed 25 Nov 2026 Letter L-26-0187",
        "Questions on 2 cases that wait",
        "Thank you for your work.",
        "J.T. 20418",
        "26 004123 76",
        "Hard occlusal splint, upper",
        "Appointment Thu 10 Dec 2026, 09:30 · Arrived Wed 25 Nov 2026",
        "Work waits for this",
        "Please send a bite record",
        "No bite record was among the 2 items received",
        "Please tell us",
        "Please reply by",
        "Tue 1 Dec 2026, 12:00",
        "the earliest that would hold is Mon 14 Dec 2026.",
        "26 004125 70",
        "What is made is for the prescriber to decide.",
        "With kind regards Tern Bay Dental Laboratory",
    ):
        words = [re.escape(w) for w in said.split()]
        assert re.search(r".{0,60}?".join(words), text), said


def test_the_slip_has_boxes_lines_and_who_answers():
    slip = flat(text_of(draw_letter(LETTER))[1])
    for said in (
        "Reply slip",
        "Return to",
        "1.5 mm",
        "use the lab’s usual",
        "coming by post on",
        "not needed",
        "Other",
    ):
        assert said in slip
    for said in (
        "Name",
        "on behalf of the prescriber",
        "Signature",
        "Date",
        "What is made is for the prescriber to decide.",
    ):
        assert said in slip


def test_the_slip_has_one_barcode_for_each_case():
    letter, slip = rendered(draw_letter(LETTER), 300)
    assert scanned(letter) == []
    assert sorted(scanned(slip)) == ["260041237600", "260041247300"]


def test_the_barcodes_of_a_slip_are_read_from_a_poor_scan():
    slip = rendered(draw_letter(LETTER), 150)[1].rotate(2, fillcolor=255, resample=Image.Resampling.BICUBIC)
    out = BytesIO()
    slip.save(out, "JPEG", quality=50)
    assert sorted(scanned(Image.open(out))) == ["260041237600", "260041247300"]


@EVERY_LETTER
def test_every_page_says_which_it_is_and_whose(letter):
    pages = text_of(draw_letter(letter))
    for i, page in enumerate(pages, 1):
        assert f"Page {i} of {len(pages)}" in page
        assert letter.practice.split()[0] in page


def test_forty_cases_are_all_there_once_in_the_letter_and_once_on_the_slip():
    pages = text_of(draw_letter(FORTY))
    for case in FORTY.cases:
        assert sum(page.count(case.patient) for page in pages) == 2


def test_a_case_is_not_parted_between_two_pages():
    for page in text_of(draw_letter(FORTY)):
        if "Please reply by" in page:
            assert page.count("J.T.") == page.count("Please reply by")
        assert "(continued)" not in page


def test_a_case_that_no_page_holds_goes_on_under_its_name_and_keeps_its_questions_whole():
    pages = text_of(draw_letter(STRESSED))
    assert any("(continued)" in page for page in pages)
    for page in pages[:3]:
        asked = page.count("Please send a bite record") + page.count("Which thickness")
        assert asked == page.count("No bite record was among") + page.count("The prescription names none")


def test_a_question_longer_than_a_page_is_printed_to_its_end():
    endless = LetterQuestion(" ".join(f"word{i}" for i in range(1200)), "because", "stops", ("yes", "no"))
    letter = replace(LETTER, cases=(replace(CASE, questions=(endless,)),))
    pdf = draw_letter(letter)
    text = " ".join(text_of(pdf))
    assert all(text.count(f"word{i}") >= 2 for i in (1000, 1199))
    assert overlaps(pdf) == []


def test_texts_of_the_setup_may_be_longer_than_a_page():
    endless = " ".join(f"word{i}" for i in range(1200))
    pages = text_of(draw_letter(replace(LETTER, opening=endless, caution=endless, slip=endless, closing=endless)))
    assert sum(page.count("word1199") for page in pages) == 5
    assert "Signature" in pages[-1]


def test_an_answer_longer_than_a_line_is_wrapped():
    long = (
        "I shall send a new impression, poured, with the opposing model and a bite record in wax, by courier, on ____"
    )
    letter = replace(LETTER, cases=(replace(CASE, questions=(LetterQuestion("How?", "", "asks", (long * 2,)),)),))
    assert overlaps(draw_letter(letter)) == []


def test_a_case_with_nothing_but_a_question_is_printed():
    bare = LetterCase("", (), "260041237600", (), (LetterQuestion("Who is the patient?", "", "stops"),))
    pages = text_of(draw_letter(replace(LETTER, cases=(bare,))))
    assert "No appointment given" in pages[0]
    assert "Answer" in pages[1]


def test_an_address_that_no_window_shows_is_refused_with_what_would_be_right():
    long = tuple(f"Unit {i} of the Old Ropewalk, Capstan Yard, Ellerquay" for i in range(8))
    with pytest.raises(AddressDoesNotFit, match=r"Marlow Street Dental Practice needs \d+ lines.*seven lines at most"):
        draw_letter(replace(LETTER, address=long))


def test_an_address_of_too_many_short_lines_is_drawn_together_and_loses_none():
    address = (
        "Suite 4",
        "Third Floor",
        "The Old Mill",
        "Mill Lane",
        "Upper Weir",
        "Near Ellerquay",
        "Quayshire",
        "XQ1 1AA",
    )
    first_page = text_of(draw_letter(replace(LETTER, address=address)))[0]
    assert "Suite 4, Third Floor, The Old Mill, Mill Lane\nUpper Weir, Near Ellerquay, Quayshire\nXQ1 1AA" in first_page


def test_an_address_of_seven_lines_fits_in_eight_points():
    draw_letter(replace(LETTER, address=tuple(f"Line {i}" for i in range(6))))


def test_a_logo_stands_above_the_window(tmp_path):
    logo = tmp_path / "logo.jpg"
    Image.new("RGB", (2000, 400), "#224466").save(logo)
    pdf = draw_letter(replace(LETTER, logo=logo))
    assert len(PdfReader(BytesIO(pdf)).pages[0].images) == 1
    assert overlaps(pdf) == []


@EVERY_LETTER
def test_fonts_are_embedded_subsets_of_the_house_font(letter):
    for font in fonts_of(draw_letter(letter)):
        assert re.fullmatch(r"/[A-Z]{6}\+IntakeSans-(Regular|Bold)", font["/BaseFont"])
        assert "/FontFile2" in font["/FontDescriptor"]


def test_the_same_letter_gives_the_same_bytes():
    assert draw_letter(LETTER) == draw_letter(LETTER)


def test_the_title_names_the_letter_and_no_patient():
    information = PdfReader(BytesIO(draw_letter(replace(LETTER, cases=(TWO_JOBS,))))).metadata
    assert information.title == "Letter L-26-0187"
    assert "M.Ll." not in str(information)
