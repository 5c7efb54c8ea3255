"""A page of a PDF as a picture, to be shown on a screen."""

import threading
from dataclasses import dataclass

ONE_AT_A_TIME = threading.Lock()
"""The library that draws is not made for several threads."""


@dataclass(frozen=True)
class PagePicture:
    """A page as pixels.

    Attributes:
        width: In pixels.
        height: In pixels.
        stride: Bytes of a row.
        pixels: Rows from the top; blue, green, red and one byte of no meaning for each pixel.
        pages: How many pages the document has.
    """

    width: int
    height: int
    stride: int
    pixels: bytes
    pages: int


def page_picture(pdf: bytes, wide: int, page: int = 0) -> PagePicture:
    """A page of a PDF, so many pixels wide."""
    import pypdfium2

    with ONE_AT_A_TIME:
        document = pypdfium2.PdfDocument(pdf)
        try:
            shown = document[page]
            bitmap = shown.render(scale=wide / shown.get_width(), rev_byteorder=False, prefer_bgrx=True)
            return PagePicture(bitmap.width, bitmap.height, bitmap.stride, bytes(bitmap.buffer), len(document))
        finally:
            document.close()
