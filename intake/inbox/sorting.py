"""What a file is, by its content and never by its name."""

import json
from typing import Literal

from intake.domain.blank_fields import BlankNumberRefused, read_blank_number
from intake.domain.form_check import FORM
from intake.inbox.message import is_mail
from intake.inbox.pdf_form import PdfUnreadable, is_pdf, read_form

FileKind = Literal["prescription", "mail", "blank", "reply", "unknown"]
"""prescription: a prescription file; mail: a message; blank: a blank prescription filled in; reply: any other PDF or
picture, which may be a returned reply form; unknown: nothing that can be taken in."""
PICTURES = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff")


def what_is(content: bytes) -> FileKind:
    """What a file is."""
    if is_pdf(content):
        return "blank" if _is_blank(content) else "reply"
    if content.startswith(PICTURES):
        return "reply"
    if _is_json(content):
        return "prescription"
    return "mail" if is_mail(content) else "unknown"


def _is_json(content: bytes) -> bool:
    if not content.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{"):
        return False
    try:
        json.loads(content)
    except (ValueError, RecursionError):
        return False
    return True


def _is_blank(content: bytes) -> bool:
    try:
        read_blank_number(read_form(content).fields.get(FORM, ""))
    except (PdfUnreadable, BlankNumberRefused):
        return False
    return True
