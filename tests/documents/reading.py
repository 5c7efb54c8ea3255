"""Reading what was printed with other eyes: pypdfium2 renders, zxing-cpp scans, pypdf and pdfplumber read."""

from collections import Counter
from io import BytesIO

import numpy as np
import pdfplumber
import pypdfium2
import zxingcpp
from PIL import Image
from pypdf import PdfReader

MM = 72 / 25.4


def rendered(pdf: bytes, dpi: int = 203) -> list[Image.Image]:
    """The pages as a printer of that resolution would print them, in grey."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return [page.render(scale=dpi / 72, grayscale=True).to_pil() for page in document]
    finally:
        document.close()


def scanned(picture: Image.Image) -> list[str]:
    """The texts of all Code 128 symbols in a picture."""
    return [found.text for found in zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.Code128)]


def text_of(pdf: bytes) -> list[str]:
    """The text of each page, by pypdf."""
    return [page.extract_text() for page in PdfReader(BytesIO(pdf)).pages]


def words_of(pdf: bytes) -> Counter[str]:
    """How often each word stands in the document; words are parted by blanks and by gaps."""
    with pdfplumber.open(BytesIO(pdf)) as document:
        words = [word for page in document.pages for word in page.extract_words(x_tolerance=1)]
    return Counter(word["text"] for word in words)


def fonts_of(pdf: bytes) -> list[dict]:
    """The font dictionaries of all pages."""
    return [
        font.get_object()
        for page in PdfReader(BytesIO(pdf)).pages
        for font in page["/Resources"]["/Font"].get_object().values()
    ]


def ink(page) -> np.ndarray:
    """Left, top, right, bottom of every visible character, from above capitals to below the baseline, in points."""
    boxes = []
    for c in page.chars:
        if c["text"].strip():
            base = float(page.height) - c["matrix"][5]
            below = 0 if c["text"].isupper() or c["text"].isdigit() else 0.2 * c["size"]
            boxes.append((c["x0"], base - 0.72 * c["size"], c["x1"], base + below))
    return np.array(boxes).reshape(-1, 4)


def overlaps(pdf: bytes) -> list[str]:
    """Each pair of characters that stand on one another, and each that a straight line or a bar runs through."""
    faults = []
    with pdfplumber.open(BytesIO(pdf)) as document:
        for page in document.pages:
            boxes, shown = ink(page), [c["text"] for c in page.chars if c["text"].strip()]
            faults += [f"{shown[i]} on {shown[j]}" for i, j in _crossing(boxes, boxes) if i < j]
            straight = [line for line in page.lines if min(line["width"], line["height"]) < 0.5]
            lines = [(r["x0"], r["top"] - 0.2, r["x1"] + 0.2, r["bottom"]) for r in [*straight, *_bars(page)]]
            faults += [f"line through {shown[i]}" for i, _ in _crossing(boxes, np.array(lines).reshape(-1, 4))]
    return faults


def outside(pdf: bytes, margin: float) -> list[str]:
    """Each character that stands nearer to the paper's edge than `margin` points."""
    faults = []
    with pdfplumber.open(BytesIO(pdf)) as document:
        for page in document.pages:
            inner = np.array([margin, margin, float(page.width) - margin, float(page.height) - margin])
            boxes, shown = ink(page), [c["text"] for c in page.chars if c["text"].strip()]
            beyond = (boxes[:, :2] < inner[:2] - 0.1).any(1) | (boxes[:, 2:] > inner[2:] + 0.1).any(1)
            faults += [shown[i] for i in np.flatnonzero(beyond)]
    return faults


def _bars(page) -> list[dict]:
    return [r for r in page.rects if r["fill"] and r["width"] < 6 and r["height"] > 12]


def _crossing(one: np.ndarray, other: np.ndarray) -> list[tuple[int, int]]:
    """Pairs whose boxes share more than a hair."""
    wide = np.minimum(one[:, None, 2], other[None, :, 2]) - np.maximum(one[:, None, 0], other[None, :, 0])
    high = np.minimum(one[:, None, 3], other[None, :, 3]) - np.maximum(one[:, None, 1], other[None, :, 1])
    return [(int(i), int(j)) for i, j in zip(*np.nonzero((wide > 0.15) & (high > 0.15)), strict=True)]
