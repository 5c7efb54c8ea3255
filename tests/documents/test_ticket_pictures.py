"""The scans on a ticket: small, named, below the words or behind them, and never in the way of the words."""

import re
from dataclasses import replace
from functools import cache
from io import BytesIO

import numpy as np
import pdfplumber
import pytest
from PIL import Image, ImageDraw
from pypdf import PdfReader

from intake.documents.scan_picture import MOST_PIXELS, scan_picture
from intake.documents.ticket import SHEETS, DoesNotFit, TicketAppliance, TicketPicture, draw_ticket
from intake.inbox.mesh.picture import occlusal_picture, pair_pictures
from tests.documents.reading import MM, ink, outside, overlaps, rendered, scanned, text_of
from tests.documents.samples import BARE, CLEAR, HELD, TICKETS
from tests.scans.arches import arch, flipped

ON_PAPER = [*((name, "A6") for name in TICKETS), ("held", "A5"), ("long names", "A5"), ("held", "100x150")]
ON_EVERY_PAPER = pytest.mark.parametrize(("name", "size"), ON_PAPER)
NAMES = ("Upper", "Lower", "Front")
NO_ROOM = "There was no room for the pictures of the scans."
NOTE = "Not pictured: 2 more scans."


@cache
def pngs():
    """An upper, a lower and both from the front, as the check of a scan draws them."""
    upper, lower = arch("upper", 4_000), arch("lower", 4_000)
    one_each = occlusal_picture(upper, "upper", 1.0), occlusal_picture(lower, "lower", 1.0)
    return (*one_each, pair_pictures(upper, lower, 1.0)[0])


def pictured(ticket, note=NOTE):
    pictures = tuple(TicketPicture(name, png) for name, png in zip(NAMES, pngs(), strict=True))
    return replace(ticket, pictures=pictures, pictures_note=note)


@cache
def drawn(name, size):
    return draw_ticket(pictured(TICKETS[name]), size)


def images_of(pdf):
    """Page, left, top, right, bottom of every picture, in points."""
    with pdfplumber.open(BytesIO(pdf)) as document:
        return [
            (i, p["x0"], p["top"], p["x1"], p["bottom"]) for i, page in enumerate(document.pages) for p in page.images
        ]


@ON_EVERY_PAPER
@pytest.mark.sampled(4)
def test_pictures_stand_on_nothing_else_and_not_in_the_margin(name, size):
    pdf, margin = drawn(name, size), SHEETS[size].margin * MM
    assert overlaps(pdf) == []
    assert outside(pdf, margin) == []
    images = images_of(pdf)
    assert len(images) == 3
    with pdfplumber.open(BytesIO(pdf)) as document:
        for number, left, top, right, bottom in images:
            page = document.pages[number]
            boxes = ink(page)
            covered = (boxes[:, 0] < right) & (boxes[:, 2] > left) & (boxes[:, 1] < bottom) & (boxes[:, 3] > top)
            assert not covered.any()
            assert min(left, top, float(page.width) - right, float(page.height) - bottom) >= margin - 0.1


@ON_EVERY_PAPER
@pytest.mark.sampled(4)
def test_pictures_are_small_in_their_own_proportions_and_side_by_side(name, size):
    images = images_of(drawn(name, size))
    assert len({page for page, *_ in images}) == 1
    wide = 20 * MM * SHEETS[size].scale
    for (_, left, top, right, bottom), png in zip(images, pngs(), strict=True):
        across, high = scan_picture(png).getSize()
        assert right - left == pytest.approx(wide)
        assert (bottom - top) / (right - left) == pytest.approx(high / across)
    lefts, tops = [left for _, left, *_ in images], {round(top, 1) for _, _, top, *_ in images}
    assert lefts == sorted(lefts)
    assert len(tops) == 1


@ON_EVERY_PAPER
def test_a_ticket_with_pictures_is_quickly_sent_and_its_barcode_scans(name, size):
    pdf = drawn(name, size)
    assert len(pdf) < 150_000
    assert all(scanned(page) == [TICKETS[name].barcode] for page in rendered(pdf, 203))


@ON_EVERY_PAPER
def test_the_words_stand_together_as_they_do_without_pictures(name, size):
    """Where one page less holds the words, they are on it as before; the pictures alone come behind."""
    plain, with_pictures = text_of(draw_ticket(TICKETS[name], size)), text_of(drawn(name, size))
    assert len(with_pictures) <= len(plain) + 1
    last = with_pictures[-1]
    assert [last.index(word) for word in (*NAMES, NOTE)] == sorted(last.index(word) for word in (*NAMES, NOTE))
    if len(with_pictures) > len(plain):
        assert [_without_page(text) for text in with_pictures[:-1]] == [_without_page(text) for text in plain]


def _without_page(text):
    return " ".join(re.sub(r"\d of \d", "", text).split())


def test_the_names_stand_over_their_pictures():
    pdf = drawn("clear", "A6")
    with pdfplumber.open(BytesIO(pdf)) as document:
        words = {word["text"]: word for word in document.pages[0].extract_words()}
    for name, (_, left, top, *_) in zip(NAMES, images_of(pdf), strict=True):
        assert words[name]["x0"] == pytest.approx(left, abs=0.5)
        assert 0 <= top - words[name]["bottom"] < 3


def test_pictures_are_kept_as_small_jpegs():
    images = [image for page in PdfReader(BytesIO(drawn("clear", "A6"))).pages for image in page.images]
    assert len(images) == 3
    for image in images:
        assert image.indirect_reference.get_object()["/Filter"] in ("/DCTDecode", ["/DCTDecode"])
        assert max(image.image.size) <= MOST_PIXELS
        assert len(image.data) < 20_000


def test_a_ticket_without_pictures_says_nothing_of_scans():
    text = "\n".join(text_of(draw_ticket(CLEAR)))
    assert "Scans" not in text
    assert images_of(draw_ticket(CLEAR)) == []


def test_scans_without_a_picture_are_told_in_words():
    text = "\n".join(text_of(draw_ticket(replace(CLEAR, pictures_note="Not pictured: 1 scan not checked yet."))))
    assert "Scans" in text
    assert "Not pictured: 1 scan not checked yet." in text


def test_a_picture_that_cannot_be_read_is_left_out():
    upper, *others = pictured(CLEAR).pictures
    for broken in (b"", b"no picture", upper.png[: len(upper.png) // 2]):
        pdf = draw_ticket(replace(CLEAR, pictures=(replace(upper, png=broken), *others)))
        assert len(images_of(pdf)) == 2
        assert "Lower" in text_of(pdf)[0]


def test_the_same_ticket_is_the_same_file():
    assert draw_ticket(pictured(HELD)) == draw_ticket(pictured(HELD))


def of_lines(count):
    """A ticket with so many lines of words."""
    made = [TicketAppliance(f"Retainer {i}", "upper", "13–23", notes="Free.") for i in range(1, count // 3 + 1)]
    if made:
        made[-1] = replace(made[-1], notes="\n".join(["Free.", *["More."] * (count % 3)]))
    return replace(BARE, appliances=tuple(made))


def most_lines():
    """So many lines four pages hold."""
    low, high = 3, 1200
    while high - low > 1:
        middle = (low + high) // 2
        try:
            draw_ticket(of_lines(middle))
            low = middle
        except DoesNotFit:
            high = middle
    return low


def test_where_four_pages_are_full_the_words_stay_and_a_line_tells_of_the_pictures():
    full, told = most_lines(), set()
    for lines in range(full - 12, full + 1):
        text = text_of(draw_ticket(pictured(of_lines(lines))))
        assert len(text) == 4
        assert f"Retainer {lines // 3}" in "\n".join(text)
        told.add((NOTE in text[-1], NO_ROOM in text[-1]))
    assert told == {(True, False), (False, True), (False, False)}  # with them, with the line, without even that


# The picture itself


def picture(ground=(250, 251, 251), size=(512, 512)):
    image = Image.new("RGB", size, ground)
    return image, ImageDraw.Draw(image)


def png_of(image):
    file = BytesIO()
    image.save(file, "PNG")
    return file.getvalue()


def pixels(png):
    reader = scan_picture(png)
    with Image.open(BytesIO(reader.fp.getvalue())) as jpeg:
        return np.asarray(jpeg.convert("RGB")).astype(int)


def test_words_too_small_to_read_are_cut_off_and_the_ground_is_white():
    image, paper = picture()
    paper.rectangle((10, 10, 60, 22), "black")  # a title
    paper.rectangle((100, 100, 400, 180), (160, 140, 110))  # an upper
    paper.rectangle((100, 300, 400, 380), (120, 150, 180))  # a lower, well apart
    paper.rectangle((10, 490, 200, 502), "black")  # a scale
    found = pixels(png_of(image))
    assert found.shape[:2] == (round(281 * MOST_PIXELS / 512), MOST_PIXELS)
    assert found[:, :50].min() > 250
    assert found[5, 150] == pytest.approx((160, 140, 110), abs=8)
    assert found[-5, 150] == pytest.approx((120, 150, 180), abs=8)
    assert found.min() > 60


@pytest.mark.parametrize("mesh", [arch("upper", 4_000), flipped(arch("upper", 4_000), 1.0)], ids=["plain", "noted"])
def test_of_a_pictured_arch_the_words_go_and_the_arch_stays_whole(mesh):
    """The front teeth are in the middle of the upper edge, so that words in its corner would be seen."""
    found = pixels(occlusal_picture(mesh, "upper", 1.0))
    high, wide, _ = found.shape
    assert wide == MOST_PIXELS
    assert found[: high // 12, : wide // 5].min() > 235
    assert found[: high // 12, wide // 3 : 2 * wide // 3].min() < 200
    assert found[-high // 12 :].min() < 200


def test_an_empty_picture_stays_as_it_is():
    image, _ = picture()
    assert pixels(png_of(image)).shape == (MOST_PIXELS, MOST_PIXELS, 3)
