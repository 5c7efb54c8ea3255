"""Barcodes read off pages as pdfium draws them, and off scans, by zxing-cpp."""

import threading
from io import BytesIO

import pypdfium2
import pytest
from PIL import Image
from pypdf import PdfReader, PdfWriter

from intake.documents.letter import draw_letter
from intake.inbox.page_codes import codes_of_pdf, codes_of_picture
from intake.inbox.pdf_form import PdfUnreadable
from tests.documents.samples import REPLY_FORM

PDF = draw_letter(REPLY_FORM)


def scan(dpi=200, turn=0.0, quality=60, kind="JPEG"):
    """The first page of the slip as a scanner or a telephone sees it."""
    page = pypdfium2.PdfDocument(PDF)[2].render(scale=dpi / 72).to_pil().convert("L")
    out = BytesIO()
    page.rotate(turn, expand=True, fillcolor=255).save(out, kind, **({"quality": quality} if kind == "JPEG" else {}))
    return out.getvalue()


@pytest.mark.parametrize("turn", [0, 2, 5, 90, 180])
@pytest.mark.parametrize("dpi", [150, 200, 300])
def test_a_scan_says_which_letter_it_is_however_it_lay(dpi, turn):
    assert REPLY_FORM.form in codes_of_picture(scan(dpi, turn))


def test_a_scan_of_the_poorest_quality_is_read_or_says_nothing():
    assert set(codes_of_picture(scan(quality=5))) <= {REPLY_FORM.form, "260041237600", "260041247300"}


def test_the_pages_of_a_pdf_say_it_too():
    assert REPLY_FORM.form in codes_of_pdf(PDF)


def test_a_picture_in_colour_with_a_see_through_ground_is_read():
    picture = Image.open(BytesIO(scan())).convert("RGBA")
    out = BytesIO()
    picture.save(out, "PNG")
    assert REPLY_FORM.form in codes_of_picture(out.getvalue())


def test_a_page_larger_than_any_sheet_is_looked_at_more_coarsely():
    writer = PdfWriter()
    for _ in range(3):
        writer.add_blank_page(14_400, 14_400)
    out = BytesIO()
    writer.write(out)
    assert codes_of_pdf(out.getvalue()) == ()


def test_a_page_as_large_as_a_photograph_still_says_its_letter():
    """Some programs put a picture of 300 dots an inch on a page of as many points."""
    out = BytesIO()
    Image.open(BytesIO(scan(300))).save(out, "PDF", resolution=72)
    assert float(PdfReader(BytesIO(out.getvalue())).pages[0].mediabox.width) > 2_000
    assert REPLY_FORM.form in codes_of_pdf(out.getvalue())


def test_a_picture_with_more_dots_than_a_scan_is_refused():
    out = BytesIO()
    Image.new("1", (12_000, 12_000)).save(out, "PNG")
    with pytest.raises(PdfUnreadable, match="more dots"):
        codes_of_picture(out.getvalue())


@pytest.mark.parametrize("content", [b"\x89PNG\r\n\x1a\n" + b"x" * 99, b"\xff\xd8\xff" + b"x" * 99, scan()[:2_000]])
def test_a_damaged_picture_is_told(content):
    with pytest.raises(PdfUnreadable, match="damaged"):
        codes_of_picture(content)


def test_a_damaged_pdf_is_told():
    with pytest.raises(PdfUnreadable, match="damaged"):
        codes_of_pdf(b"%PDF-1.7")


def test_two_threads_may_look_at_once():
    found = []
    threads = [threading.Thread(target=lambda: found.append(codes_of_pdf(PDF))) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(found) == 4
    assert set(found) == {codes_of_pdf(PDF)}
