"""Bars on paper, read back by zxing-cpp as a scanner would find them."""

from io import BytesIO

import numpy as np
import pytest
from PIL import Image, ImageFilter
from reportlab.pdfgen.canvas import Canvas

from intake.documents.code_128 import QUIET_MODULES, barcode, encode, module_width
from intake.documents.paper import MM, Pen
from tests.documents.reading import rendered, scanned

NUMBER = "260041237601"


def printed(payload: str = NUMBER, dpi: int = 203, x: float = 30) -> bytes:
    out = BytesIO()
    # A hair less than whole dots: the renderer rounds a page up and stretches it.
    width, height = 959.99 * 72 / dpi, 479.99 * 72 / dpi
    canvas = Canvas(out, (width, height))
    barcode(payload, module_width(dpi), 10 * MM).draw(Pen(canvas, height), x, 20)
    canvas.showPage()
    canvas.save()
    return out.getvalue()


@pytest.mark.parametrize("dpi", [203, 300, 600])
def test_the_printed_number_is_read_back(dpi):
    assert scanned(rendered(printed(dpi=dpi), dpi)[0]) == [NUMBER]


def jpeg(picture: Image.Image) -> Image.Image:
    out = BytesIO()
    picture.save(out, "JPEG", quality=25)
    return Image.open(out)


BAD_PICTURES = {
    "blurred": lambda p: p.filter(ImageFilter.GaussianBlur(0.8)),
    "skewed by 3 degrees": lambda p: p.rotate(3, fillcolor=255, resample=Image.Resampling.BICUBIC),
    "skewed by 7 degrees": lambda p: p.rotate(-7, fillcolor=255, resample=Image.Resampling.BICUBIC),
    "upside down": lambda p: p.rotate(180),
    "pale": lambda p: p.point(lambda v: 140 + v * 60 // 255),
    "JPEG of quality 25": jpeg,
    "noisy": lambda p: Image.fromarray(
        np.clip(np.asarray(p, float) + np.random.default_rng(1).normal(0, 25, p.size[::-1]), 0, 255).astype("uint8")
    ),
}


@pytest.mark.parametrize("spoil", BAD_PICTURES.values(), ids=BAD_PICTURES)
def test_the_number_is_read_from_a_bad_picture(spoil):
    assert scanned(spoil(rendered(printed(), 203)[0])) == [NUMBER]


@pytest.mark.parametrize("x", [30, 30.13, 30.4, 31.07])
def test_every_bar_is_whole_printer_dots_wherever_it_stands(x):
    page = np.asarray(rendered(printed(x=x), 203)[0])
    across = page[page.shape[0] // 4]
    edges = np.flatnonzero(np.diff((across < 128).astype(int)))
    assert set(np.unique(across)) <= {0, 255}
    assert set(np.diff(edges) % 2) == {0}


def test_more_than_the_quiet_zone_is_blank_beside_the_bars():
    across = np.asarray(rendered(printed(), 203)[0]).min(axis=0)
    dark = np.flatnonzero(across < 128)
    assert dark[0] >= 2 * QUIET_MODULES
    assert len(across) - dark[-1] > 2 * QUIET_MODULES


@pytest.mark.parametrize("payload", ["", "26 004é", "26\n00"])
def test_what_code_128_cannot_say_is_refused(payload):
    with pytest.raises(ValueError, match="printable ASCII"):
        encode(payload)
