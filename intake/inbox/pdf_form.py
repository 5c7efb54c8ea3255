"""The fields of a PDF form (AcroForm, ISO 32000-1, 12.7) and the words on its pages, as far as they can be read."""

import logging
from collections.abc import Iterator
from dataclasses import dataclass, field
from io import BytesIO
from typing import TYPE_CHECKING, Any

from intake.errors import IntakeError

if TYPE_CHECKING:
    from pypdf import PageObject, PdfReader

MOST_BYTES = 25_000_000
MOST_PAGES = 60
MOST_FIELDS = 5_000
MOST_CHARACTERS = 20_000
"""In one field: more is no answer."""
MOST_DRAWN, MOST_STEPS = 20_000_000, 300_000
"""Bytes of drawing on all pages, unpacked, and steps of drawing that are followed for their words."""
NO_MARKS = ("/Link", "/Popup")
"""Annotations that add nothing to a page: links, and the windows of notes (table 169)."""


class PdfUnreadable(IntakeError):
    """A file cannot be read as a PDF; the message says why, and what would help."""


@dataclass(frozen=True)
class Mark:
    """Something that lies on a page, in points from its lower left corner.

    Attributes:
        kind: What it is: `/Widget` for a field, `/Ink` or `/Stamp` for what is drawn by hand or put on ready-made,
            `/FreeText` for words, and more (table 169).
    """

    kind: str
    page: int
    left: float
    low: float
    right: float
    high: float

    def within(self, page: int, left: float, low: float, right: float, high: float) -> bool:
        """Whether all of it lies in a box of a page."""
        inside = left <= self.left and low <= self.low and self.right <= right and self.high <= high
        return self.page == page and inside


@dataclass(frozen=True)
class PdfForm:
    """What a PDF holds.

    Attributes:
        fields: The value of each field by its full name; `Off` or empty where nothing was filled in.
        texts: The words of each page.
        marks: Notes, stamps, lines and drawings that somebody laid over the pages, beside the fields.
        places: Where a field stands, by its name; where it has several buttons, one of them.
    """

    fields: dict[str, str]
    texts: tuple[str, ...]
    marks: tuple[Mark, ...] = ()
    places: dict[str, Mark] = field(default_factory=dict)


def is_pdf(content: bytes) -> bool:
    """Whether a file is a PDF by its content (ISO 32000-1, 7.5.2; the mark may stand in the first 1,024 bytes)."""
    return b"%PDF-" in content[:1024]


def read_form(content: bytes) -> PdfForm:
    """The fields and words of a PDF. Raises PdfUnreadable, and nothing else, whatever the file holds."""
    if len(content) > MOST_BYTES:
        raise PdfUnreadable(f"The file is larger than {MOST_BYTES // 1_000_000} MB, which no form is.")
    logging.getLogger("pypdf").setLevel(logging.CRITICAL)  # what is wrong with a file is told in a sentence of our own
    try:
        reader = _opened(content)
        fields = {str(name): _value(each) for name, each in (reader.get_fields() or {}).items()}
        if len(fields) > MOST_FIELDS:
            raise PdfUnreadable(f"The file has more than {MOST_FIELDS:,} fields, which no form has.")
        laid = list(_laid_over(reader))
        marks = tuple(mark for name, mark in laid if mark.kind not in ("/Widget", *NO_MARKS))
        return PdfForm(fields, _texts(reader), marks, {name: mark for name, mark in laid if name})
    except PdfUnreadable:
        raise
    except Exception as error:  # a library that meets a hostile file raises whatever it likes
        raise PdfUnreadable(f"The file is damaged and cannot be read as a PDF ({type(error).__name__}).") from None


def _opened(content: bytes) -> "PdfReader":
    from pypdf import PdfReader  # slow to import, and not needed at the start
    from pypdf.errors import DependencyError

    try:
        reader = PdfReader(BytesIO(content), strict=False)
    except DependencyError:  # a cipher that pypdf needs another library for
        raise PdfUnreadable("The file is protected. Ask for it without protection.") from None
    if reader.is_encrypted and not reader.decrypt(""):
        raise PdfUnreadable("The file is locked with a password. Ask for it without one.")
    if len(reader.pages) > MOST_PAGES:
        raise PdfUnreadable(f"The file has more than {MOST_PAGES} pages, which no form has.")
    form = reader.root_object.get("/AcroForm")
    if form is not None and "/XFA" in form.get_object():
        raise PdfUnreadable(
            "The file is a form of a kind that PDF 2.0 has given up (XFA), which hides what is filled in. "
            "Ask for it printed into a plain PDF."
        )
    return reader


def _texts(reader: "PdfReader") -> tuple[str, ...]:
    """The words of each page. A page may draw a drawing that draws a drawing: the steps are counted."""
    drawn = steps = 0

    def step(*_: object) -> None:
        nonlocal steps
        steps += 1
        _refuse_a_flood(steps > MOST_STEPS)

    texts = []
    for page in reader.pages:
        drawn += _length(page)
        _refuse_a_flood(drawn > MOST_DRAWN)
        texts.append(page.extract_text(visitor_operand_before=step))
        _refuse_a_flood(steps > MOST_STEPS)  # once more: what was raised inside a drawing is kept there
    return tuple(texts)


def _refuse_a_flood(is_one: bool) -> None:
    if is_one:
        raise PdfUnreadable("There is more drawn on the pages of this file than on any form.")


def _length(page: "PageObject") -> int:
    contents = page.get_contents()
    return len(contents.get_data()) if contents is not None else 0


def _laid_over(reader: "PdfReader") -> Iterator[tuple[str, Mark]]:
    """Each annotation of the pages, with its field's name where it is a field."""
    for number, page in enumerate(reader.pages):
        for each in page.annotations or ():
            annotation: Any = each.get_object()
            left, low, right, high = (float(n) for n in annotation.get("/Rect", (0, 0, 0, 0)))
            across, up = sorted((left, right)), sorted((low, high))
            kind = str(annotation.get("/Subtype", ""))
            yield (
                str(annotation.get("/T", "")) * (kind == "/Widget"),
                Mark(kind, number, across[0], up[0], across[1], up[1]),
            )


def _value(of: Any) -> str:
    """What a field keeps; the name of a ticked button without its stroke (7.3.5), signs of no encoding as such."""
    from pypdf.generic import ByteStringObject, NameObject

    value = of.get("/V")
    if value is None:
        return ""
    if isinstance(value, ByteStringObject):
        return bytes(value).decode("ascii", "replace")[:MOST_CHARACTERS]
    is_name = isinstance(value, NameObject) or of.get("/FT") == "/Btn"  # some programs keep a button's as a string
    return (str(value).removeprefix("/") if is_name else str(value))[:MOST_CHARACTERS]
