"""Where a text stands on the pages of a PDF."""

from dataclasses import dataclass
from typing import Any

from intake.documents.page_picture import ONE_AT_A_TIME

FEWEST = 3
"""A single word shorter than this is found anywhere, and so says nothing."""


@dataclass(frozen=True)
class Found:
    """A place on a page, in parts of its width and height from the upper left corner."""

    page: int
    left: float
    top: float
    right: float
    bottom: float


def find_on_pages(pdf: bytes, text: str) -> Found | None:
    """The first place at which a text begins, as many of its words as stand in one line; None where it is nowhere."""
    import pypdfium2

    words = text.split()
    with ONE_AT_A_TIME:
        document = pypdfium2.PdfDocument(pdf)
        try:
            for count in range(min(len(words), 8), 0, -1):
                sought = " ".join(words[:count])
                for number in range(len(document) if len(sought) >= FEWEST else 0):
                    if found := _on_page(document[number], sought, number):
                        return found
        finally:
            document.close()
    return None


def _on_page(page: Any, sought: str, number: int) -> Found | None:
    wide, high = page.get_size()
    shown = page.get_textpage()
    at = shown.search(sought, match_case=True, match_whole_word=True).get_next()
    if at is None or not shown.count_rects(*at):
        return None
    left, bottom, right, top = shown.get_rect(0)
    return Found(number, left / wide, 1 - top / high, right / wide, 1 - bottom / high)
