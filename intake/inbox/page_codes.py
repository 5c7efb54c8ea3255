"""Barcodes read off pages and pictures: what was printed and scanned still says which letter it belongs to."""

from contextlib import suppress
from io import BytesIO
from typing import Any

from intake.inbox.pdf_form import MOST_PAGES, PdfUnreadable
from intake.inbox.pdfium import ONE_AT_A_TIME

DPI = 200
"""At which pages are looked at: bars of 0.33 mm were read at 150, and not at 100."""
MOST_PAGE_PIXELS = 12_000_000
"""Of a page; an A3 sheet has 8 million at that resolution."""
MOST_PIXELS = 80_000_000
"""Of a picture."""


def codes_of_pdf(content: bytes) -> tuple[str, ...]:
    """The Code 128 barcodes on the pages of a PDF, in the order of the pages. Raises PdfUnreadable."""
    import pypdfium2  # slow to import, and not needed at the start

    found: list[str] = []
    try:
        with ONE_AT_A_TIME:
            document = pypdfium2.PdfDocument(content)
            pages = min(len(document), MOST_PAGES)
    except pypdfium2.PdfiumError:
        raise PdfUnreadable("The file is damaged and cannot be shown.") from None
    try:
        for number in range(pages):
            with suppress(pypdfium2.PdfiumError):  # one damaged page does not spoil the others
                found += _codes(_seen(document, number))
    finally:
        with ONE_AT_A_TIME:
            document.close()
    return tuple(dict.fromkeys(found))


def _seen(document: Any, number: int) -> object:
    """A page as a picture, coarser where it is larger than any sheet."""
    with ONE_AT_A_TIME:
        page = document[number]
        try:
            width, height = page.get_size()
            scale = min(DPI / 72, (MOST_PAGE_PIXELS / max(1.0, width * height)) ** 0.5)
            return page.render(scale=scale, grayscale=True).to_pil().copy()
        finally:
            page.close()


def codes_of_picture(content: bytes) -> tuple[str, ...]:
    """The Code 128 barcodes in a picture, PNG or JPEG. Raises PdfUnreadable."""
    from PIL import Image, UnidentifiedImageError  # slow to import, and not needed at the start

    try:
        with Image.open(BytesIO(content), formats=("PNG", "JPEG")) as picture:
            if picture.width * picture.height > MOST_PIXELS:
                raise PdfUnreadable("The picture has more dots than any scan of a page.")
            return tuple(dict.fromkeys(_codes(picture.convert("L"))))
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise PdfUnreadable("The picture has more dots than any scan of a page.") from None
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError):
        raise PdfUnreadable("The picture is damaged and cannot be shown.") from None


def _codes(image: object) -> list[str]:
    import zxingcpp  # slow to import, and not needed at the start

    wanted = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.Code128)
    return [code.text for code in zxingcpp.read_barcodes(image, formats=wanted)]
