"""The fields of a PDF form (AcroForm, ISO 32000-1, 12.7) and the words on its pages, as far as they can be read."""

import logging
from dataclasses import dataclass
from io import BytesIO

from intake.errors import IntakeError

MOST_BYTES = 25_000_000
MOST_PAGES = 60
MOST_FIELDS = 5_000
MOST_CHARACTERS = 20_000
"""In one field: more is no answer."""


class PdfUnreadable(IntakeError):
    """A file cannot be read as a PDF; the message says why, and what would help."""


@dataclass(frozen=True)
class PdfForm:
    """What a PDF holds.

    Attributes:
        fields: The value of each field by its full name; `Off` or empty where nothing was filled in.
        texts: The words of each page.
    """

    fields: dict[str, str]
    texts: tuple[str, ...]


def is_pdf(content: bytes) -> bool:
    """Whether a file is a PDF by its content (ISO 32000-1, 7.5.2; the mark may stand in the first 1,024 bytes)."""
    return b"%PDF-" in content[:1024]


def read_form(content: bytes) -> PdfForm:
    """The fields and words of a PDF. Raises PdfUnreadable."""
    from pypdf import PdfReader  # slow to import, and not needed at the start
    from pypdf.errors import PyPdfError

    if len(content) > MOST_BYTES:
        raise PdfUnreadable(f"The file is larger than {MOST_BYTES // 1_000_000} MB, which no form is.")
    logging.getLogger("pypdf").setLevel(logging.CRITICAL)  # what is wrong with a file is told in a sentence of our own
    try:
        reader = PdfReader(BytesIO(content), strict=False)
        if reader.is_encrypted and not reader.decrypt(""):
            raise PdfUnreadable("The file is locked with a password. Ask for it without one.")
        if len(reader.pages) > MOST_PAGES:
            raise PdfUnreadable(f"The file has more than {MOST_PAGES} pages, which no form has.")
        texts = tuple(page.extract_text() for page in reader.pages)
        fields = {str(name): _value(field) for name, field in (reader.get_fields() or {}).items()}
    except PdfUnreadable:
        raise
    except (PyPdfError, ValueError, KeyError, TypeError, AttributeError, IndexError, OSError, RecursionError) as error:
        raise PdfUnreadable(f"The file is damaged and cannot be read as a PDF ({type(error).__name__}).") from None
    except Exception as error:  # a library that meets a hostile file raises whatever it likes
        raise PdfUnreadable(f"The file cannot be read as a PDF ({type(error).__name__}).") from None
    if len(fields) > MOST_FIELDS:
        raise PdfUnreadable(f"The file has more than {MOST_FIELDS} fields, which no form has.")
    return PdfForm(fields, texts)


def _value(field: object) -> str:
    value = field.get("/V") if hasattr(field, "get") else None
    if value is None:
        return ""
    return str(value).removeprefix("/")[:MOST_CHARACTERS]
